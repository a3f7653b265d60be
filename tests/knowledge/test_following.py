"""A folder that changes is followed: what is finished and sound is taken, nothing else is, and nobody waits for it."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import pytest

from backstay import Assistant
from backstay.knowledge import folders, following
from backstay.knowledge.following import Following
from backstay.knowledge.loading import load

from .small_bases import SMALL

RULE = """- rule: ours
  when: {{lift: clean, fault: twists}}
  then: {{need: {{row-strength: {points}}}}}
  because: Rows keep it square.
  source: common-practice
"""


@pytest.fixture
def club(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(following, "STILL", 0.02)
    monkeypatch.setattr(folders, "built_in", lambda: str(SMALL))  # read in no time
    (tmp_path / "club" / "rules").mkdir(parents=True)
    write(tmp_path / "club", RULE.format(points=2))
    return tmp_path / "club"


def write(club: Path, text: str) -> None:
    (club / "rules" / "ours.yaml").write_text(text, encoding="utf-8")


def begun(club: Path) -> Following:
    return Following([str(club)], load([str(club)]))


def points(base: object) -> int:
    effect: tuple[str, str, int] = base.rules["ours"].effects[0]  # type: ignore[attr-defined]
    return effect[2]


def test_without_a_change_there_is_no_news(club: Path) -> None:
    watched = begun(club)
    base = watched.base
    assert watched.look() is None
    assert watched.base is base


def test_a_finished_change_is_taken(club: Path) -> None:
    watched = begun(club)
    write(club, RULE.format(points=5))
    news = watched.look()
    assert news is not None
    assert news.problems == ()
    assert points(watched.base) == 5
    assert watched.look() is None


@pytest.mark.parametrize("change", ["new", "gone"])
def test_a_file_that_comes_or_goes_is_a_change(club: Path, change: str) -> None:
    watched = begun(club)
    if change == "new":
        (club / "rules" / "more.yaml").write_text(RULE.format(points=1).replace("ours", "more"), encoding="utf-8")
    else:
        (club / "rules" / "ours.yaml").unlink()
    assert watched.look() is not None
    assert ("more" in watched.base.rules, "ours" in watched.base.rules) == (change == "new", change == "new")


def test_what_cannot_be_used_changes_nothing_and_is_told_once(club: Path) -> None:
    watched = begun(club)
    base = watched.base
    write(club, RULE.format(points=99))
    news = watched.look()
    assert news is not None
    assert [(problem.code, problem.line) for problem in news.problems] == [("out-of-bounds", 3)]
    assert watched.base is base
    assert watched.look() is None
    write(club, RULE.format(points=4))
    assert watched.look() is not None
    assert points(watched.base) == 4


def test_a_folder_that_goes_and_comes_back(club: Path, tmp_path: Path) -> None:
    watched = begun(club)
    club.rename(tmp_path / "away")
    news = watched.look()
    assert news is not None
    assert [problem.code for problem in news.problems] == ["folder-unreadable"]
    assert points(watched.base) == 2
    assert watched.look() is None
    (tmp_path / "away").rename(club)
    news = watched.look()
    assert news is not None
    assert news.problems == ()


def test_a_file_that_is_being_written_is_not_taken(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A writer that pauses after each line: each beginning that is whole YAML says less than is meant."""
    monkeypatch.setattr(following, "STILL", 0.15)
    watched = begun(club)
    whole = "".join(RULE.format(points=3).replace("ours", f"ours-{n}") for n in range(8)) + RULE.format(points=9)
    path = club / "rules" / "ours.yaml"

    def slowly() -> None:
        with path.open("w", encoding="utf-8") as stream:
            for line in whole.splitlines(keepends=True):
                stream.write(line)
                stream.flush()
                time.sleep(0.004)

    writer = threading.Thread(target=slowly)
    writer.start()
    seen = set()
    while writer.is_alive():
        watched.look()
        seen.add(len([rule for rule in watched.base.rules if rule.startswith("ours")]))
    writer.join()
    watched.look()
    assert seen <= {1, 9}
    assert points(watched.base) == 9


def test_a_change_while_it_is_read_is_left_for_the_next_look(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    watched = begun(club)
    write(club, RULE.format(points=5))

    def load_and_change(folders: tuple[str, ...]) -> object:
        base = load(folders)
        write(club, RULE.format(points=7) + "\n")
        return base

    monkeypatch.setattr(following, "load", load_and_change)
    assert watched.look() is None
    assert points(watched.base) == 2
    monkeypatch.setattr(following, "load", load)
    assert watched.look() is not None
    assert points(watched.base) == 7


def test_files_that_never_hold_still_are_left_alone(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    watched = begun(club)
    write(club, RULE.format(points=5))
    at = [time.time_ns()]

    def touch(_: float) -> None:
        at[0] += 10**9
        os.utime(club / "rules" / "ours.yaml", ns=(at[0], at[0]))

    monkeypatch.setattr("time.sleep", touch)
    assert watched.look() is None
    assert points(watched.base) == 2


def test_a_change_that_goes_on_is_waited_for(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    watched = begun(club)
    write(club, RULE.format(points=5))
    more = [RULE.format(points=7) + "\n\n", RULE.format(points=6) + "\n"]
    monkeypatch.setattr("time.sleep", lambda _: write(club, more.pop()) if more else None)
    assert watched.look() is not None
    assert points(watched.base) == 7


def test_a_change_between_loading_and_watching_is_not_missed(club: Path) -> None:
    base = load([str(club)])
    write(club, RULE.format(points=6))
    assert points(Following([str(club)], base).base) == 6


def test_a_look_is_cheap(club: Path) -> None:
    watched = begun(club)
    start = time.process_time()
    for _ in range(20):
        watched.look()
    assert (time.process_time() - start) / 20 < 0.02


def test_an_assistant_follows_between_answers(club: Path) -> None:
    assistant = Assistant([str(club)])
    assert assistant.follow() is None
    before = assistant.base
    write(club, RULE.format(points=8))
    assert assistant.base is before
    news = assistant.follow()
    assert news is not None
    assert points(assistant.base) == 8
    assert Assistant.of(before).follow() is None
