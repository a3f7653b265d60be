"""Folders laid over others: what they add, what they replace, and what nobody gets past the screening."""

from __future__ import annotations

from pathlib import Path

import pytest

from backstay.knowledge.base import Base
from backstay.knowledge.compiling import Compiled
from backstay.knowledge.problems import errors

from .small_bases import SMALL, compiled, write


def laid(tmp_path: Path, files: dict[str, str | bytes]) -> Compiled:
    return compiled(SMALL, write(tmp_path / "club", files))


def codes(made: Compiled) -> list[tuple[str, int, int, str]]:
    return [(problem.file, problem.line, problem.column, problem.code) for problem in made.problems]


RULE = "because: A.\n  source: common-practice\n"
ROW = (SMALL / "exercises" / "row.yaml").read_text(encoding="utf-8")


def test_an_overlay_adds(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "base.yaml": "format: 1\nname: our club\n",
            "exercises/club-row.yaml": ROW.replace("exercise: row", "exercise: club-row").replace(
                "name: Row", "name: Club row"
            ),
            "rules/club.yaml": "- rule: rows-here\n  when: {fault: rounds}\n"
            f"  then: {{favour: [{{for: {{exercise: club-row}}, points: 1}}]}}\n  {RULE}",
            "phrases/club.yaml": "- {phrase: round, says: {fault: rounds}, forms: [turtle back]}\n",
            "messages/club.yaml": "- {message: club-line, text: Ask Anna.}\n",
        },
    )
    assert made.problems == ()
    base = Base(made.sections)
    assert list(base.exercises) == ["club-row", "level-hold", "one-leg-hinge-with-bar", "row"]
    assert base.rules["rows-here"].effects == (("favour", ("club-row",), 1),)
    assert base.rules["rows-here"].place == ("club/rules/club.yaml", 1, 3)
    assert "club-row/phase-peaking" in base.rules
    assert base.messages["club-line"] == "Ask Anna."


def test_selectors_of_the_built_in_rules_see_what_an_overlay_adds(tmp_path: Path) -> None:
    made = laid(tmp_path, {"exercises/club-row.yaml": ROW.replace("exercise: row", "exercise: club-row")})
    assert "club-row" in Base(made.sections).rules["pain-seven-stops-work"].effects[0][1]


def test_what_is_replaced_is_gone(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "rules/club.yaml": "- rule: twists-start-in-the-pull\n  replaces: [twists-start-in-the-pull]\n"
            f"  when: {{fault: twists}}\n  then: {{need: {{row-strength: 1}}}}\n  {RULE}",
            "exercises/row.yaml": ROW.replace("exercise: row", "exercise: row\nreplaces: [row]").replace(
                "sets: 3", "sets: 5"
            ),
            "messages/club.yaml": "- {message: guardian, replaces: guardian, text: Fetch a parent.}\n",
            "phrases/club.yaml": "- {want: dose, replaces: dose, weight: 5, forms: [how much]}\n",
        },
    )
    assert [problem for problem in made.problems if problem.severity == "error"] == []
    base = Base(made.sections)
    assert base.rules["twists-start-in-the-pull"].effects == (("need", "row-strength", 1),)
    assert base.exercises["row"].doses["strength"]["sets"] == 5
    assert base.messages["guardian"] == "Fetch a parent."


def test_an_id_that_is_there_already_is_not_replaced_by_silence(tmp_path: Path) -> None:
    made = laid(tmp_path, {"exercises/row.yaml": ROW.replace("sets: 3", "sets: 5")})
    (problem,) = made.problems
    assert (problem.file, problem.line, problem.column, problem.code) == ("club/exercises/row.yaml", 1, 11, "taken")
    assert "replaces: [row]" in problem.next
    assert "small/exercises/row.yaml:1:1" in problem.what


def test_replacing_what_is_not_there(tmp_path: Path) -> None:
    text = f"- rule: mine\n  replaces: [usual-gim]\n  then: {{need: {{row-strength: 1}}}}\n  {RULE}"
    (problem,) = laid(tmp_path, {"rules/club.yaml": text}).problems
    assert (problem.line, problem.column, problem.code) == (2, 14, "replaces-nothing")
    assert "usual-gym" in problem.next


def test_folders_are_laid_in_order(tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"messages/m.yaml": "- {message: line, text: Of the club.}\n"})
    team = write(tmp_path / "team", {"messages/m.yaml": "- {message: line, replaces: line, text: Of the team.}\n"})
    assert Base(compiled(SMALL, club, team).sections).messages["line"] == "Of the team."
    assert [problem.code for problem in compiled(SMALL, team, club).problems] == ["taken", "replaces-nothing"]


