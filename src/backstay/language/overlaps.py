"""Overlaps: which of the spans found stand.

These are the laws:
1. Names of tools (exercises, lifts, equipment) and phrases that say nothing: the longest wins, then the first.
   Nothing else may begin or end inside of one, nor use a part of it.
2. Phrases that say facts: what the words of a longer one cover says nothing else; words in its slots still speak.
   None begins inside of the name of a place (lower back) to end behind it.
3. What comes from a folder laid over the built-in one silences nothing that screening looks at, and takes no figure
   from it.
4. Ideas, cues and triggers stand beside all others, except inside the names of law 1; ideas that stop signs are made of
   stand inside phrases that say nothing, too.
"""

from typing import Any

from backstay.knowledge.slots import FIGURES, GUEST, SAFETY, VITAL
from backstay.language.matching import Entries, Span

DAYS = frozenset({"day", "weekday"})  # a day may be a date for one phrase and a day of the week for another
BARE = frozenset({"number", "number 2", "kilos", "ordinal"})
SCORE, HIGHEST = "score", 10

Figures = list[list[tuple[str, int, Any]] | None]


def settled(spans: list[Span], entries: Entries, figures: Figures) -> list[Span]:
    """The spans that stand by the laws above, by place."""
    names: list[Span] = []
    facts: list[Span] = []
    rest: list[Span] = []
    for span in spans:
        kind, _, _, _, extra = entries[span.entry]
        if span.captures and (cut_short(span, figures) or _off_the_scale(span, entries)):
            continue
        if kind == "phrase":
            (names if extra[1] and not span.captures else facts).append(span)
        else:
            rest.append(span)
    names.sort(key=lambda span: (span.start - span.end, span.start))
    taken: list[Span] = []
    for span in names:
        if all(
            span.end <= other.start or span.start >= other.end or (span.start == other.start and span.end == other.end)
            for other in taken
        ):
            taken.append(span)
    guests = {span.entry for span in (*names, *facts) if entries[span.entry][4][2] == GUEST}
    if taken:
        walls = [(span.start, span.end) for span in taken]
        tools = [(span.start, span.end) for span in taken if entries[span.entry][2]]
        facts = [span for span in facts if _whole(span, walls) or _pierces(span, taken, guests, entries)]
        rest = [
            span
            for span in rest
            if _whole(span, tools if _stands_beside(entries[span.entry]) else walls)
            or _pierces(span, taken, guests, entries)
        ]
    places = [(span.start, span.end) for span in facts if _places(entries[span.entry]) and not span.captures]
    facts = [
        span for span in facts if not any(at < span.start < end < span.end for at, end in places)
    ]  # lower | back from
    facts.sort(key=lambda span: (-_weight(span), span.start))
    standing: list[Span] = []
    used: set[tuple[int, int]] = set()  # a figure is read once, by the longest phrase that holds it
    lent: set[tuple[int, int]] = set()  # those that a guest reads; what is vital reads them as well
    covered: list[tuple[Span, list[tuple[int, int]]]] = []
    for span in facts:
        firm = bool(guests) and _vital(entries[span.entry])
        if any(_covers(other, parts, span) for other, parts in covered if not (firm and other.entry in guests)):
            continue
        figures_of = {
            (capture[1], capture[2]) for capture in span.captures if capture[0] in FIGURES and capture[0] not in DAYS
        }
        if figures_of:
            read = used if firm else used | lent
            if any(start < to and from_ < end for start, end in figures_of for from_, to in read):
                continue
            if span.entry in guests:
                lent |= figures_of
            else:
                used |= figures_of
        standing.append(span)
        # what says nothing keeps its slots silent as well
        covered.append((span, _literal(span) if entries[span.entry][2] else [(span.start, span.end)]))
    taken = [name for name in taken if not any(_swallows(span, runs, name, entries) for span, runs in covered)]
    every = taken + standing + rest
    every.sort(key=lambda span: (span.start, -span.end, span.entry))
    return every


