"""Slips: what the short and frequent words of a message become under hurried fingers.

Known slips stand in words/slips.txt. Those that any short word may suffer are derived from words/frequent.txt: two
neighbouring letters change places, or a vowel within is left out. What is a word itself is never taken for a slip.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping

VOWELS = frozenset("aeiou")
LEAST = 3  # letters of a slip


def known_slips(text: str) -> dict[str, tuple[str, ...]]:
    """Known slips: `heard: meant words` a line."""
    slips: dict[str, tuple[str, ...]] = {}
    for line in text.splitlines():
        heard, colon, meant = line.partition(":")
        if colon and not line.startswith("#"):
            for one in heard.split(","):
                slips[one.strip()] = tuple(meant.split())
    return slips


def derived_slips(
    frequent: Iterable[str], words: Container[str], known: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """The slips of frequent words, the most frequent first; of two words that a slip may mean the first stands."""
    slips: dict[str, tuple[str, ...]] = {}
    for word in frequent:
        for heard in _slips_of(word):
            if len(heard) >= LEAST and heard not in slips and heard not in words:
                slips[heard] = known.get(word, (word,))
    return slips


def _slips_of(word: str) -> Iterator[str]:
    for at in range(len(word) - 1):
        if word[at] != word[at + 1]:
            yield word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    for at in range(1, len(word)):
        if word[at] in VOWELS:
            yield word[:at] + word[at + 1 :]
