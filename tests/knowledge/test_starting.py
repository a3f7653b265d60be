"""Starting files: ready to fill in, sound once they are, and nothing is ever lost or written elsewhere."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from backstay.knowledge.checking import check
from backstay.knowledge.files import put, put_new
from backstay.knowledge.problems import ERROR
from backstay.knowledge.starting import STARTERS, StartError, identifier, start

# What a coach writes into the marks, by the words of the mark; the first that is found in it counts.
FILLED = {
    "exercise": {
        "how it is called": '"Sled drag"',
        "what lifters call it": '"sled drags"',
        "as in {hamstrings": "{hamstrings: 2, hip-drive: 2}",
        "its family": "sled",
        "one of the words above": "gentle",
        "strength, endurance": "endurance",
        "slow, fast": "slow",
        "none, mid-range": "none",
        "true if a weight": "true",
        "true if": "false",
        "standing, face-down": "standing",
        "simple, trained": "simple",
        "little, some": "little",
        "one or more of the words above": "standing",
        "both, each": "each",
        "what a side is": "leg that pulls",
        "equipment as in": "bands",
        "low, medium": "low",
        "fits, spare": "fits",
        "how many": "3",
        "from and to as in [6": "[6, 8]",
        "from and to as in [1": "[1, 2]",
        "seconds from": "[60, 90]",
        "how heavy": '"Light."',
        "repetitions left": "[2, 4]",
    },
    "rule": {"as in {lift": "{lift: snatch-pull, sensation: tight}", "as in {need": "{need: {hamstring-length: 2}}"},
    "phrase": {"as in {sensation": "{sensation: tight}", "the words": '"strung like a bow"'},
    "caution": {"as in {age": "{age: {below: 15}}", "as in {forbid": "{forbid: [{exercise: good-morning}]}"},
    "source": {"paper, book": "practice", "abstract, page": "page"},
    "equipment": {"true or false": "false"},
}
MARK = re.compile(r'"<[^<>]+>"|<[^<>]+>')


def filled(kind: str, text: str) -> str:
    """A starting file with every mark filled in; what takes any text gets a sentence."""

    def fill(mark: re.Match[str]) -> str:
        words = mark.group().strip('"<>')
        return next((value for part, value in FILLED[kind].items() if part in words), '"Said in a sentence."')

    return "\n".join(line if line.lstrip().startswith("#") else MARK.sub(fill, line) for line in text.splitlines())


def test_each_says_what_is_to_be_filled_in_and_nothing_else(tmp_path: Path) -> None:
    club = tmp_path / "club"
    made = [start(kind, f"our {kind}", str(club)) for kind in STARTERS]
    problems = [problem for problem in check([str(club)]) if problem.severity == ERROR]
    assert {problem.code for problem in problems} == {"to-fill"}
    for one in made:
        lines = Path(one.path).read_text(encoding="utf-8").splitlines()
        own = [problem for problem in problems if problem.file.endswith(Path(one.path).name)]
        assert len(own) == one.marks
        for problem in own:
            words = problem.what.partition(": ")[2].rstrip(".")
            assert lines[problem.line - 1][problem.column - 1 :].lstrip('"').startswith(f"<{words}")


def test_all_are_sound_when_they_are_filled_in(tmp_path: Path) -> None:
    club = tmp_path / "club"
    for kind in STARTERS:
        path = Path(start(kind, f"our {kind}", str(club)).path)
        path.write_text(filled(kind, path.read_text(encoding="utf-8")), encoding="utf-8")
    assert [str(problem) for problem in check([str(club)]) if problem.severity == ERROR] == []
    assert (club / "base.yaml").read_text(encoding="utf-8") == 'format: 1\nname: "club"\n'


@pytest.mark.parametrize(
    "name, id_",
    [("sled drag", "sled-drag"), ("Sled  Drag", "sled-drag"), ("sled_drag", "sled-drag"), ("x2", "x2"), ("-a-", "a")],
)
def test_a_name_as_people_write_it_becomes_an_id(name: str, id_: str) -> None:
    assert identifier(name) == id_


@pytest.mark.parametrize(
    "name",
    ["", " ", "-", "..", "../other", "/etc/x", "a/b", "a\\b", "a.yaml", "~", "ärger", "a\nb/c", "a\0b", "x" * 61, "con",
     "LPT1", "*", "{x}", "<x>", "a;b", "$(ls)"],
)  # fmt: skip
def test_a_name_that_could_lead_elsewhere_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(StartError) as refused:
        start("rule", name, str(tmp_path / "club"))
    assert refused.value.why == "name"
    assert list(tmp_path.rglob("*")) == []


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    folder = tmp_path / "club"
    path = Path(start("rule", "ours", str(folder)).path)
    path.write_text("precious", encoding="utf-8")
    with pytest.raises(StartError) as refused:
        start("rule", "ours", str(folder))
    assert refused.value.why == "there"
    assert path.read_text(encoding="utf-8") == "precious"
    base = folder / "base.yaml"
    base.write_text("format: 1\nname: ours\n", encoding="utf-8")
    start("rule", "another", str(folder))
    assert base.read_text(encoding="utf-8") == "format: 1\nname: ours\n"


@pytest.mark.parametrize("kind, name", [("exercise", "bird-dog"), ("rule", "weaker-side-first"), ("equipment", "rack")])
def test_a_name_that_is_built_in_is_taken(tmp_path: Path, kind: str, name: str) -> None:
    with pytest.raises(StartError) as refused:
        start(kind, name, str(tmp_path / "club"))
    assert (refused.value.why, refused.value.values["name"]) == ("taken", name)


def test_a_name_in_another_file_of_the_folder_is_taken(tmp_path: Path) -> None:
    rules = tmp_path / "club" / "rules.yaml"
    rules.parent.mkdir()
    text = (
        "- {rule: ours, when: {pain: present}, then: {notice: see-clinician}, because: So., source: common-practice}\n"
    )
    rules.write_text(text, encoding="utf-8")
    with pytest.raises(StartError) as refused:
        start("caution", "ours", str(tmp_path / "club"))
    assert refused.value.why == "taken"


def test_the_name_of_a_folder_cannot_write_into_the_file(tmp_path: Path) -> None:
    made = start("rule", "ours", str(tmp_path / "club\n- rule: planted\n#"))
    assert "planted" not in Path(made.path).read_text(encoding="utf-8")


def test_a_link_is_not_written_through(tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    club = tmp_path / "club"
    club.mkdir()
    (club / "base.yaml").write_text("format: 1\nname: x\n", encoding="utf-8")
    (club / "rules").symlink_to(outside, target_is_directory=True)
    with pytest.raises(StartError) as refused:
        start("rule", "ours", str(club))
    assert refused.value.why == "link"
    assert list(outside.iterdir()) == []


def test_a_folder_of_other_things_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear", encoding="utf-8")
    with pytest.raises(StartError) as refused:
        start("rule", "ours", str(tmp_path))
    assert refused.value.why == "foreign"
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(StartError) as refused:
        start("rule", "ours", str(tmp_path / "file"))
    assert refused.value.why == "unwritable"


def test_a_file_is_put_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x"
    put_new(str(path), "one")
    with pytest.raises(FileExistsError):
        put_new(str(path), "two")
    put(str(path), "three")
    assert path.read_text(encoding="utf-8") == "three"

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    for write in (put, put_new):
        with pytest.raises(OSError):
            write(str(tmp_path / "y"), "z" * 1000)
    assert [one.name for one in tmp_path.iterdir()] == ["x"]


def test_without_links_on_the_disk_a_new_file_is_put_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    put_new(str(tmp_path / "x"), "one")
    with pytest.raises(FileExistsError):
        put_new(str(tmp_path / "x"), "two")
    assert [(one.name, one.read_text(encoding="utf-8")) for one in tmp_path.iterdir()] == [("x", "one")]
