"""Answers to a question: those offered are understood when they are typed back, and not to be sure is always one."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from backstay.language.reading import understand
from backstay.reply.words import Words

TODAY = date(2026, 11, 25)
NOT_SURE = (
    "not sure", "I'm not sure", "I don't know", "dunno", "no idea", "I have no idea", "can't tell", "hard to say",
    "not really sure tbh", "I can not remember", "skip", "pass", "it depends", "unsure", "no clue",
)  # fmt: skip
NONE = ("none of these", "none", "nothing of that", "neither", "none of it")


@cache
def built_in() -> Base:
    return load()


OFFERED = [(question.asks, answer) for question in built_in().questions.values() for answer in question.answers]
OPEN = sorted({asks for asks, _ in OFFERED if not asks.endswith("-signs")})
CLOSED = sorted({asks for asks, _ in OFFERED if asks.endswith("-signs")})


@pytest.mark.parametrize("asks, answer", OFFERED, ids=lambda value: str(value))
def test_an_answer_that_is_offered_is_understood(asks: str, answer: str | float) -> None:
    reading = understand(built_in(), Words(built_in()).answer(asks, answer), TODAY, asks)
    assert reading.answered
    assert [fact.value for fact in reading.facts if fact.attribute == asks] == [answer]


@pytest.mark.parametrize("words", NOT_SURE)
def test_not_to_be_sure_answers_and_says_nothing(words: str) -> None:
    for asks in OPEN:
        reading = understand(built_in(), words, TODAY, asks)
        assert reading.answered, asks
        assert reading.want == "state"
        assert not [fact for fact in reading.facts if fact.attribute == asks], asks


@pytest.mark.parametrize("words", NOT_SURE)
def test_of_a_sign_not_to_be_sure_is_no_answer(words: str) -> None:
    for asks in CLOSED:
        reading = understand(built_in(), words, TODAY, asks)
        assert not reading.answered, asks
        assert not [fact for fact in reading.facts if fact.attribute == asks], asks


@pytest.mark.parametrize("words", NONE)
@pytest.mark.parametrize("asks", ["leg-symptom", "condition", "fault", "masked-by"])
def test_none_of_what_was_asked_is_an_answer(asks: str, words: str) -> None:
    reading = understand(built_in(), words, TODAY, asks)
    assert reading.answered
    assert not [fact for fact in reading.facts if fact.attribute == asks]


def test_a_figure_beside_the_doubt_is_taken() -> None:
    reading = understand(built_in(), "not sure, maybe 3", TODAY, "pain-score")
    assert [fact.value for fact in reading.facts if fact.attribute == "pain-score"] == [3]


@pytest.mark.parametrize("words, value", [("no", "no"), ("nope, nothing", "no"), ("yes", "yes"), ("yeah a bit", "yes")])
def test_a_plain_answer_closes_a_sign(words: str, value: str) -> None:
    reading = understand(built_in(), words, TODAY, "saddle-signs")
    assert [fact.value for fact in reading.facts if fact.attribute == "saddle-signs"] == [value]