def _places(entry: tuple[Any, ...]) -> bool:
    """Whether an entry is the name of a place on the body, and nothing else."""
    return bool(entry[2]) and all(said[0] == "area" for said in entry[2])


def _swallows(span: Span, runs: list[tuple[int, int]], name: Span, entries: Entries) -> bool:
    """Whether a name is but a word of a longer phrase: the good morning of `I good-morning the squat`."""
    if span.end - span.start <= name.end - name.start or all(said[0] in SAFETY for said in entries[span.entry][2]):
        return False
    return any(start <= name.start and name.end <= end for start, end in runs)


def cut_short(span: Span, figures: Figures) -> bool:
    """Whether a bare number was read where the message gives it a unit: the 4 of `4 weeks` is no score."""
    for slot, start, end, _ in span.captures:
        if slot in BARE:
            for other, stop, _ in figures[start] or ():
                if stop > end and stop > span.end and other not in BARE:
                    return True
    return False


def _off_the_scale(span: Span, entries: Entries) -> bool:
    """Whether a figure is read as a score that is none: at sixty-eight."""
    for _, value, unit in entries[span.entry][2]:
        if unit == SCORE and value.__class__ is tuple:
            return any(slot == value[1] and figure > HIGHEST for slot, _, _, figure in span.captures)
    return False


def _vital(entry: tuple[Any, ...]) -> bool:
    """Whether screening looks at what an entry says or at what is made of it; triggers decide on all of these."""
    return bool(entry[0] == "trigger" or (entry[0] in ("phrase", "idea") and entry[4][2] == VITAL))


def _pierces(span: Span, taken: list[Span], guests: set[int], entries: Entries) -> bool:
    """Whether a span stands that only the names of guests would silence."""
    if not guests or not _vital(entries[span.entry]):
        return False
    beside = _stands_beside(entries[span.entry])
    own = [one for one in taken if one.entry not in guests and not (beside and not entries[one.entry][2])]
    return _whole(span, [(one.start, one.end) for one in own])


def _stands_beside(entry: tuple[Any, ...]) -> bool:
    """Cues, and ideas that are part of a stop sign: phrases that say nothing do not silence them."""
    return bool(entry[0] in ("want", "hint") or (entry[0] == "idea" and entry[4][1]))


def _whole(span: Span, walls: list[tuple[int, int]]) -> bool:
    """Whether a span holds each name it touches as a whole, and is not cut out of one."""
    for start, end in walls:
        if span.end <= start or span.start >= end:
            continue
        if not (span.start <= start and span.end >= end):
            return False
        for _, from_, to, _ in span.captures:
            if from_ < end and to > start and not (from_ <= start and to >= end):
                return False
    return True


def _weight(span: Span) -> int:
    """The words of a span that are its own, and a little for those in slots."""
    slots = sum(capture[2] - capture[1] for capture in span.captures)
    return 4 * (span.end - span.start) - slots


def _literal(span: Span) -> list[tuple[int, int]]:
    """The runs of a span outside of its slots."""
    runs = []
    at = span.start
    for _, start, end, _ in sorted(span.captures, key=lambda capture: capture[1]):
        if start > at:
            runs.append((at, start))
        at = max(at, end)
    if at < span.end:
        runs.append((at, span.end))
    return runs


def _covers(other: Span, runs: list[tuple[int, int]], span: Span) -> bool:
    """Whether a longer span leaves this one nothing to say."""
    if other.start == span.start and other.end == span.end:
        # The same words in two readings: both stand if they are equally plain, else the one with more words of its own.
        return _weight(other) > _weight(span)
    if span.end <= other.start or span.start >= other.end:
        return False
    for start, end in runs:
        if span.start >= start and span.end <= end:
            return True
        if span.start < end and span.end > start and not (span.start <= start and span.end >= end):
            return True
    # A span whose own words all lie in the other's words says nothing either.
    return all(any(a >= start and b <= end for start, end in runs) for a, b in _literal(span)) and bool(_literal(span))
