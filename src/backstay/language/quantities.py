"""Quantities: numbers with what they count, wherever one begins in the message.

Each is offered to the phrases as a slot: {number} {score} {duration} {time} {weight} {kilos} {length} {times} {sets}
{percent} {ordinal} {year}. Durations and times are in seconds, weights in kilograms, lengths in centimetres.
"""

from __future__ import annotations

import re
from typing import Any

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.numbers import STARTS, TENS, UNITS, Number, load_at, number_at, ranges_at

METRES = re.compile(r"1\.[4-9]\d|2\.[01]\d")  # a height without its unit
DAY = 86_400.0
WEEK = 7 * DAY
MONTH = 365.25 / 12 * DAY
YEAR = 365.25 * DAY
SPANS = {
    "day": DAY, "days": DAY, "night": DAY, "nights": DAY, "week": WEEK, "weeks": WEEK, "wk": WEEK, "wks": WEEK, "w":
    WEEK,
    "weekend": WEEK, "weekends": WEEK, "fortnight": 2 * WEEK, "fortnights": 2 * WEEK, "month": MONTH, "months": MONTH,
    "mth": MONTH, "mths": MONTH, "mos": MONTH, "mo": MONTH, "year": YEAR, "years": YEAR, "yr": YEAR, "yrs": YEAR,
}  # fmt: skip
CLOCKS = {
    "hour": 3600.0, "hours": 3600.0, "hr": 3600.0, "hrs": 3600.0, "h": 3600.0, "minute": 60.0, "minutes": 60.0, "min":
    60.0,
    "mins": 60.0, "second": 1.0, "seconds": 1.0, "sec": 1.0, "secs": 1.0, "s": 1.0,
}  # fmt: skip
WEIGHTS = {
    "kg": 1.0, "kgs": 1.0, "kilo": 1.0, "kilos": 1.0, "kilogram": 1.0, "kilograms": 1.0, "k": 1.0, "lb": 0.45359237,
    "lbs": 0.45359237, "pound": 0.45359237, "pounds": 0.45359237,
}  # fmt: skip
LENGTHS = {
    "cm": 1.0, "cms": 1.0, "centimetre": 1.0, "centimetres": 1.0, "centimeters": 1.0, "centimeter": 1.0, "m": 100.0,
    "metre": 100.0, "metres": 100.0, "meter": 100.0, "meters": 100.0,
}  # fmt: skip
FEET = frozenset({"foot", "feet", "ft"})
INCHES = frozenset({"inch", "inches", "in", "ins"})
STONE = frozenset({"stone", "stones", "st"})
HALF_DAYS = frozenset({"am", "pm"})
CLOCK_LEADS = frozenset({"at", "around", "by", "about", "until", "till", "from", "since", "to", "before", "after"})
TIMES = frozenset({"times", "time", "x"})
ORDINALS = {
    "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9,
    "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14, "fifteenth": 15, "sixteenth": 16,
    "seventeenth": 17, "eighteenth": 18, "nineteenth": 19, "twentieth": 20, "thirtieth": 30,
}  # fmt: skip
COUNTS_DAYS = frozenset({"out", "left", "to", "before", "ago", "away", "later", "a", "per", "of", "off", "until"})
LEADS_TO_DAYS = frozenset({"in", "for", "within", "after", "only", "every", "just", "about", "past", "last"})
FREQUENT = {"once": 1.0, "twice": 2.0, "thrice": 3.0}
BEGINNINGS = STARTS | ORDINALS.keys() | FREQUENT.keys() | {"quarter", "fortnight", "three", "bodyweight"}

UNITED = frozenset({*SPANS, *CLOCKS, *WEIGHTS, *LENGTHS, *TIMES, "percent", "x", "sets", "reps"})
WHOLE = frozenset({"score", "sets", "length", "weight", "duration", "time", "percent"})

Found = tuple[str, int, Any]


def quantities(words: Words) -> list[list[Found] | None]:
    """For each place the quantities that begin there, as (slot, place after it, value)."""
    every: list[list[Found] | None] = [None] * (len(words) + 1)
    for at, word in enumerate(words.words):
        if word in BEGINNINGS or word[0].isdigit():
            found = _at(words, at, word)
            if found:
                every[at] = found
    _swallow(every)
    return every


def _swallow(every: list[list[Found] | None]) -> None:
    """No figure begins inside of a longer one: the 10 of 3/10, the 9 weeks of 8-9 weeks."""
    until = 0
    for at, found in enumerate(every):
        if found is None:
            continue
        if at < until:
            every[at] = None
        else:
            until = max([until, *(end for slot, end, _ in found if slot in WHOLE)])


