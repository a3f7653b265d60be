"""What is held to be true of the asker, in words: for the line that shows it, so that a misreading can be put right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from backstay.reply.words import Words

# What one fact says along with another: where the second is known, the first need not be said.
SAID_ALONG = MappingProxyType(
    {("pain", "present"): ("pain-score", "masked-by"), ("fault", "twists"): ("twist-toward",)}
)
# What a reader looks for first; all else follows as it was said.
FIRST = ("pain", "pain-score", "pain-next-day", "area", "lift", "moment")
UNSAID = frozenset({"want", "exercise", "done", "doubt", "about"})


def held(words: Words, attributes: Mapping[str, Any], facts: Iterable[Any]) -> list[str]:
    """Put facts into short runs of words, each once; what is only for the rules is left out."""
    kept = sorted(facts, key=lambda fact: FIRST.index(fact.attribute) if fact.attribute in FIRST else len(FIRST))
    names = {fact.attribute for fact in kept}
    shown = [
        words.fact(fact.attribute, fact.value)
        for fact in kept
        if _is_told(fact.attribute, attributes) and names.isdisjoint(SAID_ALONG.get((fact.attribute, fact.value), ()))
    ]
    return list(dict.fromkeys(shown))


def _is_told(attribute: str, attributes: Mapping[str, Any]) -> bool:
    kind = attributes.get(attribute.partition(".")[0])
    return attribute not in UNSAID and kind is not None and kind.shown != "own"
