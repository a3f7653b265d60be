"""Subjects: whether what is said is said of a place, of a thing, or of the whole person.

A back that is knackered is tired; somebody who is knackered is run down. A rusty bar makes nobody stiff.
"""

from __future__ import annotations

from collections.abc import Sequence

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.mentions import Mention

WORN = frozenset({"knackered", "shattered", "wrecked", "exhausted", "drained", "fatigued", "cooked", "fried"})
"""What may be said of a place as of a person."""
QUALITIES = (["old"], ["rubber"], ["metal"], ["wooden"], ["long"], ["short"], ["little"])
OF_PLACES = frozenset({"it", "they"})
OF_PERSONS = frozenset({"i", "me", "he", "she", "we"})


def settle_subjects(mentions: Sequence[Mention], words: Words) -> None:
    """Let what is said of a place be its sensation, and take what is said of a thing from the body."""
    for one in mentions:
        if one.scope or one.kind != "phrase":
            continue
        if one.value("today-state") == "run-down" and _of_a_place(mentions, words, one):
            one.says = (("sensation", "tired"),)
        elif one.says_any("sensation") and not one.says_any("pain") and _of_a_thing(mentions, words, one):
            one.says = ()


def _of_a_place(mentions: Sequence[Mention], words: Words, one: Mention) -> bool:
    """Whether the nearest that it can be said of, in its sentence, is a place."""
    if WORN.isdisjoint(words.words[one.start : one.end]):
        return False
    places = {other.end - 1 for other in mentions if other.kind == "phrase" and other.says_any("area", "muscle")}
    places |= {other.end - 1 for other in mentions if other.value("state") == "bare-back"}
    at, meant = one.start, False
    while at > 0:
        at -= 1
        if at in places:
            return True
        if words.words[at] in OF_PERSONS:
            return False
        if words.words[at] in OF_PLACES:
            meant = True  # look on for what `they` are
        if words.breaks[at] == SENTENCE and not meant:
            return False
    return False


def _of_a_thing(mentions: Sequence[Mention], words: Words, one: Mention) -> bool:
    """Whether it only describes a thing: a rusty old barbell, a stiff band."""
    breaks, end = words.breaks, one.end
    return any(
        other.value("equipment")
        and (other.start == end or words.words[end : other.start] in QUALITIES)
        and all(pause == NONE for pause in breaks[end : other.start + 1])
        for other in mentions
    )
