"""A walk over the screening facts: signs alone, in pairs and threes, with pain, age and condition.

Nothing softens a stop, pain is always answered with the notice, and no answer to something that must stop, refer or be
asked about holds an exercise.
"""

from __future__ import annotations

import datetime
import itertools
import random
from typing import Any

import pytest

from backstay import Assistant
from backstay.case import Case
from backstay.coaching.plan import make_plan
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

from .tables import built_in_base, facts_of

TODAY = datetime.date(2026, 11, 25)
SOONEST = ("now", "today", "days", None)
SIGNS = tuple(built_in_base().attributes["sign"].values)
DOUBTS = tuple(built_in_base().attributes["doubt"].values)
CONDITIONS = (None, *built_in_base().attributes["condition"].values)
PAINS: tuple[dict[str, Any], ...] = (
    {},
    {"pain": "present"},
    {"pain": "present", "area": ["lower-back"]},
    {"pain-score": 3},
    {"pain": "absent"},
)
PAIN_IN_OTHER_WORDS: tuple[dict[str, Any], ...] = (
    {"pain": "present"},
    {"pain-score": 1},
    {"pain-next-day": 1},
    {"masked-by": ["painkiller"]},
    {"sensation": ["sharp"]},
)
AGES: tuple[dict[str, Any], ...] = ({}, {"age": 14}, {"age": 30}, {"age": 70})
# What a clinician has looked at already, or what is told to be as it always was, may soften; nothing else does.
SOFTENS = frozenset({"known-unchanged", "examined-normal"})
WITHOUT_WORK = frozenset({"stop", "refer", "question"})


def stop_of(told: dict[str, Any]) -> str | None:
    """How soon the fired rules stop, or None."""
    stops = {effect[1] for _, effect in conclude(built_in_base(), facts_of(told)).effects if effect[0] == "stop"}
    return next((when for when in SOONEST if when in stops), None)


def notices_of(told: dict[str, Any]) -> set[str]:
    return {effect[1] for _, effect in conclude(built_in_base(), facts_of(told)).effects if effect[0] == "notice"}


def not_later(one: str | None, other: str | None) -> bool:
    return SOONEST.index(one) <= SOONEST.index(other)


@pytest.mark.parametrize("pain", PAINS, ids=str)
def test_no_condition_and_no_age_softens_a_sign(pain: dict[str, Any]) -> None:
    for sign in SIGNS:
        alone = stop_of({"sign": [sign], **pain})
        for condition in CONDITIONS[1:]:
            assert not_later(stop_of({"sign": [sign], "condition": [condition], **pain}), alone), (sign, condition)
        if sign not in ("height-loss", "one-bony-spot"):  # these are signs of the old, or of the young
            for age in AGES[1:]:
                assert not_later(stop_of({"sign": [sign], **age, **pain}), alone), (sign, age)


@pytest.mark.parametrize("pain", PAINS[:3], ids=str)
def test_a_second_sign_never_softens_the_first(pain: dict[str, Any]) -> None:
    alone = {sign: stop_of({"sign": [sign], **pain}) for sign in SIGNS}
    for one, other in itertools.combinations([sign for sign in SIGNS if sign not in SOFTENS], 2):
        both = stop_of({"sign": [one, other], **pain})
        assert not_later(both, alone[one]), (one, other)
        assert not_later(both, alone[other]), (one, other)


def test_less_pain_said_never_makes_a_stop_later_but_for_blows_bones_and_fevers() -> None:
    """`no pain` is no comfort for nerves or bladder: what stops without pain told stops with pain denied."""
    needs_pain = {sign for sign in SIGNS if stop_of({"sign": [sign]}) is None}
    for sign in set(SIGNS) - needs_pain - {"new-sexual-trouble", "pulsing-belly"}:
        assert stop_of({"sign": [sign], "pain": "absent"}) == stop_of({"sign": [sign]}), sign


def test_pain_in_any_words_brings_the_notice_whatever_else_is_told() -> None:
    for pain in PAIN_IN_OTHER_WORDS:
        for age, condition in itertools.product(AGES, CONDITIONS):
            told = {**pain, **age, **({"condition": [condition]} if condition else {})}
            assert "see-clinician" in notices_of(told), told
    for sign in SIGNS:
        assert "see-clinician" in notices_of({"sign": [sign], "pain": "present"}), sign


def test_whatever_stops_brings_the_notice() -> None:
    for sign, pain in itertools.product(SIGNS, PAINS):
        told = {"sign": [sign], **pain}
        if stop_of(told) is not None:
            assert "see-clinician" in notices_of(told), told


def answered(assistant: Assistant, told: dict[str, Any], message: str) -> dict[str, Any]:
    return assistant.answer(message, case=Case(facts=[Fact(*fact) for fact in facts_of(told)]), today=TODAY).as_json()


@pytest.mark.parametrize(
    "message", ["what can i do for my back", "make me a week, 4 sessions", "how many sets of back extensions"]
)
def test_an_answer_to_what_must_stop_holds_no_exercise(message: str) -> None:
    assistant = Assistant()
    for sign, pain in itertools.product(SIGNS, PAINS[1:]):
        told = {"sign": [sign], **pain}
        stop = stop_of(told)
        said = answered(assistant, told, message)
        if stop is not None:
            assert (said["outcome"], said["within"]) == ("stop", stop), told
        if said["outcome"] in WITHOUT_WORK:
            assert not said["picks"], told
            assert not said.get("week"), told


def test_a_doubt_shows_no_exercise_and_asks() -> None:
    base = built_in_base()
    for doubt, pain in itertools.product(DOUBTS, PAINS[1:]):
        if doubt == "injury" and pain == {"pain": "absent"}:
            continue  # a fall that left no pain is none
        findings = conclude(base, facts_of({"doubt": [doubt], **pain}))
        plan = make_plan(base, findings, "recommend", (), TODAY)
        assert plan.outcome == "question", (doubt, pain)
        assert not plan.picks
        assert plan.ask_next is not None


def test_triples_of_facts_never_soften_a_stop() -> None:
    """A sample, the same each time, of three signs with pain, age and condition."""
    chance = random.Random(20261125)
    signs = [sign for sign in SIGNS if sign not in SOFTENS]
    for _ in range(4000):
        three = chance.sample(signs, 3)
        rest: dict[str, Any] = {**chance.choice(PAINS[1:4]), **chance.choice([{}, {"age": 14}, {"age": 70}])}
        condition = chance.choice(CONDITIONS)
        more = {"condition": [condition]} if condition else {}
        whole = stop_of({"sign": three, **rest, **more})
        for sign in three:
            if sign in ("height-loss", "one-bony-spot") and "age" in rest:
                continue
            assert not_later(whole, stop_of({"sign": [sign], **rest})), (three, rest, more)


def test_the_order_in_which_facts_are_told_changes_nothing() -> None:
    chance = random.Random(7)
    for _ in range(300):
        facts = facts_of({"sign": chance.sample(SIGNS, 4), "pain": "present", "age": 16, "condition": ["diabetes"]})
        shuffled = chance.sample(facts, len(facts))
        one, other = conclude(built_in_base(), facts), conclude(built_in_base(), shuffled)
        assert one.fired == other.fired
        assert sorted(map(repr, one.effects)) == sorted(map(repr, other.effects))