def test_one_bad_file_neither_silences_the_others_nor_passes_unseen(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "exercises/club-row.yaml": "exercise: club-row\nname: [\n",
            "exercises/club-hold.yaml": b"\xff\xfe\x00",
            "rules/a.yaml": "- rule: a\n  when: {pian: present}\n"
            f"  then: {{forbid: [{{exercise: club-row}}]}}\n  {RULE}",
            "rules/b.yaml": "rule: b\n",
            "messages/c.yaml": "- {message: c}\n",
        },
    )
    assert codes(made) == [
        ("club/exercises/club-hold.yaml", 1, 1, "not-utf-8"),
        ("club/exercises/club-row.yaml", 3, 1, "yaml"),
        ("club/messages/c.yaml", 1, 3, "missing-key"),
        ("club/rules/a.yaml", 2, 10, "unknown-attribute"),
        ("club/rules/b.yaml", 1, 1, "not-a-list"),
    ]


def test_a_cause_is_shown_without_its_followers(tmp_path: Path) -> None:
    """An attribute, a message and a question are broken; nothing that uses them is blamed for it."""
    made = laid(
        tmp_path,
        {
            "attributes/club.yaml": "- {attribute: mood, kind: on, values: [low]}\n",
            "messages/club.yaml": "- {message: cheer-up}\n",
            "questions/club.yaml": "- {question: mood, asks: mood}\n",
            "rules/club.yaml": "- rule: low\n  when: {mood: low}\n  unless: {mood: {known: false}}\n"
            f"  then: {{notice: cheer-up, ask: mood}}\n  {RULE}",
        },
    )
    assert [(problem.file.rpartition("/")[2], problem.line, problem.code) for problem in made.problems] == [
        ("club.yaml", 1, "not-one-of"),
        ("club.yaml", 1, "missing-key"),
        ("club.yaml", 1, "missing-key"),
    ]


def test_links_are_not_followed_out_of_the_folder(tmp_path: Path) -> None:
    outside = write(tmp_path / "outside", {"secret.yaml": "- {message: secret, text: Secret.}\n"})
    club = write(tmp_path / "club", {"base.yaml": "format: 1\nname: club\n"})
    (club / "messages").symlink_to(outside, target_is_directory=True)
    (club / "rules.yaml").symlink_to(outside / "secret.yaml")
    made = compiled(SMALL, club)
    assert codes(made) == [("club/messages", 0, 0, "link"), ("club/rules.yaml", 0, 0, "link")]
    assert "secret" not in made.sections["messages"]


def test_files_of_other_kinds(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "README.md": "# ours",
            ".git/config": "x",
            "rules/a.yaml~": "x",
            "examples/e.yaml": "- x",
            "rules/a.yml": "- x",
            "exercise/row.yaml": "x",
            "words/club.txt": "snatchy\n",
        },
    )
    assert codes(made) == [("club/exercise/row.yaml", 0, 0, "unknown-kind"), ("club/rules/a.yml", 0, 0, "not-yaml")]
    assert "exercises" in made.problems[0].next


@pytest.mark.parametrize(
    "text, code",
    [
        ("format: 2\nname: x\n", "format-unknown"),
        ("name: x\n", "missing-key"),
        ("format: one\nname: x\n", "wrong-type"),
    ],
)
def test_the_format_is_told(tmp_path: Path, text: str, code: str) -> None:
    made = laid(tmp_path, {"base.yaml": text})
    assert [problem.code for problem in made.problems] == [code]


def test_a_folder_of_the_future_says_only_that(tmp_path: Path) -> None:
    made = laid(tmp_path, {"base.yaml": "format: 7\nname: x\n", "rules/a.yaml": "- {spell: abracadabra}\n"})
    (problem,) = made.problems
    assert problem.place == ("club/base.yaml", 1, 9)
    assert "Bring the program up to date." in problem.next


