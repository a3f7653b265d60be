"""The load on the low back in the words of an answer, and its JSON: an estimate with a band, or why there is none."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest

from backstay import Assistant

TODAY = date(2026, 11, 25)
FORBIDDEN = r"\b(safe|safely|safer|risk\w*|damage\w*|decompress\w*|NIOSH)\b"


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant()


def said(assistant: Assistant, message: str) -> str:
    return " ".join(assistant.answer(message, today=TODAY).text.split())


# Body mass 75 kg, an usual height where none is told. Romanian deadlift with 80 kg: hand sum 3.23 (tests/outside).
MESSAGES = [
    ("dose of the level back extension hold", "about 0.9x your own trunk held level, an estimate, 20 % either way"),
    ("dose of the bird dog", "about 0.7x your own trunk held level, an estimate, 40 % either way"),
    ("dose of reverse hyperextensions", "an estimate, 50 % less to 10 % more"),
    ("dose of the front plank", "no figure. A braced trunk cannot be reckoned from its posture"),
    ("dose of romanian deadlifts, general preparation", "your trunk alone, for the kilograms on it are not known"),
    ("compare back extensions and romanian deadlifts, general preparation", "1.0x your own trunk held level"),
    ("give me a week, my low back gets tired, 3 days a week", "Accessories only: what the lifts themselves load"),
    ("I did back squats 5x3 at 120 and clean pulls 4x3 at 110", "back squat 3.8x and clean pull 4.1x"),
]


@pytest.mark.parametrize(("message", "words"), MESSAGES, ids=[message for message, _ in MESSAGES])
def test_the_load_is_told_as_an_estimate(assistant: Assistant, message: str, words: str) -> None:
    text = said(assistant, message)
    assert words in text
    assert not re.search(FORBIDDEN, " ".join(_sentences(text)), re.IGNORECASE)


def _sentences(text: str) -> Iterator[str]:
    return (sentence for sentence in re.split(r"(?<=[.:])\s", text) if "low back" in sentence or "trunk" in sentence)


def test_no_message_on_the_load_says_more_than_an_estimate(assistant: Assistant) -> None:
    told = [text for name, text in assistant.base.messages.items() if name.startswith("back-")]
    assert len(told) >= 10
    assert [text for text in told if re.search(FORBIDDEN, text, re.IGNORECASE)] == []


def test_json_tells_the_load_of_every_pick(assistant: Assistant) -> None:
    answer = assistant.answer("give me a week, my low back gets tired, 3 days a week", today=TODAY).as_json()
    loads: dict[str, Any] = {pick["exercise"]: pick["spine_load"] for pick in answer["picks"]}
    assert loads["piriformis-stretch"] == {"none": "Too little to put a figure on."}
    hold = loads["back-extension-hold"]
    assert {name: hold[name] for name in ("below", "above", "basis", "load_kg")} == {
        "below": 20, "above": 20, "basis": "computed", "load_kg": 0.0,
    }  # fmt: skip
    assert hold["figure"] == pytest.approx(0.95, abs=0.011)
    # 3 sets of 20 to 60 s, the longer taken: 180 s at a figure of 0.95, squared.
    assert hold["seconds_a_week"] == pytest.approx(180 * 0.95**2, abs=2)


def test_the_load_is_reckoned_only_for_who_asks(assistant: Assistant, monkeypatch: pytest.MonkeyPatch) -> None:
    reply = assistant.answer("my low back gets tired, what should I do", today=TODAY)

    def counted(*_: Any) -> dict[str, Any]:
        raise AssertionError("reckoned")

    monkeypatch.setattr("backstay.coaching.back_load.share", counted)
    with pytest.raises(AssertionError, match="reckoned"):
        reply.as_json()


def test_of_several_lifts_that_were_reported_none_contradicts_another(assistant: Assistant) -> None:
    text = said(assistant, "I did back squats 5x3 at 120 and clean pulls 4x3 at 110")
    assert "two things at once" not in text
