"""Values become words, and nothing that could steer a terminal passes."""

from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.reply.words import Words, figure, harmless, lowered


def words(**messages: str) -> Words:
    given = {name.replace("_", "-"): text for name, text in messages.items()}
    empty: dict[str, Any] = {}
    base = SimpleNamespace(
        messages={"list-and": "{first} and {last}", "span": "{low} to {high}", "fact-any": "{name}: {value}", **given},
        exercises={"bird-dog": SimpleNamespace(name="Bird dog")},
        equipment={"bands": SimpleNamespace(name="elastic bands")},
        muscles=empty,
        phases=empty,
    )
    return Words(base)


def test_places_are_filled_and_nothing_else_is_read_into_them() -> None:
    assert words(rest="Rest {seconds} s.").say("rest", seconds="{seconds}") == "Rest {seconds} s."


@pytest.mark.parametrize(
    "items, text", [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_lists_are_joined_as_people_do(items: list[str], text: str) -> None:
    assert words().join(items) == text


@pytest.mark.parametrize("pair, text", [([7, 7], "7"), ([17, 30], "17 to 30"), (3, "3"), (2.5, "2.5"), (None, "")])
def test_a_span_is_two_figures_or_one(pair: Any, text: str) -> None:
    assert words().span(pair) == text


@pytest.mark.parametrize("number, text", [(5, "5"), (5.0, "5"), (8.74, "8.7"), (0.5, "0.5"), (102.06, "102.1")])
def test_figures_have_no_needless_decimals(number: float, text: str) -> None:
    assert figure(number) == text


@pytest.mark.parametrize(
    "attribute, value, text",
    [
        ("weeks-to-meet", 6, "6 weeks to the meet"),
        ("best.clean-and-jerk", 150, "best clean and jerk 150 kg"),
        ("lacks", "everything", "no equipment"),
        ("lacks", "bands", "no elastic bands"),
        ("odd-thing", "some-value", "odd thing: some value"),
    ],
)
def test_facts_are_named(attribute: str, value: Any, text: str) -> None:
    named = words(
        fact_weeks_to_meet="{value} weeks to the meet",
        fact_best="best {key} {value} kg",
        fact_lacks="no {value}",
        fact_lacks_everything="no equipment",
    )
    assert named.fact(attribute, value) == text


@pytest.mark.parametrize(
    "name, text", [("Bird dog", "bird dog"), ("Romanian deadlift", "Romanian deadlift"), ("QL", "QL")]
)
def test_names_are_small_inside_a_sentence_but_proper_names_are_not(name: str, text: str) -> None:
    assert lowered(name) == text


@pytest.mark.parametrize(
    "typed, shown",
    [
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b]0;title\x07text", "text"),
        ("\x1b]8;;http://x\x1b\\link", "link"),
        ("bell\x07 null\x00 back\x08", "bell null back"),
        ("\x9b31mred", "31mred"),
        ("right\u202eleft", "rightleft"),
        ("\ud800lone", "lone"),
        ("Rücken – 腰", "Rücken – 腰"),
    ],
)
def test_terminal_escapes_never_pass(typed: str, shown: str) -> None:
    assert harmless(typed) == shown


@given(st.text())
def test_what_is_harmless_stays_so(text: str) -> None:
    clean = harmless(text)
    assert harmless(clean) == clean
    assert not any((ord(letter) < 32 and letter not in "\t\n") or 0x7F <= ord(letter) < 0xA0 for letter in clean)
