"""The question in an answer: shown with its answers, taken up when it is answered, and put once."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

import pytest

from backstay.assistant import Assistant

TODAY = date(2026, 11, 25)
FIRST = "my back rounds when the bar leaves the floor, what can I do"


@cache
def assistant() -> Assistant:
    return Assistant()


def said(message: str, case: Any = None) -> Any:
    return assistant().answer(message, case, today=TODAY).as_json()


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_the_question_is_shown_with_its_answers() -> None:
    answer = said(FIRST)
    assert answer["outcome"] == "advice"
    assert answer["ask_next"]["text"] in one_line(answer["text"])
    for offered in answer["ask_next"]["answers"]:
        assert offered in one_line(answer["text"])
    assert "not sure" in one_line(answer["text"])


def test_of_figures_some_are_named_and_of_words_all() -> None:
    words = assistant().base.questions["level"]
    shown = {}
    case = said(FIRST)["case"]
    for _ in range(12):
        answer = said("not sure", case)
        case, ask = answer["case"], answer["ask_next"]
        if ask is None:
            break
        shown[ask["fact"]] = one_line(answer["text"])
    assert f"{words.text} Say beginner, intermediate, advanced or not sure." in shown["level"]
    assert "How old are you? A figure will do, such as 15, 25, 45, 60 or not sure." in shown["age"]


@pytest.mark.parametrize("unsure", ["not sure", "I don't know", "no idea", "skip"])
def test_what_nobody_is_sure_of_is_not_asked_again_and_the_advice_goes_on(unsure: str) -> None:
    answer = said(FIRST)
    asked: list[str] = []
    while answer["ask_next"] is not None:
        fact = answer["ask_next"]["fact"]
        assert fact not in asked
        asked.append(fact)
        answer = said(unsure, answer["case"])
        assert answer["outcome"] == "advice"
        assert answer["picks"]
    assert len(asked) >= 5


def test_an_answer_offered_is_taken_up() -> None:
    answer = said(FIRST)
    for _ in range(5):
        fact, offered = answer["ask_next"]["fact"], answer["ask_next"]["answers"][0]
        after = said(offered, answer["case"])
        assert fact in {one[0] for one in after["case"]["facts"]}
        if after["ask_next"] is None:
            break
        assert after["ask_next"]["fact"] != fact
        answer = after


@pytest.mark.parametrize("unsure", ["not sure", "I don't know", "dunno", "hard to say"])
def test_not_to_be_sure_of_a_sign_counts_as_yes(unsure: str) -> None:
    case = {**said("hello")["case"], "facts": [["doubt", "saddle", ""], ["pain", "present", ""]]}
    asked = said("my low back aches when I pee", case)
    if asked["outcome"] != "question":
        asked = said("maybe something is odd between my legs, not clear, and my back hurts")
    assert asked["outcome"] == "question"
    assert asked["ask_next"]["fact"].endswith("-signs")
    assert "not sure" not in one_line(asked["text"])
    after = said(unsure, asked["case"])
    assert after["outcome"] == "stop"
    assert after["picks"] == []


def test_a_question_for_want_of_anything_to_pick_is_no_emergency_when_it_goes_unanswered() -> None:
    from types import SimpleNamespace

    from backstay.reply.compose import _silence

    assert _silence(SimpleNamespace(outcome="question", because=()), "kit") == ()
    (fact,) = _silence(SimpleNamespace(outcome="question", because=("doubt-saddle",)), "saddle-signs")
    assert (fact.attribute, fact.value) == ("saddle-signs", "yes")
