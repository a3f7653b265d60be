"""Reach: how far a trigger reaches; a denial to the end of what it denies, and of its list.

Reach ends with the sentence, with a comma (but for lists after a negation), and at words that turn the thought.
`no X, Y or Z` empties the list; `no X, Y` without an `or` only goes on over things of one kind.
"""

from __future__ import annotations

from collections.abc import Sequence

from backstay.language.clauses import Clauses
from backstay.language.cleaning import COMMA, NONE, SENTENCE, Words
from backstay.language.mentions import Mention

JOINERS = frozenset({"or", "nor", "and", "neither", "also"})
CLOSERS = frozenset({"or", "nor"})
FILLERS = frozenset(
    {"a", "an", "the", "my", "any", "no", "real", "much", "of", "kind", "sort", "else", "either", "her", "his"}
)
ASKING = frozenset({"is", "are", "was", "were", "would"})
ARTICLES = frozenset({"a", "an", "the", "i", "my"})
HANGING = frozenset({"in", "at", "on", "of", "around", "during", "from", "with", "to", "down", "when", "or", "nor"})
FIRM = frozenset({
    "pain-score", "pain-next-day", "pain-weeks", "weeks-to-meet", "training-days", "today-is-day", "age", "body-mass",
    "height", "minutes", "frame", "side", "person", "sessions-a-day", "layoff-weeks", "athletes", "sex", "about",
    "episodes",
})  # fmt: skip
"""What a `no` or `not` passes over: figures and what only frames them."""
LONGEST_ITEM = 4
LONGEST_THING = 16  # words that one denial goes on over without a pause
SIGNS = frozenset({"sign", "leg-symptom", "idea"})


def denial(trigger: Mention, mentions: Sequence[Mention]) -> Mention | None:
    """The phrase around a trigger that says that something is absent, or None."""
    for one in mentions:
        if one.start <= trigger.start and trigger.end <= one.end and any(value == "absent" for _, value in one.says):
            return one
    return None


def reaches(
    trigger: Mention, words: Words, clauses: Clauses, turns: Sequence[int], mentions: Sequence[Mention]
) -> list[tuple[int, int]]:
    """The runs of words that a trigger reaches."""
    reach, within = trigger.extra[1], trigger.extra[2]
    size = len(words)
    if reach == "message":
        return [(0, size)]
    if reach == "clause":
        return [clauses.run(clauses.clause, trigger.start)]
    if reach == "sentence":
        return [clauses.run(clauses.sentence, trigger.start)]
    runs = []
    negates = trigger.name == "negation"
    around = denial(trigger, mentions) if negates and reach == "forward" else None
    if around is not None:
        # "no pain or numbness": the phrase has said its own; what it lists besides is denied as well.
        end = max(around.end, _list_end(trigger.end, words, turns))
        if end == around.end and end < size and words.breaks[end] == NONE and words.words[end] in HANGING:
            at = end + 1
            while at < size and words.words[at] in FILLERS:
                at += 1
            end = max(end, _thing_end(at, words, turns, mentions)) if at < size else end
        return [(trigger.end, end)]
    if reach in ("forward", "both"):
        end = trigger.end
        most = min(size, trigger.end + within)
        while end < most:
            pause = words.breaks[end]
            # "hypothetically, I …": what is put before a whole thought reaches into it.
            turned = end in turns and (trigger.name != "supposed" or end > trigger.end)
            if pause == SENTENCE or (pause == COMMA and negates and end > trigger.end) or turned:
                break
            end += 1
        if negates:
            end = _denied_end(trigger, end, words, turns, mentions)
        runs.append((trigger.end, end))
    if reach in ("back", "both"):
        start = trigger.start
        most = max(0, trigger.start - within)
        while start > most and words.breaks[start] == NONE and start - 1 not in turns:
            start -= 1
        if negates:
            start = _denied_start(start, trigger.start, words, mentions)
            if start < trigger.start and ASKING & set(words.words[max(0, start - 1) : start + 1]):
                start = trigger.start  # are hypers ok
        runs.append((start, trigger.start))
    return runs


