"""Dates: days and weekdays as they are written, and how far they lie from today.

    17 october · oct 17th · the fourteenth of june · 2026-05-30 · 30.5. · this saturday · since monday · tomorrow
    mon wed fri · monday, tuesday and thursday

A date is offered as the slot {date} with a value that is settled only when it is known whether it lies ahead or behind.
"""

from __future__ import annotations

import datetime
from typing import Any

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.numbers import number_at
from backstay.language.quantities import ORDINALS

MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("january", "jan"), ("february", "feb"), ("march", "mar"), ("april", "apr"), ("may",), ("june", "jun"),
            ("july", "jul"), ("august", "aug"), ("september", "sept", "sep"), ("october", "oct"), ("november", "nov"),
            ("december", "dec"),
        ),
        1,
    )
    for name in names
}  # fmt: skip
WEEKDAYS = {
    name: number
    for number, names in enumerate(
        (
            ("monday", "mondays", "mon"),
            ("tuesday", "tuesdays", "tue", "tues"),
            ("wednesday", "wednesdays", "wed", "weds"),
            ("thursday", "thursdays", "thu", "thur", "thurs"),
            ("friday", "fridays", "fri"),
            ("saturday", "saturdays", "sat"),
            ("sunday", "sundays", "sun"),
        )
    )
    for name in names
}  # fmt: skip
NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DOUBTFUL = frozenset({"sat", "sun", "wed", "mon", "mar", "may", "dec"})
NEAR = {"today": 0, "tonight": 0, "tomorrow": 1, "yesterday": -1}
LATER = {"week": 1, "weeks": 1, "fortnight": 2}
THROUGH = frozenset({"to", "till", "until", "through", "thru"})
LEADS = frozenset(
    {
        "on",
        "this",
        "next",
        "since",
        "by",
        "last",
        "until",
        "till",
        "every",
        "coming",
        "from",
        "before",
        "is",
        "for",
        "competition",
        "meet",
        "nationals",
        "contest",
    }
)

Found = tuple[str, int, Any]
Day = tuple[str, int, int, int]
"""("date", month, day, year or 0) · ("weekday", number, weeks further on, 0) · ("near", days from today, 0, 0)."""


def dates(words: Words, every: list[list[Found] | None]) -> None:
    """Add to `every` the dates that begin at each place."""
    text = words.words
    for at, word in enumerate(text):
        found: list[Found] = []
        if word in WEEKDAYS:
            _weekdays(words, at, found)
            if at + 1 < len(text) and words.breaks[at + 1] == NONE and text[at + 1] in LATER:  # saturday week
                found.append(("date", at + 2, ("weekday", WEEKDAYS[word], 0, LATER[text[at + 1]])))
        elif word in ("a", "one", "two") and text[at + 1 : at + 2] and text[at + 1] in LATER:
            _after(words, at, found)
        if word in MONTHS or word[0].isdigit() or word in ORDINALS or word in ("the", "twenty", "thirty"):
            day = _date(words, at)
            if day is not None:
                found.append(("date", day[1], day[0]))
        elif word in NEAR:
            found += [("date", at + 1, ("near", NEAR[word], 0, 0)), ("day", at + 1, word)]
        elif word == "day" and text[at : at + 3] == ["day", "after", "tomorrow"]:
            found.append(("date", at + 3, ("near", 2, 0, 0)))
        elif word in ("this", "next", "coming", "last") and at + 1 < len(text) and text[at + 1] in WEEKDAYS:
            further = 1 if word == "next" else 0
            found.append(("date", at + 2, ("weekday", WEEKDAYS[text[at + 1]], further, 0)))
        if found:
            there = every[at]
            every[at] = found if there is None else there + found


def _after(words: Words, at: int, found: list[Found]) -> None:
    """A week on saturday, a week from tomorrow, two weeks on sunday, a week today."""
    text = words.words
    weeks = LATER[text[at + 1]] * (2 if text[at] == "two" else 1)
    place = at + 3 if text[at + 2 : at + 3] in (["on"], ["from"], ["this"], ["coming"]) else at + 2
    if place >= len(text) or words.breaks[at + 2] != NONE:
        return
    if text[place] in WEEKDAYS:
        found.append(("date", place + 1, ("weekday", WEEKDAYS[text[place]], 0, weeks)))
    elif text[place] in ("today", "tomorrow"):
        found.append(("date", place + 1, ("near", NEAR[text[place]] + 7 * weeks, 0, 0)))


