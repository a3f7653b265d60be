"""Scene: a message taken apart into words, mentions with their scope, cues and clauses; what all later steps read."""

import datetime
from typing import Any, NamedTuple

from backstay.language import scope
from backstay.language.amending import amend, amended
from backstay.language.clauses import Clauses, turns_of
from backstay.language.cleaning import NONE, Words, clean
from backstay.language.dates import dates
from backstay.language.matching import Automaton, Span
from backstay.language.mentions import Mention, mention
from backstay.language.overlaps import settled
from backstay.language.quantities import quantities
from backstay.language.spelling import Speller
from backstay.language.subjects import settle_subjects
from backstay.language.together import together

MOST_BEFORE = 3  # words of greeting before what stands alone


class Scene(NamedTuple):
    """A message taken apart."""

    words: Words
    mentions: list[Mention]  # phrases, ideas and togethers, by place
    wants: list[Mention]  # cues and hints
    triggers: list[Mention]
    denied: list[Mention]  # togethers that only a denial keeps from holding
    clauses: Clauses
    figures: list[list[tuple[str, int, Any]] | None]
    today: datetime.date


def take_apart(automaton: Automaton, message: str, today: datetime.date) -> Scene:
    """Take a message apart."""
    words = clean(message, automaton.slips)
    amend(words)
    Speller(automaton.words, automaton.sizes, automaton.common).mend(words)
    figures = quantities(words)
    dates(words, figures)
    for at in words.unknown:
        here = figures[at]
        if here is None:
            figures[at] = [("unknown-word", at + 1, words.words[at])]
    entries = automaton.entries
    found = [span for span in automaton.spans(words, figures) if _in_place(span, entries[span.entry][4][0], words)]
    every = [mention(span, entries, today) for span in settled(found, entries, figures)]
    mentions = amended([one for one in every if one.kind in ("phrase", "idea")], words)
    triggers = scope.free([one for one in every if one.kind == "trigger"], mentions, words)
    clauses = Clauses(words, turns_of(triggers))
    scope.assign(mentions, triggers, words, clauses)
    settle_subjects(mentions, words)
    near, denied = together(automaton, mentions, clauses)
    wants = [one for one in every if one.kind in ("want", "hint")]
    return Scene(words, mentions + near, wants, triggers, denied, clauses, figures, today)


def _in_place(span: Span, place: str, words: Words) -> bool:
    """Whether an entry that wants to stand at the start, the end, as a piece between pauses, or alone does so."""
    if not place:
        return True
    start = words.breaks[span.start] != NONE
    end = words.breaks[span.end] != NONE
    if place == "start":
        return start
    if place == "end":
        return end
    if place == "piece":
        return start and end
    return start and span.start <= MOST_BEFORE and span.end == len(words)
