"""Clashes between folders, what settles them, and what is no clash; broken/ holds what is said of each kind."""

from __future__ import annotations

from pathlib import Path

import pytest

from backstay.knowledge.compiling import Compiled
from backstay.knowledge.slots import COMPOSED, SOUNDS

from .small_bases import SMALL, compiled, small, write

END = "  because: A.\n  source: common-practice\n"
SOURCE = Path(__file__).parents[2] / "src" / "backstay" / "language"


def rule(id_: str, when: str, then: str, more: str = "") -> str:
    return f"- rule: {id_}\n  when: {when}\n  then: {then}\n{more}{END}"


def codes(made: Compiled) -> list[tuple[str, str]]:
    return [(problem.file, problem.code) for problem in made.problems]


FIRST = rule("first", "{fault: twists}", "{conclude: {level: beginner}}")


@pytest.mark.parametrize(
    "second, clash",
    [
        (rule("second", "{fault: rounds}", "{conclude: {level: advanced}}"), True),
        (rule("second", "{fault: rounds}", "{conclude: {level: beginner}}"), False),
        (rule("second", "{fault: rounds}", "{assume: {level: advanced}}"), False),  # said, concluded, assumed
        (rule("second", "{fault: rounds}", "{conclude: {level: advanced}}", "  unless: {fault: twists}\n"), False),
        (rule("second", "{fault: rounds, not: {fault: twists}}", "{conclude: {level: advanced}}"), False),
        (rule("second", "{fault: rounds}", "{conclude: {build: tall}}"), False),  # many values
    ],
)
def test_two_values_of_what_holds_one(second: str, clash: bool, tmp_path: Path) -> None:
    found = {code for _, code in codes(compiled(small(tmp_path / "small", {"rules/a.yaml": FIRST + second})))}
    assert found == ({"rules-contradict"} if clash else set())


def test_the_more_cautious_rule_may_stand_over_the_other(tmp_path: Path) -> None:
    first = rule("first", "{fault: twists}", "{conclude: {level: beginner}}", "  over: [second]\n")
    second = rule("second", "{fault: rounds}", "{conclude: {level: advanced}}")
    assert codes(compiled(small(tmp_path / "small", {"rules/a.yaml": first + second}))) == []


def test_of_two_folders_the_one_laid_over_is_at_fault(tmp_path: Path) -> None:
    """Even where its file comes first by name, and whichever of the two is read first."""
    base = small(tmp_path / "small", {"rules/z.yaml": FIRST})
    club = write(
        tmp_path / "a-club", {"rules/a.yaml": rule("second", "{lift: clean}", "{conclude: {level: advanced}}")}
    )
    assert codes(compiled(base, club)) == [("a-club/rules/a.yaml", "rules-contradict")]


def test_two_doses_are_told_once_for_all_exercises_they_meet_on(tmp_path: Path) -> None:
    club = write(
        tmp_path / "club",
        {"rules/a.yaml": rule("ours", "{pain: present}", "{dose: {for: everything, use: endurance}}")},
    )
    (problem,) = compiled(SMALL, club).problems
    assert (problem.file, problem.code) == ("club/rules/a.yaml", "doses-contradict")
    assert "`level-hold/dose-for-1`" in problem.what
    assert "`pain` = present, `phase` = peaking" in problem.what


def test_a_rule_over_a_made_one_settles_two_doses(tmp_path: Path) -> None:
    text = rule(
        "ours", "{pain: present}", "{dose: {for: {family: hold}, use: endurance}}", "  over: [level-hold/dose-for-1]\n"
    )
    assert codes(compiled(SMALL, write(tmp_path / "club", {"rules/a.yaml": text}))) == []


def test_what_a_folder_may_take_away_covers_no_screening(tmp_path: Path) -> None:
    rules = rule("rows-out", "{pain: present}", "{notice: guardian}")
    screening = rule("x1", "{pain: present, fault: twists}", "{notice: guardian}")
    made = compiled(small(tmp_path / "small", {"rules/a.yaml": rules, "screening/a.yaml": screening}))
    assert codes(made) == []


def test_points_for_a_narrower_condition_add_up_and_are_no_copy(tmp_path: Path) -> None:
    wide = rule("wide", "{fault: twists}", "{need: {row-strength: 2}}")
    narrow = rule("narrow", "{fault: twists, lift: clean}", "{need: {row-strength: 2}}")
    assert codes(compiled(small(tmp_path / "small", {"rules/a.yaml": wide + narrow}))) == []


def test_what_language_puts_together_itself_is_written_there() -> None:
    source = "\n".join(path.read_text(encoding="utf-8") for path in SOURCE.glob("*.py"))
    for name in COMPOSED - {"test"}:
        assert f'"{name}' in source, name
    for _, value in SOUNDS:
        assert f'"{value}"' in source, value
