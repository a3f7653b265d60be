"""What is shown for `why not`, and that every change that is shown was run and holds."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from backstay.assistant import Assistant
from backstay.coaching.missing import CIRCUMSTANCES, UNLESS_SAID, Missing, missing
from backstay.coaching.plan import make_plan
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.changes import Change
from backstay.reasoning.engine import conclude
from backstay.reply.why_not import LACKS

from .answering import TODAY

TABLE = yaml.safe_load((Path(__file__).parent / "why-not.yaml").read_text(encoding="utf-8"))
SITUATIONS: dict[str, list[tuple[str, Any]]] = {
    "nothing said": [],
    "rounds, six weeks out": [("fault", "rounds"), ("moment", "first-pull"), ("weeks-to-meet", 6)],
    "sore": [("pain", "present"), ("area", "lower-back"), ("pain-score", 3), ("hurting", "spine")],
    "bands and ten minutes": [("has", "bands"), ("kit", "complete"), ("minutes", 10)],
    "fifteen, two weeks out": [("age", 15), ("weeks-to-meet", 2), ("level", "beginner")],
    "pregnant": [("condition", "pregnant")],
    "turns, meet in a week": [("fault", "twists"), ("lift", "snatch"), ("weeks-to-meet", 1)],
    "a rest day": [("occasion", "rest-day"), ("aim", "mobility")],
}
BODY = ("pain", "pain-score", "sign", "red-flag", "condition", "leg-symptom", "age", "sensation", "provoked-by", "sex")


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant()


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row["name"])
def test_it_reads_as_it_should(assistant: Assistant, row: dict[str, Any]) -> None:
    case = None
    for message in row["says"]:
        reply = assistant.answer(message, case, TODAY)
        case = reply.case
    text = " ".join(reply.text.split())
    assert [line for line in row["shows"] if line not in text] == []
    assert [line for line in row.get("not", ()) if line in text] == []


def facts_of(situation: str) -> list[Fact]:
    return [Fact(name, value, f"{name} {value}") for name, value in SITUATIONS[situation]]


def with_change(base: Base, facts: list[Fact], change: Change) -> tuple[set[str], Mapping[str, Any]]:
    """What is given and what is forbidden where this is held instead; of a thing with one value it takes the place."""
    said = dict(change.say)
    one_valued = {name for name in said if base.attributes[name].kind in ("one", "number")}
    kept = [
        fact
        for fact in facts
        if fact.attribute not in one_valued and (fact.attribute, fact.value) not in change.take_back
    ]
    kept += [Fact(name, value) for name, value in change.say]
    return planned(base, kept)


def planned(base: Base, facts: list[Fact]) -> tuple[set[str], Mapping[str, Any]]:
    plan = make_plan(base, conclude(base, [*facts, Fact("want", "recommend")]), "recommend")
    assert plan.resolved is not None
    return {pick.exercise for pick in plan.picks}, plan.resolved.forbidden


@pytest.mark.parametrize("situation", SITUATIONS)
def test_every_change_that_is_shown_was_run_and_touches_nobodys_body(assistant: Assistant, situation: str) -> None:
    base, facts = assistant.base, facts_of(situation)
    said = {fact.attribute for fact in facts}
    findings = conclude(base, [*facts, Fact("want", "why-not")])
    picked, forbidden = planned(base, facts)
    shown = 0
    for exercise in base.exercises:
        found = missing(base, findings, exercise)
        assert found.given == (exercise in picked)
        assert {barrier.rule for barrier in found.barriers} == set(forbidden.get(exercise, ()))
        changes = [(found.change, found.enters)] + [(near.change, True) for near in found.near]
        for change, enters in changes:
            if change is None:
                continue
            shown += 1
            touched = {name for name, _ in (*change.say, *change.take_back)}
            assert touched.isdisjoint(BODY)
            assert touched <= CIRCUMSTANCES | (UNLESS_SAID - said)
            given_then, forbidden_then = with_change(base, facts, change)
            assert exercise not in forbidden_then
            assert (exercise in given_then) == enters
        for barrier in found.barriers:
            if barrier.change is not None:
                _, forbidden_then = with_change(base, facts, barrier.change)
                assert barrier.rule not in forbidden_then.get(exercise, ())
        _check_order(found)
    assert shown or situation in ("sore", "pregnant")


def _check_order(found: Missing) -> None:
    """What is lifted by least comes first, what stays comes last; nearest rules first."""
    sizes = [99 if barrier.change is None else barrier.change.size for barrier in found.barriers]
    assert sizes == sorted(sizes)
    lacks = [len(near.failed) for near in found.near]
    assert lacks == sorted(lacks)
    if found.change is not None:
        assert all(barrier.change is not None for barrier in found.barriers)


def test_the_three_kinds_of_absence_are_three_sentences(assistant: Assistant) -> None:
    sentences = {assistant.base.messages[message] for message in LACKS.values()}
    assert len(sentences) == len(LACKS)
