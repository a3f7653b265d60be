"""The assistant walks a message through the rooms, and keeps nothing of anybody."""

import json
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from backstay import Assistant, Case, Reply
from backstay.assistant import LONGEST_MESSAGE
from backstay.case import CaseError
from backstay.reply.reply import SEE_CLINICIAN

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant()


def test_three_lines_are_an_answer(assistant: Assistant) -> None:
    reply = assistant.answer("my back rounds when the bar leaves the floor, 6 weeks out", today=TODAY)
    assert isinstance(reply, Reply)
    assert reply.picks
    assert reply.text


def test_it_keeps_nothing_of_one_asker_for_the_next(assistant: Assistant) -> None:
    first = assistant.answer("what back work 6 weeks out", today=TODAY)
    assistant.answer("numb between my legs since the deadlifts yesterday, back hurts", today=TODAY)
    again = assistant.answer("what back work 6 weeks out", today=TODAY)
    assert again.as_json() == first.as_json()


def test_a_case_may_come_back_as_a_value_or_as_json(assistant: Assistant) -> None:
    first = assistant.answer("my back rounds off the floor in the clean, what should I do", today=TODAY)
    over_the_wire = json.loads(json.dumps(first.as_json()))["case"]
    by_json = assistant.answer("6 weeks out", case=over_the_wire, today=TODAY)
    by_value = assistant.answer("6 weeks out", case=Case.from_json(over_the_wire), today=TODAY)
    assert by_json.as_json() == by_value.as_json()
    assert by_json.case["turns"] == 2


@pytest.mark.parametrize("case", [{}, {"format": 1, "facts": "x"}, {"format": 3}, [], "x"])
def test_what_is_no_case_is_refused(assistant: Assistant, case: Any) -> None:
    with pytest.raises(CaseError):
        assistant.answer("hello", case=case)


def test_many_may_ask_at_once(assistant: Assistant) -> None:
    messages = [
        "what back work 6 weeks out",
        "how do I set up a back extension",
        "numb between my legs, back hurts",
    ] * 8
    alone = [assistant.answer(message, today=TODAY).as_json() for message in messages]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(lambda message: assistant.answer(message, today=TODAY).as_json(), messages))
    assert together == alone


def test_a_message_without_end_is_not_advice(assistant: Assistant) -> None:
    reply = assistant.answer("back work " * LONGEST_MESSAGE)
    assert (reply.outcome, reply.picks) == ("not-understood", ())
    assert reply.notices[0].id == SEE_CLINICIAN
    assert "emergency" in reply.text


@pytest.mark.parametrize("message", ["", "   ", "\n\n", "???", "\x00", "asdkjh qwoe zz"])
def test_what_says_nothing_is_not_advice(assistant: Assistant, message: str) -> None:
    reply = assistant.answer(message, today=TODAY)
    assert reply.outcome in ("not-understood", "out-of-scope", "noted")
    assert not reply.picks


def test_whatever_is_typed_there_is_an_answer(assistant: Assistant) -> None:
    words = [
        "my back hurts",
        "no pain",
        "clean",
        "6 weeks",
        "numb",
        "what",
        "why",
        "3/10",
        "left",
        "bird dog",
        "not",
        ",",
    ]

    @settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(st.lists(st.sampled_from(words) | st.text(max_size=12), max_size=10), st.integers(20, 100))
    def typed(parts: list[str], width: int) -> None:
        reply = assistant.answer(" ".join(parts), today=TODAY, width=width)
        assert json.loads(json.dumps(reply.as_json()))
        assert all(len(line) <= max(width, 20) for line in reply.text.split("\n") if line.isascii())
        again = assistant.answer("and then?", case=reply.case, today=TODAY)
        assert again.case["turns"] == reply.case["turns"] + 1

    typed()
