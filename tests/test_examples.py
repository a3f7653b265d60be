"""Examples a coach keeps: what they may expect, what is said when an answer does not hold it, and where."""

from __future__ import annotations

from pathlib import Path

import pytest

from backstay import Assistant
from backstay.examples import example_files, read_examples, replay, run_examples
from backstay.expectations import TESTS, same
from backstay.knowledge.folders import folder
from backstay.knowledge.problems import Problem

ASSISTANT = Assistant()
BASE = ASSISTANT.base
# Facts, and what holds of the answer to them; each line of the table below adds one expectation to these.
TURN = "given: {pain: absent, fault: twists, twist-toward: right, weeks-to-meet: 9, best.clean: 100}"


def problems(tmp_path: Path, text: str) -> list[Problem]:
    file = tmp_path / "club" / "examples" / "ours.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")
    return list(run_examples(BASE, [str(tmp_path / "club")]).problems)


def of_one(tmp_path: Path, expectation: str) -> list[Problem]:
    return problems(tmp_path, f"- example: one\n  turns:\n    - {TURN}\n      {expectation}\n")


HOLD = [
    "want: recommend",
    "outcome: advice",
    "urgency: none",
    "facts-has: {fault: twists, weeks-to-meet: 9}",
    "facts-has: {fault: [twists]}",
    "assumed: {level: intermediate}",
    "derived-or-assumed: {phase: specific-preparation}",
    "notices-not: see-clinician",
    "picks-has: [single-leg-romanian-deadlift]",
    "picks-some: [bird-dog, single-leg-romanian-deadlift]",
    "picks-not: [good-morning, jefferson-curl]",
    "because-has: twist-starts-in-the-pull",
    "first-side: {single-leg-romanian-deadlift: left}",
    "dose: {single-leg-romanian-deadlift: {use: strength, reps: 7}}",
    "dose: {single-leg-romanian-deadlift: {reps: [7, 7], reserve: [2, 4]}}",
    'shows: "left first (stance leg)"',
    "shows-not: see a doctor at once",
    "week-days: 0",
]
FAIL = [
    ("want: dose", "recommend"),
    ("outcome: stop", "advice"),
    ("urgency: emergency", "none"),
    ("within: now", "nothing"),
    ("facts: {fault: twists}", "twist-toward: right"),
    ("facts-has: {fault: rounds}", "twists"),
    ("facts-has: {weeks-to-meet: 8}", "weeks-to-meet: 9"),
    ("assumed: {level: beginner}", "intermediate"),
    ("derived-or-assumed: {phase: peaking}", "specific-preparation"),
    ("notices: see-clinician", ""),
    ("notices-has: [see-clinician]", ""),
    ("asks: weak-side.left", ""),
    ("asks-with: xyz", ""),
    ("picks-has: bird-dog", "single-leg-romanian-deadlift"),
    ("picks-some: [bird-dog]", "single-leg-romanian-deadlift"),
    ("picks-not: single-leg-romanian-deadlift", "single-leg-romanian-deadlift"),
    ("picks-only: []", "single-leg-romanian-deadlift"),
    ("because-has: weaker-side-first", "twist-starts-in-the-pull"),
    ("first-side: {single-leg-romanian-deadlift: right}", "left"),
    ("first-side: {bird-dog: left}", "left"),
    ("days: {single-leg-romanian-deadlift: 7}", ""),
    ("dose: {single-leg-romanian-deadlift: {sets: 19}}", "sets"),
    ("dose: {bird-dog: {sets: 3}}", "bird-dog: nothing"),
    ("week-days: 3", "0"),
    ('block-ends: "2027-01-01"', "nothing"),
    ("shows: no such words", "For your back"),
    ("shows-not: stance leg", "stance leg"),
    ("safety: Stop.", "For your back"),
]


@pytest.mark.parametrize("expectation", HOLD)
def test_what_holds_is_no_problem(tmp_path: Path, expectation: str) -> None:
    assert of_one(tmp_path, expectation) == []


@pytest.mark.parametrize("expectation, found", FAIL)
def test_what_does_not_hold_is_said_with_what_is_there(tmp_path: Path, expectation: str, found: str) -> None:
    (problem,) = of_one(tmp_path, expectation)
    assert (problem.code, problem.line, problem.column, problem.severity) == ("example-failed", 4, 7, "error")
    key = expectation.partition(":")[0]
    assert f"`{key}` does not hold in the example `one`" in problem.what
    assert found in problem.what


def test_every_expectation_is_tried_both_ways() -> None:
    assert {line.partition(":")[0] for line, _ in FAIL} == set(TESTS) - {"notices-not"}
    # These are held by the conversations of transcripts_demo.
    held_there = {"facts", "notices", "notices-has", "within", "asks", "asks-with", "picks-only", "days", "block-ends"}
    assert {line.partition(":")[0] for line in HOLD} == set(TESTS) - held_there - {"safety"}