def _denied_end(trigger: Mention, most: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """Where a denial ends: after the first thing behind it, what hangs on this, and its list."""
    start = trigger.end
    first = min((one.start for one in mentions if start <= one.start < most and _deniable(one)), default=None)
    end = start
    if first is not None:
        end = _thing_end(first, words, turns, mentions)
        if words.words[trigger.start] != "not":  # not the snatch, the clean
            end = max(end, _alike_end(first, words, turns, mentions))
    return max(end, _list_end(start, words, turns))


def _thing_end(first: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """After the thing that begins at `first`, its words that follow on directly, and where it is not (in, at, on …)."""
    size = len(words)
    end = first
    at = first
    while at < size and at not in turns and at - first < LONGEST_THING:
        here = [one.end for one in mentions if one.start == at and _deniable(one)]
        if not here:
            break
        end = at = min([max(here), *(turn for turn in turns if turn > at)])
        if at >= size or words.breaks[at] != NONE or at in turns:
            break
        if words.words[at] in HANGING:
            at += 1
            while at < size and words.words[at] in FILLERS:
                at += 1
            if at >= size or words.breaks[at] != NONE:
                break
    return end


def _denied_start(most: int, stop: int, words: Words, mentions: Sequence[Mention]) -> int:
    """Where a denial begins that stands behind what it denies: at the nearest thing, or the first of its list."""
    start = stop
    at = stop
    kind: set[str] = set()
    while at > most:
        here = [one for one in mentions if one.end == at and one.start >= most and _deniable(one)]
        if kind:
            here = [one for one in here if _kind(one) in kind]
        if here:
            kind = kind or {_kind(one) for one in here}
            start = at = min(one.start for one in here)
        elif words.words[at - 1] in JOINERS or words.words[at - 1] in FILLERS or start == stop:
            at -= 1
        else:
            break
    return start


def _list_end(start: int, words: Words, turns: Sequence[int]) -> int:
    """Where a list closed by `or` ends: no X, Y or Z."""
    size = len(words)
    end = start
    at = item = start
    closing = False
    while at <= size:
        over = at == size or (at > start and words.breaks[at] == SENTENCE) or (at in turns and at > start)
        joiner = not over and at > start and (words.breaks[at] == COMMA or words.words[at] in JOINERS)
        if over or joiner:
            if closing and item < at:
                end = min(at, item + LONGEST_ITEM)
                closing = False
            if over or at - item > LONGEST_ITEM + 2:
                break
            while at < size and words.words[at] in JOINERS:
                closing = closing or words.words[at] in CLOSERS
                at += 1
            item = at
        at += 1
    return end


def _alike_end(start: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """Where a plain comma list of things of one kind ends: no X, Y, Z."""
    size = len(words)
    at = end = start
    kind: set[str] = set()
    while at < size:
        while at < size and words.words[at] in FILLERS and (at == start or words.breaks[at] != SENTENCE):
            at += 1
        here = [one for one in mentions if one.start == at and _deniable(one)]
        said = {_kind(one) for one in here}
        if not here or (kind and not kind & said):
            break
        stop = max(one.end for one in here if not kind or _kind(one) in kind)
        over = stop >= size or words.breaks[stop] != NONE or words.words[stop] in JOINERS or stop in turns
        if kind and not over:
            break
        kind = kind & said if kind else said
        end = at = stop
        if at >= size or words.breaks[at] == SENTENCE or at in turns:
            break
        if words.breaks[at] != COMMA:
            if words.words[at] not in JOINERS or at + 1 >= size or words.words[at + 1] in ARTICLES:
                break
            at += 1
    return end


def _deniable(mention: Mention) -> bool:
    return mention.kind == "idea" or not all(attribute in FIRM or "." in attribute for attribute, _ in mention.says)


def _kind(mention: Mention) -> str:
    if mention.kind == "idea" or not mention.says:
        return "sign"
    attribute = mention.says[0][0]
    return "sign" if attribute in SIGNS else attribute
