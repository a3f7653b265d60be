"""What people read of an exercise: plain, short, and without marks, makers and persons."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from exercises.conftest import written

# Marks, makers and persons that lifters type and that stand only among the heard words.
NEVER_SHOWN = re.compile(
    r"reverse[ -]hypers?\b|superm[ae]n|\btrx\b|\bbosu\b|thera-?band|\bairex\b|prowler|landmine|hip thruster"
    r"|\bmedx\b|\bcybex\b|pallof|palof|jefferson|zercher|mcgill|s[oø]rensen|bulgarian|\bghd\b",
    re.IGNORECASE,
)
PROMISES = re.compile(
    r"\bsafe\b|\bsafely\b|\bcure|\bheal|\bprevent|\bguarantee|\bslipped disc|\bherniat|\bfix(es)? your", re.IGNORECASE
)
MOST_WORDS = 20


def shown(exercise: dict[str, Any]) -> Iterator[str]:
    yield exercise["name"]
    yield exercise.get("side-means", "")
    yield exercise["carry-over"]
    for key in ("set-up", "cues", "mistakes"):
        yield from exercise[key]
    for way in exercise["ways"]:
        yield way.get("as", "")
    for dose in exercise["doses"].values():
        for key in ("load", "effort", "tempo", "shape"):
            yield dose.get(key, "")
    for caution in exercise["cautions"]:
        yield caution["because"]


@pytest.mark.parametrize("name", written())
def test_no_marks_and_no_promises(name: str) -> None:
    for text in shown(written()[name]):
        assert not NEVER_SHOWN.search(text), text
        assert not PROMISES.search(text), text


@pytest.mark.parametrize("name", written())
def test_sentences_are_short_and_end(name: str) -> None:
    exercise = written()[name]
    for text in [*exercise["set-up"], *exercise["cues"], *exercise["mistakes"], exercise["carry-over"]]:
        assert text.endswith("."), text
        assert text[0].isupper() or text[0].isdigit(), text
        for sentence in re.split(r"[.] ", text):
            assert len(sentence.split()) <= MOST_WORDS, text


@pytest.mark.parametrize("name", written())
def test_heard_words_can_be_matched(name: str) -> None:
    for words in written()[name]["also"]:
        assert str(words) == str(words).lower()
        assert re.fullmatch(r"[a-z0-9 '/\-]+", str(words)), words
