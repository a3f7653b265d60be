"""What people read of an exercise: plain, short, and without marks, makers and persons."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from typing import Any

import pytest

from backstay.knowledge.base import Base
from exercises.conftest import written

# Marks, makers and persons that lifters type stand only among the heard words. Here they stand as digests, so that the
# names themselves are written nowhere else.
NEVER_SHOWN = frozenset((
    "071e1f2237", "1414c47a37", "17cd8dea6f", "1c9ae44a9c", "227c42310d", "248f86224e", "4a0f5f4af1", "506b042267",
    "54b492b14c", "5fde07b7ab", "6a5cd181ce", "73cd1b16c4", "73f4aad17c", "79161a4618", "7e32433dbe", "8a10f0a85b",
    "91e235e3f8", "9e2378b73a", "a48b70b376", "a78fc4a2c8", "b4a821e315", "b4add9e209", "ce161186de", "f0413c9e96",
    "f367bce35d", "f93e685f6c",
))  # fmt: skip
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


def marks(text: str) -> list[str]:
    words = re.findall(r"[a-z]+", text.lower().replace("ø", "o"))
    return [word for word in words if hashlib.sha256(word.encode()).hexdigest()[:10] in NEVER_SHOWN]


@pytest.mark.parametrize("name", written())
def test_no_marks_and_no_promises(name: str) -> None:
    for text in shown(written()[name]):
        assert marks(text) == [], text
        assert not PROMISES.search(text), text


def test_muscles_and_equipment_show_no_marks(base: Base) -> None:
    for muscle in base.muscles.values():
        for text in (muscle.name, *muscle.parts, *muscle.does):
            assert marks(text) == [], text
    for text in [kit.name for kit in base.equipment.values()] + [one.says for one in base.qualities.values()]:
        assert marks(text) == [], text


def test_heard_words_would_be_caught() -> None:
    """The list of digests knows words that people type for exercises whose shown names avoid them."""
    for name in ("anti-rotation-press", "jefferson-curl", "prone-arm-and-leg-raise", "reverse-hyperextension"):
        assert any(marks(str(words)) for words in written()[name]["also"])


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