WRONG = [
    ("- example: one\n  turns:\n    - says: hello\n      picks-has: bird-dgo\n", 4, "Did you mean `bird-dog`?"),
    ("- example: one\n  turns:\n    - says: hello\n      dose: {bird-dgo: {sets: 3}}\n", 4, "bird-dog"),
    ("- example: one\n  turns:\n    - says: hello\n      notices: see-clinican\n", 4, "see-clinician"),
    ("- example: one\n  turns:\n    - says: hello\n      because-has: no-such-rule-at-all\n", 4, "no rule"),
    ("- example: one\n  turns:\n    - says: hello\n      facts-has: {falt: twists}\n", 4, "fault"),
    ("- example: one\n  turns:\n    - given: {fault: twist}\n", 3, "twists"),
    ("- example: one\n  turns:\n    - given: {weeks-to-meet: 3 kg}\n", 3, "weeks"),
    ("- example: one\n  turns:\n    - outcome: advice\n", 3, "says"),
    ("- example: one\n  turns: []\n", 2, "at least 1"),
    ("- example: one\n  turns:\n    - says: hello\n      outcom: stop\n", 4, "Did you mean `outcome`?"),
    ("- example: one\n  turns:\n    - says: hello\n      outcome: stopp\n", 4, "stop"),
    ("- example: one\n  today: 2026-02-30\n  turns:\n    - says: hello\n", 2, "no day"),
    ("example: one\nturns: []\n", 1, "list of entries"),
    ("- one\n", 1, "mapping"),
    ("- example: one\n  turns:\n\t- says: x\n", 3, "tab"),
    (
        "- example: one\n  turns:\n    - says: hello\n- example: one\n  turns:\n    - says: hello\n",
        4,
        "there already, at",
    ),
]


@pytest.mark.parametrize("text, line, words", WRONG)
def test_what_is_wrong_with_its_form_is_said_at_its_place(tmp_path: Path, text: str, line: int, words: str) -> None:
    (problem,) = problems(tmp_path, text)
    assert problem.line == line, problem
    assert words in str(problem)


def test_one_broken_example_hides_no_other(tmp_path: Path) -> None:
    text = (
        "- example: one\n  turns:\n    - says: hello\n      outcome: stop\n"
        "- example: two\n  turns:\n    - says: hello\n      outcom: stop\n"
        "- example: three\n  turns:\n    - says: hello\n      outcome: refer\n"
    )
    assert [(problem.line, problem.code) for problem in problems(tmp_path, text)] == [
        (4, "example-failed"),
        (8, "unknown-key"),
        (12, "example-failed"),
    ]


def test_turns_go_on_from_each_other(tmp_path: Path) -> None:
    text = """- example: one
  turns:
    - says: low back tired in clean pulls, what should I do?
      outcome: advice
    - given: {weeks-to-meet: 2}
      derived-or-assumed: {phase: peaking}
      picks-not: [jefferson-curl]
    - says: and now it hurts, 8 of 10
      given: {age: 30}
      notices-has: see-clinician
      picks-only: []
"""
    assert problems(tmp_path, text) == []


def test_facts_may_be_given_beside_what_is_said(tmp_path: Path) -> None:
    text = """- example: one
  turns:
    - says: back extensions please, how many?
      given: {pain: present}
      notices-has: see-clinician
"""
    assert problems(tmp_path, text) == []


def test_a_notice_that_must_not_be_is_found(tmp_path: Path) -> None:
    text = "- example: one\n  turns:\n    - given: {pain: present}\n      notices-not: see-clinician\n"
    (problem,) = problems(tmp_path, text)
    assert (problem.line, problem.code) == (4, "example-failed")


def test_facts_that_are_given_are_answered_as_facts_that_are_said(tmp_path: Path) -> None:
    file = tmp_path / "ours.yaml"
    given = "{fault: rounds, moment: first-pull, weeks-to-meet: 21 days}"
    file.write_text(f"- example: one\n  turns:\n    - given: {given}\n", encoding="utf-8")
    notes: list[Problem] = []
    (example,) = read_examples([(str(file), "ours.yaml")], BASE, notes)
    (reply,) = replay(ASSISTANT, example)
    said = ASSISTANT.answer("my back rounds when the bar leaves the floor, 3 weeks out. what should I do?")
    assert notes == []
    assert [pick.exercise for pick in reply.picks] == [pick.exercise for pick in said.picks]


def test_an_answer_that_refuses_to_be_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise ValueError("stop: picks bird-dog")

    monkeypatch.setattr("backstay.assistant.compose", refuse)
    (problem,) = problems(tmp_path, "- example: one\n  turns:\n    - says: hello\n")
    assert problem.code == "example-broken"
    assert "stop: picks bird-dog" in problem.what


def test_only_yaml_under_examples_is_read(tmp_path: Path) -> None:
    for name in ("examples/a.yaml", "examples/b.txt", "examples.yaml", "rules/examples.yaml", "examples/.c.yaml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("x", encoding="utf-8")
    assert [shown for _, shown in example_files(folder(str(tmp_path), "club"))] == [
        "club/examples.yaml",
        "club/examples/a.yaml",
    ]


@pytest.mark.parametrize(
    "one, other, alike",
    [
        ("a", ["a"], True), (["a", "b"], ["b", "a"], True), (["a"], ["a", "b"], False), (9.4, 9.43, True),
        (9, 9.0, True), (9, 8, False), ({"a": 1}, {"a": [1]}, True), ({"a": 1}, {"b": 1}, False),
        (["a", "a"], ["a", "b"], False),
    ],
)  # fmt: skip
def test_values_are_the_same_as_a_coach_means_it(one: object, other: object, alike: bool) -> None:
    assert same(one, other) == alike
