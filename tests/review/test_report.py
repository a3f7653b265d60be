"""What a review reports: what was planted is found, parts add up to the whole, and the page can stand by itself."""

from __future__ import annotations

import json
import os
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from backstay.knowledge.base import Base, ParsedRule
from backstay.knowledge.loading import load
from backstay.review.page import page, write
from backstay.review.report import report
from backstay.review.space import Space
from backstay.review.tally import Tally
from backstay.review.text import text
from backstay.review.walking import Review, Walker, walk_space

from .narrow import changed, each, narrow, without

SPACE = narrow(
    each("fault", "rounds", "twists", "knees-cave"),
    each("phase", "general-preparation", "peaking"),
    each("pain", "present"),
    each("sign", "numb-saddle"),
    each("kit", "none"),
    each("limit.what", "everything"),
)
PLACE = ("club/rules/club.yaml", 1, 3)


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


@pytest.fixture(scope="module")
def review(base: Base) -> Review:
    return walk_space([base], SPACE)


@pytest.fixture(scope="module")
def found(review: Review) -> dict[str, Any]:
    return report(review)


def planted(base: Base, *rules: ParsedRule, space: Space = SPACE) -> dict[str, Any]:
    return report(walk_space([changed(base, lambda rule: rule, *rules)], space))


def rule(name: str, when: Any, *effects: Any, unless: Any = None) -> ParsedRule:
    return ParsedRule(name, when, unless, (), (), effects, PLACE)


def test_situations_and_distinct_choices_are_both_said(found: dict[str, Any]) -> None:
    assert found["situations"] == SPACE.size
    assert 0 < found["problems"] < found["situations"] / 2
    assert sum(one["situations"] for one in found["outcomes"]) == SPACE.size


def test_a_situation_with_nothing_to_offer_is_found(found: dict[str, Any]) -> None:
    empty = found["nothing_to_offer"]
    assert 0 < empty["situations"] < empty["of"] < SPACE.size
    assert empty["plainest"][0] == [["limit.what", "everything"]]
    assert empty["told"][0]["fact"] == ["limit.what", "everything"]
    assert empty["told"][0]["situations"] == empty["situations"]


def test_a_rule_that_never_fires_is_found(base: Base) -> None:
    never = rule("club-never", ("all", (("is", "pain", "present"), ("is", "pain", "absent"))), ("notice", "guardian"))
    found = planted(base, never)
    names = [one["rule"] for one in found["rules_never"]]
    assert "club-never" in names
    assert "rounding-needs-a-stronger-hold" not in names
    shown = next(one for one in found["rules_never"] if one["rule"] == "club-never")
    assert (shown["file"], shown["line"]) == PLACE[:2]


def test_an_exercise_that_is_never_chosen_is_found(base: Base) -> None:
    found = planted(base, rule("club-no", ("all", ()), ("forbid", ("side-bridge",))))
    assert "side-bridge" in found["exercises_never"]
    assert "side-bridge" not in report(walk_space([base], SPACE))["exercises_never"]


def test_a_need_that_nothing_covers_is_found(base: Base) -> None:
    quality = "side-to-side-strength"
    qualities = {**base.qualities, quality: base.qualities["brace"]._replace(quality=quality)}
    wanting = changed(base, lambda one: one, rule("club-need", ("is", "fault", "rounds"), ("need", quality, 4)))
    found = report(walk_space([Base({**wanting._sections, "qualities": qualities})], SPACE))
    assert quality in found["needs_never"]
    assert "brace" not in found["needs_never"]


def test_doses_that_contradict_are_found(base: Base) -> None:
    when = ("is", "fault", "rounds")
    low = rule("club-more", when, ("dose", tuple(base.exercises), "sets", "at-least", 4))
    high = rule("club-less", when, ("dose", tuple(base.exercises), "sets", "at-most", 2))
    clash = next(one for one in planted(base, low, high)["doses_contradict"] if one["kind"] == "bounds")
    assert (clash["quantity"], clash["rules"]) == ("sets", ["club-more", "club-less"])
    assert clash["plainest"] == [["fault", "rounds"]]
    assert planted(base, low)["doses_contradict"] == []


def test_two_uses_of_one_exercise_are_found(base: Base) -> None:
    uses = tuple(base.exercises["back-extension"].doses)
    assert len(uses) > 1
    name = ("back-extension",)
    rules = [rule(f"club-{use}", ("is", "fault", "rounds"), ("dose-use", name, use)) for use in uses[:2]]
    liked = rule("club-liked", ("is", "fault", "rounds"), ("favour", name, 2), ("need", "extension-endurance", 9))
    clash = [one for one in planted(base, *rules, liked)["doses_contradict"] if one["kind"] == "use"]
    assert {one["exercise"] for one in clash} == {"back-extension"}
    assert sorted(uses[:2]) in [one["uses"] for one in clash]
    assert all(one["uses"] == sorted(one["uses"]) for one in clash), "each pair once"


