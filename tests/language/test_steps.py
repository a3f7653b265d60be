"""Each step of language by itself: cleaning, spelling, figures, dates, scope."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from backstay.language import scope
from backstay.language.cleaning import NONE, SENTENCE, Words, clean
from backstay.language.dates import dates, days_ahead, days_behind
from backstay.language.matching import Automaton
from backstay.language.quantities import quantities
from backstay.language.scene import take_apart
from backstay.language.spelling import Speller

from .tables import HERE, TODAY, built_in_base, cases

TABLE = list(cases(HERE / "steps.yaml"))


def of(step: str) -> pytest.MarkDecorator:
    rows = [(place, case) for place, case in TABLE if case["step"] == step]
    return pytest.mark.parametrize(("place", "case"), rows, ids=[place for place, _ in rows])


def automaton() -> Automaton:
    return Automaton(built_in_base().automaton)


def cleaned(text: str) -> Words:
    return clean(text, automaton().slips)


def with_breaks(words: Words) -> str:
    """The words with a comma or a full stop where reading pauses."""
    shown = []
    for at, word in enumerate(words.words):
        if at and words.breaks[at] != NONE:
            shown.append("." if words.breaks[at] == SENTENCE else ",")
        shown.append(word)
    return " ".join(shown)


@of("clean")
def test_cleaning(place: str, case: dict[str, Any]) -> None:
    words = cleaned(case["in"])
    wanted = case["out"]
    said = with_breaks(words)
    assert said == wanted or said.replace(" ,", "").replace(" .", "") == wanted, place


@pytest.mark.parametrize("text", ["My *low* back’s tight — 20kg… 4x7@40kg, c&j 👍 ok?", "é̀ x½ ﬁnish 5'9\""])
def test_every_word_knows_its_place(text: str) -> None:
    words = cleaned(text)
    for start, end in zip(words.starts, words.ends, strict=True):
        assert 0 <= start < end <= len(text)
    assert words.shown(0, len(words)) in text


@of("spell")
def test_spelling(place: str, case: dict[str, Any]) -> None:
    words = cleaned(case["in"])
    made = automaton()
    Speller(made.words, made.sizes, made.common).mend(words)
    assert " ".join(words.words) == case["out"], place
    assert [words.words[at] for at in words.unknown] == case.get("unknown", []), place
    assert len(words.words) == len(words.starts) == len(words.ends) == len(words.breaks) - 1, place


@of("figures")
def test_figures(place: str, case: dict[str, Any]) -> None:
    every = quantities(cleaned(case["in"]))
    there = {
        slot: (end, value) for slot, end, value in sorted(every[case.get("at", 0)] or (), key=lambda item: item[1])
    }
    for slot, value in case["has"].items():
        assert slot in there, f"{place}: {there}"
        end, found = there[slot]
        assert found == (pytest.approx(value, rel=1e-3) if isinstance(value, int | float) else tuple(value)), place
        if "at" not in case:
            assert end == len(cleaned(case["in"])), f"{place}: stops after word {end}"


@of("dates")
def test_dates(place: str, case: dict[str, Any]) -> None:
    words = cleaned(case["in"])
    every = quantities(words)
    dates(words, every)
    today = datetime.date.fromisoformat(case["today"])
    found = [value for slot, end, value in every[0] or () if slot == "date" and end == len(words)]
    assert found, f"{place}: {every[0]}"
    if "ahead" in case:
        assert days_ahead(found[0], today) == case["ahead"], place
    else:
        assert days_behind(found[0], today) == case["behind"], place


@of("scope")
def test_scope(place: str, case: dict[str, Any]) -> None:
    scene = take_apart(automaton(), case["in"], TODAY)
    said = [scope.names(one.scope) for one in scene.mentions if one.name == case["of"] and one.kind == "phrase"]
    assert said, f"{place}: {[one.name for one in scene.mentions if one.kind == 'phrase']}"
    assert set(said) == {case["is"]}, place