def _at(words: Words, at: int, word: str) -> list[Found]:
    text, size = words.words, len(words)
    found: list[Found] = []
    if word in FREQUENT:
        return [("times", at + 1, FREQUENT[word])]
    if word in ("quarter", "three") or word in ("a", "an", "half", "fortnight"):
        found += _idiom(words, at)
    ordinal = _ordinal(words, at)
    if ordinal is not None:
        found.append(("ordinal", ordinal[1], ordinal[0]))
        if word not in ("second",):
            return found
    if word in ("a", "an") and at + 1 < size and words.breaks[at + 1] == NONE:
        _spans(words, Number(1.0, at + 1), found)
        if text[at + 1] in ("metre", "meter"):  # a metre sixty eight
            _measure(words, Number(1.0, at + 1), found)
    for number in ranges_at(words, at):
        if number.end < at + 1:
            continue
        found += [("number", number.end, number.value), ("number 2", number.end, number.value)]
        if (
            not number.ranged
            and number.end == at + 1
            and len(word) == 4
            and word.isdigit()
            and 1950 <= int(word) <= 2050
        ):
            found.append(("year", at + 1, int(word)))
        _score(words, number, found)
        if number.end < size and words.breaks[number.end] == NONE:
            _spans(words, number, found)
            _measure(words, number, found)
            if text[number.end] in TIMES:
                found.append(("times", number.end + 1, number.value))
            if text[number.end] in HALF_DAYS and number.value <= 12 and at and text[at - 1] in CLOCK_LEADS:
                found.append(("hour", number.end + 1, number.value))
        if METRES.fullmatch(word) and not (
            number.end < size and words.breaks[number.end] == NONE and text[number.end] in UNITED
        ):
            found.append(("length", number.end, number.value * 100))
        if 15 <= number.value <= 500 and not number.ranged:
            found.append(("kilos", number.end, number.value))
    spoken = load_at(words, at)
    if spoken is not None:
        unit = text[spoken.end] if spoken.end < size and words.breaks[spoken.end] == NONE else ""
        if unit not in SPANS and unit not in CLOCKS:  # one twenty five is 125, no one
            found = [one for one in found if not (one[0].startswith("number") and one[1] == at + 1)]
            found.append(("number", spoken.end, spoken.value))
        found.append(("kilos", spoken.end, spoken.value))
        if spoken.end < size:
            _measure(words, spoken, found)
    height = _bare_height(words, at)
    if height is not None:
        found.append(height)
    _sets(words, at, found)
    return found


def _bare_height(words: Words, at: int) -> Found | None:
    """Six two, five eleven: feet and inches that stand alone, or behind `am` and `is`."""
    text = words.words
    feet = UNITS.get(text[at], 0)
    if not 4 <= feet <= 6 or at + 1 >= len(text) or words.breaks[at + 1] != NONE or text[at + 1] not in UNITS:
        return None
    inches, end = UNITS[text[at + 1]], at + 2
    opens = words.breaks[at] != NONE or text[at - 1] in ("am", "is", "at")
    if inches > 11 or not opens or words.breaks[end] == NONE:
        return None
    return ("length", end, feet * 30.48 + inches * 2.54)


def _ordinal(words: Words, at: int) -> tuple[int, int] | None:
    word = words.words[at]
    if word in ORDINALS:
        return ORDINALS[word], at + 1
    if word[0].isdigit() and word[-2:] in ("st", "nd", "rd", "th"):
        return int(word[:-2]), at + 1
    if word in ("twenty", "thirty") and at + 1 < len(words) and 1 <= ORDINALS.get(words.words[at + 1], 0) <= 9:
        return (20 if word == "twenty" else 30) + ORDINALS[words.words[at + 1]], at + 2
    return None


def _idiom(words: Words, at: int) -> list[Found]:
    """A fortnight, half an hour, a quarter of an hour, half a year."""
    text = words.words
    rest = text[at : at + 5]
    start = at + 1 if rest and rest[0] in ("a", "an") else at
    rest = text[start : start + 5]
    if rest[:1] == ["fortnight"]:
        return [("duration", start + 1, 2 * WEEK)]
    parts = {("quarter",): 0.25, ("half",): 0.5, ("three", "quarters"): 0.75, ("three", "quarter"): 0.75}
    for head, share in parts.items():
        if tuple(rest[: len(head)]) != head:
            continue
        after = start + len(head)
        while after < len(text) and after < start + len(head) + 2 and text[after] in ("of", "a", "an"):
            after += 1
        if after < len(text) and text[after] in CLOCKS and CLOCKS[text[after]] >= 60:
            return [("time", after + 1, share * CLOCKS[text[after]])]
        if after < len(text) and text[after] in SPANS:
            return [("duration", after + 1, share * SPANS[text[after]])]
    return []


