"""Tables: the days, weeks and loads of a sheet as rows of words, the first row the head; the same for every form."""

from __future__ import annotations

from backstay.reply.sheet import DAYS_A_WEEK, PERCENT, Entry, Sheet, Week, date_words
from backstay.reply.words import Words, capital

Rows = list[list[str]]


def days(words: Words, sheet: Sheet) -> Rows:
    """All seven days of the week, with what stands on each."""
    rows = [_heads(words, "day", "exercise", "seconds")]
    for weekday in range(DAYS_A_WEEK):
        day = next((one for one in sheet.days if one.weekday == weekday and one.entries), None)
        name = words.say(f"weekday-{weekday}")
        if day is None:
            rows.append([name, words.say("sheet-rest"), ""])
            continue
        lines = [dosed(words, sheet.entries[place]) for place in day.entries]
        lines.append(words.say("sheet-minutes", minutes=day.minutes))
        rows.append([name, "\n".join(lines), f"{day.seconds:.0f}"])
    return rows


def stretches(words: Words, sheet: Sheet) -> Rows:
    """The stretches of a block, each with its days and exercises."""
    rows = [_heads(words, "when", "phase", "exercise", "day", "seconds")]
    for one in sheet.stretches:
        first, last = (date_words(words, day, year=False) for day in (one.first, one.last))
        when = first if one.first == one.last else words.say("sheet-from-to", first=first, last=last)
        lines = [dosed(words, entry) for entry in one.entries] or [words.say("sheet-rest")]
        named = []
        for place in range(len(one.entries)):
            named.append(words.join(words.say(f"weekday-{day.weekday}") for day in one.days if place in day.entries))
        rows.append([when, capital(one.phase), "\n".join(lines), "\n".join(named), f"{one.seconds:.0f}"])
    return rows


def weeks(words: Words, sheet: Sheet) -> Rows:
    """The load on the low back of each week of a block, beside the first whole week."""
    rows = [_heads(words, "week", "when", "seconds", "of-first", "of-first-alike")]
    first = next((week for week in sheet.weeks if whole(week) and week.seconds), None)
    for week in sheet.weeks:
        out = words.say("sheet-weeks-out", count=words.count("sheet-week-count", week.out))
        when = date_words(words, week.first, year=False)
        share, alike = "", ""
        if not whole(week):
            share = words.say("sheet-part-of-week")
        elif first is not None:
            share = words.say("sheet-percent", percent=round(PERCENT * week.seconds / first.seconds))
            alike = words.say("sheet-percent", percent=round(PERCENT * week.alike / first.alike))
        rows.append([out, when, f"{week.seconds:.0f}", share, alike])
    return rows


def back(words: Words, sheet: Sheet) -> Rows:
    """The load of each exercise on the low back."""
    rows = [_heads(words, "exercise", "back")]
    rows += [[entry.name, entry.back or words.say("sheet-back-none")] for entry in sheet.entries]
    return rows


def dosed(words: Words, entry: Entry) -> str:
    """An exercise with its dose in one line."""
    return words.say("sheet-with-dose", name=entry.name, dose=entry.dose)


def whole(week: Week) -> bool:
    """Whether a week of a block has all its days."""
    return (week.last - week.first).days == DAYS_A_WEEK - 1


def _heads(words: Words, *columns: str) -> list[str]:
    return [words.say(f"sheet-column-{column}") for column in columns]
