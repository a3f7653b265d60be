"""Laws of reading: what must not change a message's meaning, and what must."""

from __future__ import annotations

import random
import string

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from backstay.language.matching import Automaton
from backstay.language.spelling import Speller

from .tables import HERE, built_in_base, cases, plain, read

MESSAGES = [
    case["say"] for path in sorted((HERE / "messages").glob("*.yaml")) for _, case in cases(path) if "today" not in case
]
some_message = st.sampled_from(MESSAGES)
quick = settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)


def facts(text: str) -> set[tuple[str, str]]:
    return plain(read(text), more=True)


@quick
@given(some_message, st.sampled_from(["hi coach, ", "Hello! ", "hey there. "]))
def test_a_greeting_changes_nothing(message: str, greeting: str) -> None:
    if message[:1].isdigit() or "morning" in message:
        return  # a bare figure that opens a message is an age only there
    before = read(message)
    if len(before.unknown) == len(message.split()):
        return  # a greeting before what nobody can read is a greeting
    after = read(greeting + message)
    assert plain(after, more=True) == plain(before, more=True)
    assert after.want == before.want or before.want == "state"


@quick
@given(some_message, st.randoms(use_true_random=False))
def test_case_changes_nothing(message: str, chance: random.Random) -> None:
    mixed = "".join(letter.upper() if chance.random() < 0.5 else letter for letter in message)
    assert facts(mixed) == facts(message)
    assert read(mixed).want == read(message).want


@quick
@given(some_message)
def test_curly_apostrophes_and_lost_ones_change_nothing(message: str) -> None:
    assert facts(message.replace("'", "’")) == facts(message)


@quick
@given(some_message)
def test_doubled_spaces_and_last_stops_change_nothing(message: str) -> None:
    if message.endswith(("?", "!", ".")):
        return
    assert facts(message.replace(" ", "  ") + ".") == facts(message)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("it doesn't hurt", "it does not hurt"),
        ("I can't do planks", "i cant do planks"),
        ("I'm a beginner", "Im a beginner"),
        ("what's next for my low back", "whats next for my low back"),
        ("I've got bands", "ive got bands"),
    ],
)
def test_contractions_change_nothing(one: str, other: str) -> None:
    assert facts(one) == facts(other)


def _long_trade_words() -> list[str]:
    automaton = Automaton(built_in_base().automaton)
    named = {word for exercise in built_in_base().exercises.values() for word in exercise.name.lower().split()}
    words = [word for word in named if len(word) >= 9 and word.isalpha() and word in automaton.words]
    return sorted(word for word in words if word not in automaton.common)


LONG = _long_trade_words()


@quick
@given(st.sampled_from(LONG), st.integers(1, 30), st.sampled_from(string.ascii_lowercase), st.integers(0, 2))
@example("hamstring", 3, "q", 0)
def test_one_slip_in_a_long_trade_word_is_mended(word: str, at: int, letter: str, kind: int) -> None:
    at = 1 + at % (len(word) - 2)
    slipped = (
        word[:at] + letter + word[at + 1 :],
        word[:at] + word[at + 1 :],
        word[: at - 1] + word[at] + word[at - 1] + word[at + 1 :],
    )[kind]
    automaton = Automaton(built_in_base().automaton)
    speller = Speller(automaton.words, automaton.sizes, automaton.common)
    if speller.known(slipped):
        return
    from backstay.language.cleaning import clean

    words = clean(slipped, {})
    speller.mend(words)
    # another form of the same word (deadlift, deadlifts) is as good
    assert words.words[0][:5] == word[:5] or words.words == [word] or _one_slip(words.words[0], slipped)


def _one_slip(found: str, slipped: str) -> bool:
    """Whether what was found lies as near to the slip as the word itself did."""
    from rapidfuzz.distance import OSA

    return OSA.distance(found, slipped) <= 1


@quick
@given(st.integers(40, 240), st.sampled_from(["snatch", "clean", "front squat", "deadlift"]))
def test_pounds_are_kilograms(pounds: int, lift: str) -> None:
    in_pounds = {fact.attribute: fact.value for fact in read(f"my best {lift} is {pounds} lb").facts}
    kilos = round(pounds * 0.45359237, 1)
    if kilos < 20:
        return
    in_kilos = {fact.attribute: fact.value for fact in read(f"my best {lift} is {kilos} kg").facts}
    name = f"best.{lift.replace(' ', '-')}"
    assert in_pounds[name] == pytest.approx(in_kilos[name], abs=0.11)


CLAUSES = [
    "low back hurts in the clean",
    "I am 5 weeks out",
    "I train 4 times a week",
    "my left side is weaker",
    "I have bands and a box",
]


@quick
@given(st.permutations(CLAUSES))
def test_the_order_of_independent_clauses_changes_nothing(order: list[str]) -> None:
    assert facts(". ".join(order)) == facts(". ".join(CLAUSES))


@quick
@given(
    st.lists(
        st.sampled_from(["bands", "kettlebells", "rings", "cable", "sled", "dumbbells"]),
        min_size=2,
        max_size=5,
        unique=True,
    )
)
def test_no_before_a_list_empties_all_of_it(things: list[str]) -> None:
    text = f"we have no {', '.join(things[:-1])} or {things[-1]}"
    said = facts(text)
    assert {value for name, value in said if name == "lacks"} == set(things)
    assert not [value for name, value in said if name == "has"]


BODY = {"pain", "area", "sensation", "leg-symptom", "pain-score", "pain-weeks", "lift", "moment"}


@pytest.mark.parametrize("lead", ["if ", "suppose ", "hypothetically, ", "what if "])
@pytest.mark.parametrize("complaint", ["my low back hurts in the clean", "my hip aches at 5/10"])
def test_what_is_supposed_says_nothing_of_the_body(lead: str, complaint: str) -> None:
    assert not {name for name, _ in facts(f"{lead}{complaint}, what then?")} & BODY


@pytest.mark.parametrize("lead", ["last year ", "two years ago "])
def test_what_is_over_says_nothing_of_the_body(lead: str) -> None:
    said = facts(f"{lead}my low back hurt in the clean. 8 weeks out")
    assert not {name for name, _ in said} & (BODY - {"pain"})
    assert ("pain", "present") not in said
    assert ("weeks-to-meet", "8") in said


@pytest.mark.parametrize("who", ["my mate", "a friend of mine", "my training partner"])
def test_somebody_else_s_body_says_nothing(who: str) -> None:
    assert (
        not {name for name, _ in facts(f"{who} has low back pain in the clean. I only want to know how to do planks")}
        & BODY
    )


@quick
@given(st.text(max_size=300))
@example("\x1b[31mback\x1b[0m hurts\x00")
@example("1" * 5000)
@example("a" * 5000)
@example("/" * 3000 + "5")
@example("‮‏⁦ low back")
def test_anything_can_be_read(text: str) -> None:
    understood = read(text)
    assert understood.want
    for fact in understood.facts:
        assert fact.words in text or not fact.words


def test_a_long_line_is_read_in_bounded_time_and_length() -> None:
    understood = read("low back hurts, " * 70_000)
    assert ("pain", "present") in plain(understood, more=False)
