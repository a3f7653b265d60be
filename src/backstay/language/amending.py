"""Amending: what somebody takes back while speaking: `four, no, five times`, `elbow … no wait, wrist`.

The last word counts. Figures, sides and days are put right among the words, before anything is read from them; names of
places, lifts and things are put right among the mentions.
"""

from __future__ import annotations

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.dates import WEEKDAYS
from backstay.language.mentions import Mention
from backstay.language.numbers import STARTS, load_at, number_at
from backstay.language.quantities import UNITED

SIDES = frozenset({"left", "right"})
MARKS = (
    ("tell", "a", "lie"), ("my", "bad"), ("my", "mistake"), ("or", "rather"), ("or", "actually"), ("make", "that"),
    ("make", "it"), ("scratch", "that"), ("i", "mean"), ("i", "meant"), ("i", "lie"), ("i", "should", "say"),
    ("hang", "on"), ("hold", "on"), ("beg", "pardon"), ("excuse", "me"), ("well", "actually"), ("let", "me", "say"),
    ("wait",), ("sorry",), ("actually",), ("correction",), ("oops",), ("nope",), ("nah",), ("pardon",), ("rather",),
)  # fmt: skip
HEDGES = frozenset({
    "um", "uh", "er", "erm", "well", "it", "is", "the", "about", "more", "like", "i", "am", "was", "my",
})  # fmt: skip
UNITS = UNITED | {"ago", "a", "per", "week", "of", "year", "old", "times", "pounds", "out"}
MOST_UNITS = 3
NAMED = frozenset({"area", "lift", "muscle", "moment", "exercise", "equipment", "phase", "level", "sex"})
MOST_MARKS = 8  # words that take back what stands before them


def amend(words: Words) -> None:
    """Take back the figures, sides and days that the speaker takes back."""
    at = 1
    while at < len(words) - 1:
        after = _marked(words, at)
        if after is not None and _take_back(words, at, after):
            continue
        at += 1


def amended(mentions: list[Mention], words: Words) -> list[Mention]:
    """The mentions without names that another of their kind replaces."""
    gone = set()
    for one in mentions:
        kinds = {attribute for attribute, _ in one.says} & NAMED
        if one.kind != "phrase" or not kinds or one.end >= len(words):
            continue
        after = _marked(words, one.end, strictly=True)
        if after is None:
            continue
        for other in mentions:
            if other.kind == "phrase" and other.start == after and kinds & {attribute for attribute, _ in other.says}:
                gone |= {id(each) for each in mentions if one.start <= each.start and each.end <= one.end}
                break
    return [one for one in mentions if id(one) not in gone] if gone else mentions


def takes_back(words: Words, at: int) -> bool:
    """Whether words that take back what was said begin at a place."""
    return any(tuple(words.words[at : at + len(mark)]) == mark for mark in MARKS)


def _marked(words: Words, at: int, strictly: bool = False) -> int | None:
    """The place after the words that take back what stands before `at`, or None."""
    text = words.words
    size = len(text)
    place, strong, plain = at, False, False
    while place < min(size, at + MOST_MARKS):
        run = next((mark for mark in MARKS if tuple(text[place : place + len(mark)]) == mark), None)
        if run is not None:
            strong = True
            place += len(run)
        elif text[place] == "no":
            plain = True
            place += 1
        elif text[place] in HEDGES and place > at and (strong or plain):
            place += 1
        else:
            break
        if place < size and words.breaks[place] == SENTENCE and not strong:
            return None
    if place >= size or place == at:
        return None
    if strong:
        return place
    if strictly or not plain or (words.breaks[at] == NONE) != (words.breaks[place] == NONE):
        return None
    return place


def _take_back(words: Words, at: int, after: int) -> bool:
    """Replace what ends at `at` by what begins at `after`, if they are of one kind."""
    text = words.words
    for kind in (SIDES, WEEKDAYS):
        if text[at - 1] in kind and text[after] in kind:
            _order(words, [*range(at - 1), *range(after, len(text))], at - 1, words.breaks[at - 1])
            return True
    end = _figure(words, after)
    if end is None:
        return False
    for units in range(MOST_UNITS + 1):
        stop = at - units
        if units and (stop < 1 or text[stop] not in UNITS or words.breaks[stop] != NONE):
            break
        start = _figure_before(words, stop)
        if start is None:
            continue
        if not units or (end < len(text) and words.breaks[end] == NONE and text[end] in UNITS):
            _order(words, [*range(start), *range(after, len(text))], start, words.breaks[start])
        else:  # seven days ago, no, nine: the unit stays
            order = [*range(start), *range(after, end), *range(stop, at), *range(end, len(text))]
            _order(words, order, start, words.breaks[start])
        return True
    return False


def _figure(words: Words, at: int) -> int | None:
    """Where the figure that begins at a place ends."""
    word = words.words[at]
    if not (word[0].isdigit() or word in STARTS):
        return None
    found = load_at(words, at) or number_at(words, at)
    return None if found is None else found.end


def _figure_before(words: Words, stop: int) -> int | None:
    """Where the longest figure that ends at a place begins."""
    for start in range(max(0, stop - 5), stop):
        if _figure(words, start) == stop:
            return start
    return None


def _order(words: Words, order: list[int], at: int, pause: int) -> None:
    """Keep the words of these places, in this order; what comes to stand at `at` has the pause of what stood there."""
    text, starts, ends, breaks, asks = words.words, words.starts, words.ends, words.breaks, words.asks
    words.words = [text[place] for place in order]
    words.starts = [starts[place] for place in order]
    words.ends = [ends[place] for place in order]
    words.breaks = [*(breaks[place] for place in order), breaks[-1]]
    words.asks = [*(asks[place] for place in order), asks[-1]]
    words.breaks[at] = pause