def _spans(words: Words, number: Number, found: list[Found]) -> None:
    """Days, weeks, months, years; hours, minutes, seconds."""
    text, end = words.words, number.end
    if end >= len(text):
        return
    if text[end] == "of" and end + 1 < len(text):
        end += 1
    unit = text[end]
    if text[end - 1] == "one" and unit == "day" and not _one_day(words, end):
        return
    if unit in ("full", "whole", "solid", "good", "more", "short", "training", "long") and end + 1 < len(text):
        end += 1
        unit = text[end]
    for table, slot in ((SPANS, "duration"), (CLOCKS, "time")):
        size = table.get(unit)
        if size is None:
            continue
        value = number.value * size
        end += 1
        if size == 60.0 and end < len(text) and words.breaks[end] == NONE and text[end] != "or":
            after = _number_after(words, end)  # one minute forty
            if after is not None and 5 <= after.value < 60:
                value, end = value + after.value, after.end
                if end < len(text) and CLOCKS.get(text[end]) == 1.0:
                    end += 1
        half = 3 if text[end : end + 3] == ["and", "a", "half"] else 2 if text[end : end + 2] == ["and", "half"] else 0
        if half:
            value += size / 2
            end += half
        found.append((slot, end, value))


def _one_day(words: Words, at: int) -> bool:
    """Whether `one day` counts a day; it is some day else."""
    text = words.words
    return (text[at + 1 : at + 2] != [] and text[at + 1] in COUNTS_DAYS) or text[max(0, at - 2)] in LEADS_TO_DAYS


def _measure(words: Words, number: Number, found: list[Found]) -> None:
    """Weights, lengths and percentages."""
    text, end, value = words.words, number.end, number.value
    unit = text[end]
    after = _number_after(words, end + 1)
    if unit in WEIGHTS:
        kilos = value * WEIGHTS[unit]
        if kilos <= 500:
            found.append(("weight", end + 1, kilos))
            found.append(("kilos", end + 1, kilos))
    elif unit in STONE and 4 <= value <= 30:
        kilos, stop = value * 6.35029318, end + 1
        if after is not None and after.value < 14:
            kilos, stop = kilos + after.value * 0.45359237, after.end
            if stop < len(text) and text[stop] in WEIGHTS:
                stop += 1
        found.append(("weight", stop, kilos))
    elif unit in FEET and 3 <= value <= 8:
        size, stop = value * 30.48, end + 1
        if after is not None and after.value < 12:
            size, stop = size + after.value * 2.54, after.end
            if stop < len(text) and text[stop] in INCHES:
                stop += 1
        found.append(("length", stop, size))
    elif unit in LENGTHS:
        size, stop = value * LENGTHS[unit], end + 1
        if LENGTHS[unit] == 100.0 and value < 3 and after is not None and 10 <= after.value < 100:
            size, stop = size + after.value, after.end
        found.append(("length", stop, size))
    elif unit == "percent":
        found.append(("percent", end + 1, value))


def _number_after(words: Words, at: int) -> Number | None:
    if at >= len(words) or words.breaks[at] != NONE:
        return None
    if words.words[at] == "and" and at + 1 < len(words):
        at += 1
    return (
        number_at(words, at)
        if words.words[at][0].isdigit() or words.words[at] in UNITS or words.words[at] in TENS
        else None
    )


def _score(words: Words, number: Number, found: list[Found]) -> None:
    """3/10, three out of ten, 4 of 10, 5 from 10."""
    text, end = words.words, number.end
    if number.value > 10 or end + 1 >= len(text) or words.breaks[end] == SENTENCE:
        return
    stop = end
    if text[stop] == "out" and stop + 2 < len(text) and text[stop + 1] == "of":
        stop += 2
    elif text[stop] in ("/", "of", "from", "over", "in", "on", "per", "or", "outof", "outta"):
        stop += 1
    else:
        return
    if text[stop] in ("10", "ten") and not (
        text[stop - 1] in ("or", "in") and words.raw[words.starts[stop - 1]] != "/"
    ):
        found.append(("score", stop + 1, number.value))


def _sets(words: Words, at: int, found: list[Found]) -> None:
    """3x10, 3 by 12 seconds, 4 sets of 8, 3x20s, 3x30 m: (sets, figure, what the figure counts)."""
    text, size = words.words, len(words)
    first = number_at(words, at)
    if first is None or not 1 <= first.value <= 60 or first.end + 1 >= size or words.breaks[first.end] == SENTENCE:
        return
    at = first.end
    if text[at] in ("x", "by", "times"):
        at += 1
    elif text[at] in ("set", "sets"):
        at += 2 if at + 1 < size and text[at + 1] in ("of", "x", "at") else 1
    else:
        return
    if at >= size or words.breaks[at] != NONE:
        return
    second = ranges_at(words, at)
    if not second or second[-1].value > 600:
        return
    figure = second[-1]
    unit, end = "reps", figure.end
    if end < size and words.breaks[end] == NONE:
        word = text[end]
        if word in ("s", "sec", "secs", "second", "seconds"):
            unit, end = "seconds", end + 1
        elif word in ("min", "mins", "minute", "minutes"):
            figure, unit, end = Number(figure.value * 60, end), "seconds", end + 1
        elif word in ("m", "metre", "metres", "meter", "meters"):
            unit, end = "metres", end + 1
        elif word in ("rep", "reps", "repetitions"):
            end += 1
    found.append(("sets", end, (first.value, figure.value, unit)))
