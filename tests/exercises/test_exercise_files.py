"""Each exercise file is whole: nothing of what an answer may be asked for is missing."""

from __future__ import annotations

import re
from typing import Any

import pytest

from backstay.knowledge.base import Base
from exercises.conftest import table, written

ALWAYS = (
    "exercise", "name", "also", "trains", "family", "pattern", "kind", "speed", "spine-motion", "turning", "loaded",
    "bar-loaded", "head-down", "breath-hold", "floor", "jerky", "position", "skill", "soreness", "provokes", "sides",
    "one-leg", "ways", "stress", "phases", "doses", "dose-for", "levels", "set-up", "cues", "carry-over", "mistakes",
    "cautions", "easier", "harder", "swaps", "soreness-card", "sources",
)  # fmt: skip
FILLED = (
    "also", "trains", "ways", "doses", "set-up", "cues", "carry-over", "mistakes", "cautions", "swaps", "sources"
)  # fmt: skip
PHASES = ["general-preparation", "specific-preparation", "pre-competition", "peaking", "transition"]
WANTED = table("wanted.yaml")


@pytest.mark.parametrize("name", written())
def test_file_is_whole(name: str) -> None:
    exercise = written()[name]
    assert exercise["exercise"] == name
    assert [key for key in ALWAYS if key not in exercise] == []
    for key in FILLED:
        assert exercise[key], key
    assert list(exercise["phases"]) == PHASES
    assert len(exercise["also"]) >= 5
    assert len(exercise["cues"]) >= 2


@pytest.mark.parametrize("name", written())
def test_every_number_has_a_source(name: str) -> None:
    exercise = written()[name]
    for dose in exercise["doses"].values():
        assert dose["source"]
        assert set(dose["source"]) <= set(exercise["sources"])
        assert dose["load"]
        assert dose["effort"]
    for caution in exercise["cautions"]:
        assert caution["because"]
        assert caution["source"]


@pytest.mark.parametrize("name", written())
def test_one_sided_work_says_what_its_side_means(name: str) -> None:
    exercise = written()[name]
    if exercise["sides"] == "each":
        assert exercise["side-means"]
    if exercise["one-leg"]:
        assert exercise["sides"] == "each"
    if "carr" in name or "suitcase" in name:
        assert exercise["pattern"] == "carry"


def test_wanted_exercises_are_there() -> None:
    names = set(written())
    assert set(WANTED["named-in-messages"]) <= names
    assert len(names) >= WANTED["at-least"]


def _plain(words: Any) -> str:
    return re.sub(r"[^a-z0-9 ]", " ", str(words).lower().replace("'", "")).strip()


@pytest.mark.parametrize(
    ("name", "heard"), [(name, words) for name, several in WANTED["heard"].items() for words in several]
)
def test_trade_words_are_known(name: str, heard: str) -> None:
    exercise = written()[name]
    assert heard in {_plain(words) for words in [exercise["name"], *exercise["also"]]}


def test_no_words_mean_two_exercises() -> None:
    owner: dict[str, str] = {}
    for name, exercise in written().items():
        for words in {_plain(words) for words in [exercise["name"], *exercise["also"]]}:
            assert owner.setdefault(words, name) == name, words


def test_qualities_and_muscles_can_all_be_trained(base: Base) -> None:
    trained = {name for exercise in written().values() for name in exercise["trains"]}
    assert trained == set(base.qualities) | set(base.muscles)