def _weekdays(words: Words, at: int, found: list[Found]) -> None:
    text = words.words
    days = [WEEKDAYS[text[at]]]
    end, stop = at + 1, at + 1
    while end < len(text) and words.breaks[end] < SENTENCE:
        if text[end] in WEEKDAYS:
            days.append(WEEKDAYS[text[end]])
            end += 1
            stop = end
        elif (
            text[end] in ("and", "or", "-", "plus", "then", *THROUGH)
            and end + 1 < len(text)
            and text[end + 1] in WEEKDAYS
        ):
            end += 1
        else:
            break
    if len(days) == 2 and _spanned(words, at, stop):  # mon-fri, monday to friday
        days = [(days[0] + gap) % 7 for gap in range((days[1] - days[0]) % 7 + 1)]
    if len(set(days)) > 1:
        found.append(("weekdays", stop, tuple(dict.fromkeys(days))))
    lone = len(days) == 1 and text[at] in DOUBTFUL
    if not lone or (at > 0 and text[at - 1] in LEADS and words.breaks[at] == NONE):
        found.append(("date", at + 1, ("weekday", days[0], 0, 0)))
        found.append(("day", at + 1, NAMES[days[0]]))
        found.append(("weekday", at + 1, days[0]))


def _spanned(words: Words, start: int, end: int) -> bool:
    """Whether two days are the ends of a stretch."""
    between = words.raw[words.ends[start] : words.starts[end - 1]].strip()
    return between in ("-", "\u2013") or between.lower() in THROUGH


def _date(words: Words, at: int) -> tuple[Day, int] | None:
    text, size = words.words, len(words)
    word = text[at]
    if len(word) == 10 and word[4] == "-":
        return _checked(int(word[5:7]), int(word[8:]), int(word[:4]), at + 1)
    start = at
    if word == "the":
        if at + 1 >= size:
            return None
        at += 1
        word = text[at]
    if word in MONTHS:
        if start != at or at + 1 >= size or words.breaks[at + 1] == SENTENCE:
            return None
        after = at + 2 if text[at + 1] == "the" and at + 2 < size else at + 1
        day, end = _day(words, after)
        return _checked(MONTHS[word], day, *_year(words, end)) if day else None
    day, end = _day(words, at)
    if day and end < size and words.breaks[end] == NONE:
        month = end + 1 if text[end] == "of" and end + 1 < size else end
        if text[month] in MONTHS:
            return _checked(MONTHS[text[month]], day, *_year(words, month + 1))
    if day and text[at].isdigit() and text[end : end + 1] == ["/"] and end + 3 < size and text[end + 2] == "/":
        other = text[end + 1]
        if other.isdigit() and text[end + 3].isdigit() and len(text[end + 3]) in (2, 4):
            first, second, year = day, int(other), int(text[end + 3])
            year += 2000 if year < 100 else 0
            # day/month unless that is no date
            return _checked(second, first, year, end + 4) or _checked(first, second, year, end + 4)
    return None


def _day(words: Words, at: int) -> tuple[int, int]:
    """A day of the month: 17, 17th, fourteenth, twenty first, seventeen."""
    text = words.words
    if at >= len(text):
        return 0, at
    word = text[at]
    if word in ORDINALS:
        return ORDINALS[word], at + 1
    if word in ("twenty", "thirty") and at + 1 < len(text) and 1 <= ORDINALS.get(text[at + 1], 0) <= 9:
        return (20 if word == "twenty" else 30) + ORDINALS[text[at + 1]], at + 2
    if word[0].isdigit():
        digits = word[:-2] if word[-2:] in ("st", "nd", "rd", "th") else word
        return (int(digits), at + 1) if digits.isdigit() and 1 <= int(digits) <= 31 else (0, at)
    number = number_at(words, at)
    if number is not None and number.value == int(number.value) and 1 <= number.value <= 31:
        return int(number.value), number.end
    return 0, at


def _year(words: Words, at: int) -> tuple[int, int]:
    if at < len(words) and words.breaks[at] < SENTENCE and len(words.words[at]) == 4 and words.words[at].isdigit():
        year = int(words.words[at])
        if 1950 <= year <= 2100:
            return year, at + 1
    return 0, at


def _checked(month: int, day: int, year: int, end: int) -> tuple[Day, int] | None:
    try:
        datetime.date(year or 2024, month, day)
    except ValueError:
        return None
    return ("date", month, day, year), end


def days_ahead(day: Day, today: datetime.date) -> int:
    """Days from today to the day meant, when it lies ahead."""
    return _settled(day, today, ahead=True)


def days_behind(day: Day, today: datetime.date) -> int:
    """Days from the day meant to today, when it lies behind."""
    return -_settled(day, today, ahead=False)


def _settled(day: Day, today: datetime.date, ahead: bool) -> int:
    kind, first, second, third = day
    if kind == "near":
        return first
    if kind == "weekday":
        gap = (first - today.weekday()) % 7
        if ahead:
            return gap + (7 if second and gap <= 0 else 0) + 7 * third
        return gap - 7
    for year in (
        [third] if third else (range(today.year, today.year + 9) if ahead else range(today.year, today.year - 9, -1))
    ):
        try:
            meant = datetime.date(year, first, second)
        except ValueError:
            continue
        gap = (meant - today).days
        if third or (gap >= 0 if ahead else gap <= 0):
            return gap
    return 0