def test_a_rule_that_decides_alone_is_found(base: Base, found: dict[str, Any]) -> None:
    alone = {one["rule"]: one for one in found["alone"]}
    assert alone["general-work-any-time"]["plainest"] == []
    gone = report(walk_space([without(base, "rounding-needs-a-stronger-hold")], SPACE))
    assert "rounding-needs-a-stronger-hold" not in {one["rule"] for one in gone["alone"]}


def test_the_same_reason_written_twice_is_found(base: Base, found: dict[str, Any]) -> None:
    again = rule("club-rounds-again", ("is", "fault", "knees-cave"), ("need", "hip-abduction", 1))
    twice = rule("club-rounds-twice", ("is", "fault", "knees-cave"), ("need", "hip-abduction", 2))
    near = rule(
        "club-rounds-near", ("is", "fault", "knees-cave"), ("need", "hip-abduction", 2), unless=("is", "kit", "none")
    )
    pairs = planted(base, again, twice, near)["together"]
    mine = [pair for pair in pairs if set(pair["rules"]) == {"club-rounds-again", "club-rounds-twice"}]
    assert [pair["same"] for pair in mine] == [["need hip-abduction"]]
    assert not [pair for pair in pairs if "club-rounds-near" in pair["rules"]]


def test_the_most_frequent_answers_are_counted(found: dict[str, Any]) -> None:
    counts = [one["situations"] for one in found["answers"]]
    assert counts == sorted(counts, reverse=True)
    assert all(one["exercises"] for one in found["answers"])


def test_parts_of_a_walk_add_up_to_the_whole(base: Base, review: Review) -> None:
    walker = Walker([base], SPACE)
    added = Tally()
    for start in range(0, SPACE.size, 7):
        part, _ = walker.walk((start, min(start + 7, SPACE.size)))
        added.add(part)
    assert report(review._replace(tally=added)) == report(review)
    assert added.firing == review.tally.firing


def test_a_report_can_be_written_as_json(found: dict[str, Any]) -> None:
    assert json.loads(json.dumps(found)) == found


def test_two_processes_find_what_one_finds(base: Base) -> None:
    space = narrow(*(SPACE.walks[0].choices[at] for at in (0, 1, 2)))  # type: ignore[union-attr]
    several = walk_space([base], space, [()], processes=2)
    assert report(several) == report(walk_space([base], space))


# --- in words --------------------------------------------------------------------------------------------------------


def test_the_text_says_what_was_found(base: Base, found: dict[str, Any]) -> None:
    shown = text(base, found, 12.3, 100)
    assert f"{SPACE.size:,} situations walked in 12 s" in shown
    assert "Nothing to offer in" in shown
    assert max(map(len, shown.splitlines())) <= 100


def test_the_text_of_a_change_comes_first(base: Base) -> None:
    after = without(base, "rounding-needs-a-stronger-hold")
    found = report(walk_space([after, base], SPACE))
    assert text(after, found, 1, 100).startswith("The change makes ")
    same = report(walk_space([base, base], SPACE))
    assert text(base, same, 1, 100).startswith(f"Nothing changed: in all {SPACE.size:,} situations walked")


class Look(HTMLParser):
    """Reads a page as a browser does: what is open, what is asked for from elsewhere, what stands in the table."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.asked: list[str] = []
        self.rows = self.cells = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "meta":
            self.open.append(tag)
        self.asked += [f"{name}={value}" for name, value in attrs if name in ("src", "href")]
        self.rows += tag == "tr"
        self.cells += tag == "td"

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_holds_the_matrix_and_asks_for_nothing(base: Base, found: dict[str, Any]) -> None:
    html = page(base, found, 3)
    look = Look()
    look.feed(html)
    assert (look.open, look.asked) == ([], [])
    assert look.rows == 1 + len(found["matrix"])
    assert look.cells == sum(len(row["cells"]) for row in found["matrix"])
    assert "<script" not in html
    assert "url(" not in html


def test_what_a_club_writes_is_no_part_of_the_page_s_own_language(base: Base, found: dict[str, Any]) -> None:
    evil = {**found, "rules_never": [{"rule": "<script>x</script>", "file": "a", "line": 1, "because": ""}]}
    assert "<script>" not in page(base, evil, 3)


def test_a_page_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "review.html"
    write(str(path), "first")

    def fail(*_: object) -> None:
        raise OSError

    monkeypatch.setattr(os, "replace", fail)
    with pytest.raises(OSError):
        write(str(path), "second")
    assert path.read_text(encoding="utf-8") == "first"
    assert [one.name for one in tmp_path.iterdir()] == ["review.html"]
