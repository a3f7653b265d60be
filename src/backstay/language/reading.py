"""Reading: the walk of a message through language, from its words to facts and a want.

    understand(base, message, today) -> Understanding
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any, NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.language import scope
from backstay.language.cleaning import Words, clean
from backstay.language.dates import dates
from backstay.language.matching import Automaton, settled
from backstay.language.mentions import Mention, mention
from backstay.language.quantities import quantities
from backstay.language.spelling import Speller
from backstay.language.together import together


class Scene(NamedTuple):
    """A message taken apart: what every later step reads."""

    words: Words
    mentions: list[Mention]  # phrases, ideas and togethers, by place
    wants: list[Mention]
    triggers: list[Mention]
    denied: list[Mention]  # togethers that only a denial keeps from holding
    clauses: scope.Clauses
    figures: list[list[tuple[str, int, Any]] | None]
    today: datetime.date


def scene(automaton: Automaton, message: str, today: datetime.date) -> Scene:
    """Take a message apart."""
    words = clean(message, automaton.slips)
    Speller(automaton.words, automaton.common).mend(words)
    figures = quantities(words)
    dates(words, figures)
    spans = settled(automaton.spans(words, figures), automaton.entries)
    every = [mention(span, automaton.entries, today) for span in spans]
    every = [one for one in every if _in_place(one, words)]
    mentions = [one for one in every if one.kind in ("phrase", "idea")]
    triggers = scope.free([one for one in every if one.kind == "trigger"], mentions)
    clauses = scope.Clauses(words, scope.turns_of(triggers))
    scope.assign(mentions, triggers, words, clauses)
    found, denied = together(automaton, mentions, clauses)
    wants = [one for one in every if one.kind == "want"]
    return Scene(words, mentions + found, wants, triggers, denied, clauses, figures, today)


def _in_place(one: Mention, words: Words) -> bool:
    """Whether an entry that wants to stand at the start, the end or alone does so."""
    place = one.extra[0]
    if not place:
        return True
    start = words.breaks[one.start] != 0
    end = words.breaks[one.end] != 0
    if place == "start":
        return start
    if place == "end":
        return end
    return one.start == 0 and one.end == len(words)


if __name__ == "__main__":
    import sys
    from backstay.knowledge.loading import load
    base = load()
    for text in sys.argv[1:]:
        s = scene(Automaton(base.automaton), text, datetime.date.today())
        print(" ".join(s.words.words), s.words.unknown)
        for m in s.mentions + s.triggers + s.wants:
            print("  ", m.kind, m.name, repr(s.words.shown(m.start, m.end)), m.says, scope.names(m.scope))
