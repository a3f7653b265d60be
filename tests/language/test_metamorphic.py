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


@quick
@given(
    st.lists(
        st.sampled_from(["high blood pressure", "diabetes", "scoliosis", "osteoporosis", "glaucoma"]),
        min_size=2,
        max_size=5,
        unique=True,
    )
)
def test_no_before_a_list_of_conditions_empties_all_of_it(things: list[str]) -> None:
    text = f"no {', '.join(things[:-1])} or {things[-1]}. what back work"
    assert not [value for name, value in facts(text) if name == "condition"]


BODY = {
    "pain", "area", "sensation", "leg-symptom", "pain-score", "pain-weeks", "lift", "moment", "provoked-by", "eased-by",
    "course", "onset", "episodes", "masked-by", "condition",
}  # fmt: skip
COMPLAINTS = [
    "my low back hurts in the clean",
    "my hip aches at 5/10",
    "my low back hurts when I sit",
    "I get a stiff back in the morning",
    "my lower back gets worse and worse",
    "I am pregnant",
    "I tweaked my low back lifting a fridge",
]
complaints = st.sampled_from(COMPLAINTS)


@quick
@given(st.sampled_from(["if ", "suppose ", "hypothetically, ", "what if ", "imagine ", "let's say "]), complaints)
def test_what_is_supposed_says_nothing_of_the_body(lead: str, complaint: str) -> None:
    assert not {name for name, _ in facts(f"{lead}{complaint}, what then?")} & BODY


@quick
@given(
    st.sampled_from(["last year ", "two years ago ", "ten years ago ", "back in school "]),
    st.sampled_from(["my low back hurt in the clean", "my hip ached", "my low back hurt when I sat"]),
)
def test_what_is_over_says_nothing_of_the_body(lead: str, complaint: str) -> None:
    said = facts(f"{lead}{complaint}. 8 weeks out")
    assert not {name for name, _ in said} & (BODY - {"pain"})
    assert ("pain", "present") not in said
    assert ("weeks-to-meet", "8") in said


@quick
@given(
    st.sampled_from(["my mate", "a friend of mine", "my training partner", "my sister", "my flatmate"]),
    st.sampled_from([
        "has low back pain in the clean",
        "aches all over when sitting",
        "is pregnant",
        "takes ibuprofen for the low back",
        "has a bulging disc",
    ]),
)  # fmt: skip
def test_somebody_else_s_body_says_nothing(who: str, complaint: str) -> None:
    said = facts(f"{who} {complaint}. I only want to know how to do planks")
    assert not {name for name, _ in said} & BODY
    assert ("exercise", "front-plank") in said


OWN = [
    ("my low back hurts in the clean", "my athlete's low back hurts in the clean"),
    ("I train 4 times a week", "my athlete trains 4 times a week"),
    ("I am 5 weeks out", "my athlete is 5 weeks out"),
    ("I have scoliosis", "my athlete has scoliosis"),
    ("I slept badly", "my athlete slept badly"),
    ("my left side is weaker", "my athlete's left side is weaker"),
    ("my low back aches when I sit", "my athlete's low back aches when she sits"),
    ("I snatch 70 kg", "my athlete snatches 70 kg"),
]


@quick
@given(st.lists(st.sampled_from(OWN), min_size=1, max_size=3, unique=True))
def test_my_athlete_for_i_changes_only_who_it_is_about(pairs: list[tuple[str, str]]) -> None:
    person = {"about", "sex"}
    own = facts(". ".join(mine for mine, _ in pairs))
    other = facts(". ".join(theirs for _, theirs in pairs))
    assert {fact for fact in other if fact[0] not in person} == {fact for fact in own if fact[0] not in person}
    assert ("about", "other") in other
    assert ("about", "other") not in own


@quick
@given(
    st.permutations([
        "bending sets my low back off",
        "monday is heavy pulls",
        "the physio forbids deadlifts until 10 January",
        "I slept badly",
        "it is getting worse",
    ])
)  # fmt: skip
def test_the_order_of_further_facts_changes_nothing(order: list[str]) -> None:
    assert facts(". ".join(order)) >= {
        ("provoked-by", "bending"),
        ("day-load.monday", "heavy-pulls"),
        ("today-state", "slept-badly"),
        ("course", "worse"),
    }
    assert {name for name, _ in facts(". ".join(order))} >= {"limit"}


@quick
@given(st.integers(20, 200), st.integers(1, 10), st.integers(1, 12))
def test_a_notation_of_work_says_the_same_as_words(load: int, sets: int, reps: int) -> None:
    told = {
        str(fact)
        for text in (
            f"log: good morning {sets}x{reps} @ {load} kg",
            f"log: good morning {sets} sets of {reps} with {load} kg",
            f"log: good morning, {sets} by {reps} at {load} kilos",
            f"log: good morning {load} kg x {reps} x {sets}",
            f"log: {sets}x{reps} good mornings with {load} kg",
        )
        for fact in facts(text)
        if fact[0] == "done"
    }
    assert len(told) == 1


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
