"""Whatever is typed is read: no exception, no control character handed on, and work that grows with the message.

`BACKSTAY_INPUTS` says how many inputs each property draws here; 20,000 and more are drawn by hand before a release.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from backstay import Assistant
from backstay.language import matching
from backstay.language.cleaning import LONGEST, MOST_WORDS
from backstay.language.scene import take_apart

from .tables import TODAY, built_in_base, plain, read

INPUTS = int(os.environ.get("BACKSTAY_INPUTS", "2500"))
many = settings(
    max_examples=INPUTS,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize="BACKSTAY_INPUTS" not in os.environ,
)
ESCAPES = ("\x1b[31m", "\x1b[0m", "\x1b]0;title\x07", "\x1b[2J", "\x9b31m", "\x1bP", "\r", "\x08", "\x7f", "\x00")
MARKS = ("\u202e", "\u202a", "\u200f", "\u2066", "\u2069", "\ufeff", "\u200b", "\u0301", "\u20e3", "\U000e0041")
TRADE = (
    "low back", "hurts", "no", "not", "without", "if", "snatch", "3x10", "@", "20 kg", "until", "12 december", "physio",
    "but", "and", "or", ",", ".", "?", "when", "sitting", "better", "worse", "monday", "heavy pulls", "9999999999",
    "1e9", "rpe", "left", "right", "last year", "my mate", "pregnant", "%", "60 percent", "5'9", "one fifteen", "dozen",
)  # fmt: skip

every_plane = st.text(st.characters(codec=None), max_size=200)
hostile = st.lists(st.sampled_from(ESCAPES + MARKS) | st.text(max_size=8) | st.sampled_from(TRADE), max_size=40)
trade = st.lists(st.sampled_from(TRADE), max_size=60).map(" ".join)


def check(text: str) -> None:
    understood = read(text)
    assert understood.want
    plain(understood, more=True)
    for fact in understood.facts + understood.records:
        assert fact.words in text


@many
@given(every_plane)
@example("N'T")
@example("\ud800 low back")
@example("\U0010ffff" * 50)
def test_every_plane_can_be_read(text: str) -> None:
    check(text)


@many
@given(hostile.map("".join))
def test_escapes_and_marks_among_words_can_be_read(text: str) -> None:
    check(text)


@many
@given(trade)
def test_words_of_the_trade_in_any_order_can_be_read(text: str) -> None:
    check(text)


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant.of(built_in_base())


@settings(parent=many, max_examples=max(10, INPUTS // 20))
@given(hostile.map("".join))
@example("my low back \x1b[31mhurts\x1b[0m in the \u202esnatch")
@example("\x1b]0;title\x07numb between my legs")
def test_no_control_character_comes_back_in_an_answer(text: str) -> None:
    said = Assistant.of(built_in_base()).answer(text)
    assert not [sign for sign in said.text if (ord(sign) < 32 and sign != "\n") or 0x7F <= ord(sign) < 0xA0]
    assert not [sign for sign in said.text if sign in MARKS[:7]]


LONG = {
    "words": "low back hurts, " * 70_000,
    "one word": "a" * 1_000_000,
    "digits": "9" * 1_000_000,
    "digits apart": "9 " * 500_000,
    "sets": "3x" * 500_000,
    "slashes": "/" * 1_000_000,
    "negations": "no " * 300_000,
    "not not": "not " * 250_000 + "hurts",
    "clauses": "if my back hurts, " * 55_000,
    "quotes": "'" * 1_000_000,
    "open brackets": "(" * 1_000_000,
    "escapes": "\x1b[31m" * 200_000,
    "marks": "\u202e" * 1_000_000,
    "accents": "a" + "\u0301" * 1_000_000,
    "lines": "\n" * 1_000_000,
    "movements": "sitting hurts but standing helps and " * 27_000,
    "bans": "the physio says no deadlifts until 12 december and " * 20_000,
    "work": "log: hypers 3x10 @ 20 kg rpe 8, " * 31_000,
    "half words": "ab-" * 330_000,
    "unknown words": "zqxv wvbq " * 100_000,
}


@pytest.mark.parametrize("name", LONG)
def test_a_megabyte_is_told_to_be_too_long(name: str, assistant: Assistant) -> None:
    said = assistant.answer(LONG[name])
    assert said.text
    assert not said.as_json()["picks"]


@pytest.mark.parametrize("name", LONG)
def test_the_beginning_of_a_megabyte_can_be_read(name: str) -> None:
    check(LONG[name][:BEGINNING])


def test_only_so_much_of_a_message_is_read() -> None:
    text = "a b " * LONGEST
    assert len(text) > LONGEST
    assert len(take_apart(matching.Automaton(built_in_base().automaton), text, TODAY).words) <= MOST_WORDS


BEGINNING = 2_000
SENTENCES = (
    "low back hurts 3/10 in deadlifts off the floor, worse when bending. ",
    "no pain, no numbness, no tingling, no weakness, no fever, no fall. ",
    "the physio says no deadlifts above 60 % until 12 december. ",
    "did 3x10 hypers @ 20 kg, 2x30 s side planks and 4 trips of 30 m farmer carries. ",
    "monday snatch, wednesday squats, friday heavy pulls. ",
    "if my mate had hurt his back last year I would not be sitting here. ",
)


@pytest.mark.parametrize("sentence", SENTENCES)
def test_the_work_of_matching_grows_with_the_message(sentence: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Steps of the net, counted: twice the message costs at most three times as many."""
    steps = 0
    step = matching._step

    def counted(*given: object) -> None:
        nonlocal steps
        steps += 1
        step(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(matching, "_step", counted)
    costs = []
    for times in (8, 16):
        steps = 0
        read(sentence * times)
        costs.append(steps)
    assert costs[0] > 0
    assert costs[1] <= 3 * costs[0], costs
