"""A walk over what screening looks at: whatever is told, no answer is unsafe, in its fields or in its text.

Every answer made here has already passed what a Reply refuses; here the rest is looked at: that a stop or a referral
holds no exercise in any of its fields and none in its words, and that what hurts brings the notice first.
"""

import json
import re
from itertools import cycle
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from backstay.case import Case
from backstay.knowledge.base import Base
from backstay.reply.reply import SEE_CLINICIAN, STOPS, Reply

from .answering import Answering


@pytest.fixture(scope="module")
def answer() -> Answering:
    return Answering()


@pytest.fixture(scope="module")
def base(answer: Answering) -> Base:
    return answer.base


PAINS: tuple[tuple[tuple[str, Any], ...], ...] = (
    (),
    (("pain", "present"),),
    (("pain", "absent"),),
    (("pain", "present"), ("area", "lower-back"), ("pain-score", 7)),
)
AGES: tuple[tuple[tuple[str, Any], ...], ...] = ((), (("age", 16),), (("age", 34),), (("age", 68),))
OTHER_WANTS = ("state", "dose", "how-to", "week", "log", "help", "social", "why-not", "compare", "lift-today", "swap")
TOLD = ("sign", "doubt", "red-flag", "leg-symptom", "condition", "masked-by", "provoked-by", "onset", "course")


def told(base: Base) -> list[tuple[str, str]]:
    """All values of what screening reads, and both answers to each of its questions."""
    facts = [(name, value) for name in TOLD for value in base.attributes[name].values]
    asked = [question.asks for question in base.questions.values() if set(question.answers) == {"yes", "no"}]
    return facts + [(name, value) for name in asked for value in ("yes", "no")]


def look_at(base: Base, reply: Reply, facts: Any) -> None:
    value = json.loads(json.dumps(reply.as_json()))
    ids = [notice["id"] for notice in value["notices"]]
    hurts = any(fact in facts for fact in (("pain", "present"), ("pain-score", 7)))
    flagged = bool(value["understood"]["facts"].get("red-flag"))
    if hurts or flagged:
        assert ids[:1] == [SEE_CLINICIAN], facts
        assert value["urgency"] != "none", facts
    if value["outcome"] in ("stop", "refer", "question"):
        assert not value["picks"], facts
        assert not value.get("week"), facts
        assert not value.get("block"), facts
        words = re.sub(r"\s+", " ", value["text"]).casefold()
        for exercise in base.exercises.values():
            assert not re.search(rf"\b{re.escape(exercise.name.casefold())}\b", words), (facts, exercise.name)
    if value["outcome"] == "stop":
        assert (value["urgency"], value["within"]) in STOPS
        assert SEE_CLINICIAN in ids
        # The act comes first: before any notice, reason or quotation.
        assert value["text"].startswith("Stop"), facts
    if value["outcome"] == "question":
        assert value["ask_next"]["text"].split()[-1] in " ".join(value["text"].split()), facts


@pytest.mark.parametrize("pain", PAINS, ids=["nothing on pain", "pain", "no pain", "strong pain"])
@pytest.mark.parametrize("age", AGES, ids=["no age", "16", "34", "68"])
def test_whatever_is_told_the_answer_is_safe(base: Base, answer: Answering, pain: Any, age: Any) -> None:
    wants = cycle(("recommend", *OTHER_WANTS))
    for fact in told(base):
        facts = (*pain, *age, fact)
        for want in {next(wants), *(() if age else ("recommend",))}:
            named = [("exercise", "good-morning")] if want in ("dose", "how-to", "compare", "log") else []
            look_at(base, answer(want, (*facts, *named)), facts)


def test_several_things_told_at_once(base: Base, answer: Answering) -> None:
    facts = told(base)

    @settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(
        st.lists(st.sampled_from(facts), min_size=2, max_size=5, unique=True),
        st.sampled_from(PAINS),
        st.sampled_from(AGES),
        st.sampled_from(("recommend", *OTHER_WANTS)),
        st.sampled_from([None, 40, 88]),
    )
    def walk(several: Any, pain: Any, age: Any, want: str, width: int | None) -> None:
        held = (*pain, *age, *several)
        look_at(base, answer(want, held, width=width), held)

    walk()


@pytest.mark.parametrize("question", ["saddle-signs", "injury-signs", "chest-signs"])
@pytest.mark.parametrize("silence", [{}, {"facts": [("lift", "clean")]}, {"facts": [("pain", "absent")]}])
def test_silence_on_a_question_about_an_emergency_is_a_yes(
    base: Base, answer: Answering, question: str, silence: dict[str, Any]
) -> None:
    doubt = question.removesuffix("-signs")
    first = answer("recommend", [("doubt", doubt), ("pain", "present")])
    assert (first.outcome, first.ask_next and first.ask_next.fact) == ("question", question)
    then = answer("recommend", case=Case.from_json(dict(first.case)), **silence)
    assert (then.outcome, then.urgency) == ("stop", "emergency")


def test_a_no_opens_the_way(answer: Answering) -> None:
    first = answer("recommend", [("doubt", "saddle"), ("pain", "present"), ("area", "lower-back")])
    then = answer("state", [("saddle-signs", "no")], case=Case.from_json(dict(first.case)), answered=True)
    assert then.outcome == "advice"
    assert then.notices[0].id == SEE_CLINICIAN
    assert then.picks


def test_a_stop_stays_a_stop_whatever_is_said_next(answer: Answering) -> None:
    case = Case()
    for facts in ([("sign", "numb-saddle")], [("pain", "absent")], [("lift", "clean")], [("pain-score", 0)]):
        reply = answer("recommend", facts, case=case)
        assert (reply.outcome, reply.urgency) == ("stop", "emergency")
        case = Case.from_json(dict(reply.case))
