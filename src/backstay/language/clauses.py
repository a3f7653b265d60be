"""Clauses: the sentence and the clause that each word belongs to, and the places where the thought turns."""

from __future__ import annotations

from collections.abc import Sequence

from backstay.language.cleaning import COMMA, SENTENCE, Words
from backstay.language.mentions import Mention


class Clauses:
    """The sentence and the clause that each word belongs to."""

    __slots__ = ("clause", "sentence", "size")

    def __init__(self, words: Words, turns: frozenset[int]) -> None:
        self.size = len(words)
        self.clause: list[int] = []
        self.sentence: list[int] = []
        clause = sentence = -1
        for at in range(self.size):
            pause = words.breaks[at]
            if pause == SENTENCE:
                sentence += 1
                clause += 1
            elif pause == COMMA or at in turns:
                clause += 1
            self.clause.append(clause)
            self.sentence.append(sentence)

    def run(self, of: list[int], at: int) -> tuple[int, int]:
        """The first word of a clause or sentence, and the place after its last."""
        at = min(at, self.size - 1)
        start = end = at
        while start > 0 and of[start - 1] == of[at]:
            start -= 1
        while end < self.size and of[end] == of[at]:
            end += 1
        return start, end


def turns_of(triggers: Sequence[Mention]) -> frozenset[int]:
    """Places where the thought turns."""
    return frozenset(trigger.start for trigger in triggers if trigger.name == "end")
