"""The question worth asking: safety first, then what keeps an effect silent, then the rest; nothing that is known."""

from __future__ import annotations

from backstay.coaching.effects import resolve
from backstay.coaching.question import next_question, safety_question, worth_asking

from .builders import Findings, base, exercise, rule

RULES = [rule("r"), rule("s"), rule("t"), rule("safety", room="screening")]
BASE = base([exercise("a")], RULES, questions=["lift", "pain-score", "saddle-signs", "twist-toward"])


def order(findings: Findings, asked: tuple[str, ...] = ()) -> tuple[str, ...]:
    return worth_asking(BASE, findings, resolve(BASE, findings), asked)


EFFECTS = [
    ("r", ("ask", "lift")),
    ("s", ("side-first", ("a",), ("fact", "twist-toward"))),
    ("safety", ("ask", "pain-score")),
]


def test_safety_then_silenced_effects_then_the_rest() -> None:
    assert order(Findings(EFFECTS)) == ("pain-score", "twist-toward", "lift")


def test_an_open_sign_before_all() -> None:
    findings = Findings([*EFFECTS, ("t", ("hold",)), ("t", ("ask", "saddle-signs"))])
    assert order(findings)[0] == "saddle-signs"
    assert safety_question(BASE, findings, resolve(BASE, findings)) == "saddle-signs"


def test_nothing_known_is_asked_but_what_was_only_assumed_may_be() -> None:
    assert order(Findings(EFFECTS, {"pain-score": 3.0})) == ("twist-toward", "lift")
    assert "lift" in order(Findings(EFFECTS, assumed={"lift": "clean"}))


def test_nothing_is_asked_twice() -> None:
    assert order(Findings(EFFECTS), ("pain-score",)) == ("twist-toward", "lift")


def test_nothing_is_asked_that_has_no_question() -> None:
    assert order(Findings([("r", ("ask", "height"))])) == ()


def test_what_more_rules_wait_for_comes_first() -> None:
    effects = [("r", ("ask", "lift")), ("r", ("ask", "twist-toward")), ("s", ("ask", "twist-toward"))]
    assert order(Findings(effects)) == ("twist-toward", "lift")


def test_nothing_to_ask() -> None:
    findings = Findings()
    assert next_question(BASE, findings, resolve(BASE, findings)) is None
    assert safety_question(BASE, findings, resolve(BASE, findings)) is None
