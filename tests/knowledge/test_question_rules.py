"""When a question may be put comes to an ordinary rule with an id, and nothing else does."""

from __future__ import annotations

import marshal
from pathlib import Path

from backstay.knowledge.base import RuleInfo

from .small_bases import compiled, small

QUESTIONS = """
- {question: far, asks: weeks-to-meet, when: {phase: peaking}, unless: {weeks-to-meet: {known: true}},
   text: "How far is the meet?", because: Near it there is less.}
- {question: plain, asks: age, text: "How old are you?"}
"""


def test_a_question_with_a_condition_makes_a_rule_that_asks(tmp_path: Path) -> None:
    made = compiled(small(tmp_path / "small", {"questions/more.yaml": QUESTIONS}))
    assert [one.what for one in made.problems if one.severity == "error" and "more.yaml" in one.file] == []
    rules = {name: RuleInfo._make(marshal.loads(row)) for name, row in made.sections["rules"].items()}
    far = rules["question/far"]
    assert (far.room, far.effects, far.because) == ("question", (("ask", "weeks-to-meet"),), "Near it there is less.")
    assert "question/plain" not in rules
    program = made.sections["program"]
    when, unless, concludes, _ = marshal.loads(program["trees"][program["rules"].index("question/far")])
    assert (when, unless) == (("is", "phase", "peaking"), ("known", "weeks-to-meet"))
    assert not concludes


def test_a_wrong_condition_is_told_at_its_place(tmp_path: Path) -> None:
    wrong = '- {question: far, asks: weeks-to-meet, when: {fase: peaking}, text: "How far?"}\n'
    made = compiled(small(tmp_path / "small", {"questions/more.yaml": wrong}))
    (problem,) = [one for one in made.problems if "more.yaml" in one.file and one.severity == "error"]
    assert "fase" in problem.what
    assert "question/far" not in made.sections["rules"]
