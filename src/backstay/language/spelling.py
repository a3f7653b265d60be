"""Spelling: a word nobody knows is brought to the nearest word of the trade, never the other way round.

What the phrases or the common words know is left alone. Short words are mended only by the list of known slips
(cleaning); words of five to seven letters within one slip of the keys, longer ones within two.
"""

from __future__ import annotations

import re
from collections.abc import Container, Mapping

from backstay.language.cleaning import NONE, Words
from backstay.language.dates import MONTHS, WEEKDAYS
from backstay.language.numbers import STARTS, TENS, UNITS
from backstay.language.quantities import BEGINNINGS, CLOCKS, FEET, INCHES, LENGTHS, SPANS, WEIGHTS

COUNTED = frozenset(
    {
        *STARTS,
        *UNITS,
        *TENS,
        *MONTHS,
        *WEEKDAYS,
        *BEGINNINGS,
        *SPANS,
        *CLOCKS,
        *WEIGHTS,
        *LENGTHS,
        *FEET,
        *INCHES,
        "percent",
        "per",
        "oh",
        "hundred",
    }
)
_LONG_DRAWN = re.compile(r"([a-z])\1\1+")


class Speller:
    """Knows which words are known."""

    __slots__ = ("_common", "_sizes", "_trade")

    def __init__(self, trade: Container[str], sizes: Mapping[int, str], common: Container[str]) -> None:
        self._trade = trade
        self._sizes = sizes
        self._common = common

    def known(self, word: str) -> bool:
        """Whether a word needs no mending."""
        return word in COUNTED or word in self._trade or word in self._common

    def mend(self, words: Words) -> None:
        """Mend what is not known, in place; what stays unknown is noted in `words.unknown`."""
        text = words.words
        at = 0
        while at < len(text):
            word = text[at]
            if not word.isalpha() or len(word) < 3 or self.known(word):
                at += 1
                continue
            meant = self._meant(word, text[at + 1] if at + 1 < len(text) and words.breaks[at + 1] == NONE else "")
            if meant is None:
                words.unknown.append(at)
            elif len(meant) == 1:
                words.fixed[at] = word
                text[at] = meant[0]
            elif meant[1] == "":
                _join(words, at, meant[0])
                continue
            else:
                _part(words, at, meant)
                at += 1
            at += 1

    def _meant(self, word: str, following: str) -> tuple[str, ...] | None:
        """The word meant; two words where it holds two; (word, "") where it goes together with the following one."""
        drawn = _LONG_DRAWN.sub(r"\1\1", word)
        for other in (drawn, _LONG_DRAWN.sub(r"\1", word)):
            if other != word and self.known(other):
                return (other,)
        if following and word + following in self._trade:
            return (word + following, "")
        for cut in range(3, len(word) - 2):
            if word[:cut] in self._trade and word[cut:] in self._trade:
                return (word[:cut], word[cut:])
        near = self._nearest(word)
        return None if near is None else (near,)

    def _nearest(self, word: str) -> str | None:
        size = len(word)
        if size < 5:
            return None
        from rapidfuzz import process  # heavy, and seldom needed
        from rapidfuzz.distance import OSA

        most = 1 if size <= 7 else 2
        near = [
            other
            for other_size in range(size - most, size + most + 1)
            for other in self._sizes.get(other_size, "").split()
        ]
        found = process.extract(word, near, scorer=OSA.distance, score_cutoff=most, limit=8)
        if not found:
            return None
        return min(
            found, key=lambda one: (one[1] + (0.5 if one[0][0] != word[0] else 0), abs(len(one[0]) - size), one[0])
        )[0]


def _part(words: Words, at: int, meant: tuple[str, ...]) -> None:
    words.fixed[at] = words.words[at]
    words.words[at : at + 1] = meant
    for column in (words.starts, words.ends):
        column.insert(at, column[at])
    words.breaks.insert(at + 1, NONE)
    words.asks.insert(at + 1, False)


def _join(words: Words, at: int, meant: str) -> None:
    words.fixed[at] = words.words[at]
    words.words[at : at + 2] = [meant]
    del words.starts[at + 1], words.ends[at], words.breaks[at + 1], words.asks[at + 1]