ADDED = {
    "a rule that concludes what was only to be answered": (
        "rules/a.yaml",
        "- rule: a\n  when: {fault: twists}\n  then: {conclude: {screened: saddle}}\n",
        (3, 21, "screening-weakened"),
    ),
    "the same from a screening rule": (
        "screening/a.yaml",
        "- rule: a\n  when: {fault: twists}\n  then: {conclude: {screened: saddle}}\n",
        (3, 21, "screening-weakened"),
    ),
    "an assumption of it": (
        "rules/a.yaml",
        "- rule: a\n  then: {assume: {screened: saddle}}\n",
        (2, 19, "screening-weakened"),
    ),
    "a detour to it": (
        "rules/a.yaml",
        '- rule: a\n  then: {conclude: {saddle-signs: "no"}}\n',
        (2, 21, "screening-weakened"),
    ),
    "a detour by a fact that gives it": (
        "rules/a.yaml",
        "- rule: a\n  then: {conclude: {build: numb-for-years}}\n",
        (2, 21, "screening-weakened"),
    ),
    "a detour by a fact that keeps back what the screening waits for": (
        "rules/a.yaml",
        "- rule: a\n  then: {conclude: {build: hurts-elsewhere}}\n",
        (2, 21, "screening-weakened"),
    ),
    "a stop of its own": (
        "rules/a.yaml",
        "- rule: a\n  when: {fault: twists}\n  then: {refer: weeks}\n",
        (3, 10, "screening-only"),
    ),
    "a rule over the screening": (
        "rules/a.yaml",
        "- rule: a\n  then: {need: {row-strength: 1}}\n  over: [r05]\n",
        (3, 10, "over-screening"),
    ),
    "a rule over a rule of pain": (
        "rules/a.yaml",
        "- rule: a\n  then: {need: {row-strength: 1}}\n  over: [pain-seven-stops-work]\n",
        (3, 10, "over-screening"),
    ),
    "a screening rule replaced": (
        "screening/a.yaml",
        "- rule: r05\n  replaces: [r05]\n  when: {sign: numb-saddle}\n  then: {notice: see-clinician}\n",
        (2, 14, "shielded"),
    ),
    "a screening rule taken out": (
        "rules/a.yaml",
        "- rule: a\n  replaces: [r05]\n  then: {need: {row-strength: 1}}\n",
        (2, 14, "shielded"),
    ),
    "a rule of pain replaced": (
        "rules/a.yaml",
        "- rule: a\n  replaces: [pain-seven-stops-work]\n  then: {need: {row-strength: 1}}\n",
        (2, 14, "shielded"),
    ),
    "a rule that screening stands on replaced": (
        "rules/a.yaml",
        "- rule: a\n  replaces: [pain-means-spine]\n  then: {need: {row-strength: 1}}\n",
        (2, 14, "shielded"),
    ),
}


@pytest.mark.parametrize("attack", ADDED)
def test_rules_cannot_weaken_the_screening(tmp_path: Path, attack: str) -> None:
    path, text, expected = ADDED[attack]
    made = laid(tmp_path, {path: f"{text}  {RULE}"})
    shown = [problem[:4] for problem in errors(made.problems)]
    assert (f"club/{path}", *expected) in shown, made.problems


REPLACED = {
    "the notice": (
        "messages/a.yaml",
        "- {message: see-clinician, replaces: see-clinician, text: Train on.}\n",
        "shielded",
    ),
    "what the screening tells": (
        "messages/a.yaml",
        "- {message: numb-for-years, replaces: numb-for-years, text: Train on.}\n",
        "shielded",
    ),
    "a question of the screening": (
        "questions/a.yaml",
        '- {question: saddle, replaces: saddle, asks: saddle-signs, text: "All well?", answers: ["yes", "no"]}\n',
        "shielded",
    ),
    "a phrase that reads a sign": (
        "phrases/a.yaml",
        "- {phrase: numb-saddle, replaces: numb-saddle, says: {fault: twists}, forms: [numb]}\n",
        "shielded",
    ),
    "a word that phrases of signs are made of": (
        "phrases/a.yaml",
        "- {idea: numb, replaces: numb, forms: [deaf]}\n",
        "shielded",
    ),
    "what makes a mention denied": (
        "phrases/a.yaml",
        '- {trigger: negation, replaces: negation, reach: both, forms: ["."]}\n',
        "shielded",
    ),
    "a sign less": (
        "attributes/a.yaml",
        "- {attribute: sign, replaces: sign, kind: many, values: [none]}\n",
        "shielded",
    ),
    "a value less": (
        "attributes/a.yaml",
        "- {attribute: fault, replaces: fault, kind: many, values: [twists]}\n",
        "attribute-narrowed",
    ),
    "another kind": (
        "attributes/a.yaml",
        "- {attribute: fault, replaces: fault, kind: one, values: [twists, rounds], cautious: [twists, rounds]}\n",
        "attribute-narrowed",
    ),
}


@pytest.mark.parametrize("attack", REPLACED)
def test_entries_cannot_weaken_the_screening(tmp_path: Path, attack: str) -> None:
    path, text, code = REPLACED[attack]
    made = laid(tmp_path, {path: text})
    assert code in [problem.code for problem in errors(made.problems)], made.problems
    assert all(problem.file == f"club/{path}" for problem in errors(made.problems))


def test_screening_can_be_added_to(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "screening/club.yaml": "- rule: club-1\n  when: {sign: numb-saddle, lift: clean}\n"
            f"  then: {{conclude: {{red-flag: cauda-equina}}, stop: now, notice: see-clinician}}\n  {RULE}",
        },
    )
    assert made.problems == ()
    assert Base(made.sections).rules["club-1"].room == "screening"


def test_an_attribute_can_be_widened(tmp_path: Path) -> None:
    made = laid(
        tmp_path,
        {
            "attributes/club.yaml": "- {attribute: fault, replaces: fault, kind: many, values: [twists, rounds, x]}\n",
            "rules/club.yaml": f"- rule: x\n  when: {{fault: x}}\n  then: {{need: {{row-strength: 1}}}}\n  {RULE}",
            "phrases/club.yaml": "- {phrase: x, says: {fault: x}, forms: [wobbles about]}\n",
        },
    )
    assert made.problems == ()
