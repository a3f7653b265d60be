"""Tables: the days, weeks and loads of a sheet as rows of words, the first row the head; the same for every form."""

from __future__ import annotations

from backstay.reply.sheet import DAYS_A_WEEK, PERCENT, Entry, Sheet, Week, date_words, on_days
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
        long = words.say("sheet-minutes", minutes=day.minutes)
        loaded = f"{day.seconds:.0f}" if day.seconds else words.say("sheet-back-none")
        rows.append([f"{name}\n{long}", "\n".join(lines), loaded])
    return rows


def stretches(words: Words, sheet: Sheet) -> Rows:
    """The stretches of a block, each with its exercises and their days."""
    rows = [_heads(words, "when", "phase", "exercise")]
    for one in sheet.stretches:
        first, last = (date_words(words, day, year=False) for day in (one.first, one.last))
        when = first if one.first == one.last else words.say("sheet-from-to", first=first, last=last)
        lines = []
        for place, entry in enumerate(one.entries):
            named = [words.say(f"weekday-short-{weekday}") for weekday in on_days(one, place)]
            if named:
                lines.append(words.say("sheet-on-days", exercise=dosed(words, entry), days=", ".join(named)))
        rows.append([when, capital(one.phase), "\n".join(lines or [words.say("sheet-rest")])])
    return rows


def weeks(words: Words, sheet: Sheet, each: bool = False) -> Rows:
    """The load on the low back of the weeks of a block, and its share of the first whole week, weighed both ways.

    Weeks in a row that load the same are one row, unless `each` is to have its own.
    """
    rows = [_heads(words, "week", "when", "seconds", "of-first")]
    first = next((week for week in sheet.weeks if whole(week) and week.seconds), None)
    runs: list[list[Week]] = []
    for week in sheet.weeks:
        alike = runs and whole(runs[-1][0]) and whole(week) and round(runs[-1][0].seconds) == round(week.seconds)
        if alike and not each:
            runs[-1].append(week)
        else:
            runs.append([week])
    for run in runs:
        week = run[0]
        count = words.count("sheet-week-count", week.out)
        if len(run) > 1:
            count = words.say("sheet-week-count-many", count=words.say("span", low=week.out, high=run[-1].out))
        out = words.say("sheet-weeks-out", count=count)
        share = ""
        if not whole(week):
            share = words.say("sheet-part-of-week")
        elif first is not None:
            shares = sorted((PERCENT * week.seconds / first.seconds, PERCENT * week.alike / first.alike))
            share = words.say("sheet-percent", percent=words.span([round(one) for one in shares]))
        rows.append([out, date_words(words, week.first, year=False), f"{week.seconds:.0f}", share])
    return rows


def back(words: Words, sheet: Sheet) -> Rows:
    """The load of each exercise on the low back."""
    rows = [_heads(words, "exercise", "back")]
    rows += [[entry.name, entry.back or words.say("sheet-back-none")] for entry in sheet.entries]
    return rows


def dosed(words: Words, entry: Entry) -> str:
    """An exercise with how much of it."""
    return words.say("sheet-with-dose", name=entry.name, dose=entry.short)


def whole(week: Week) -> bool:
    """Whether a week of a block has all its days."""
    return (week.last - week.first).days == DAYS_A_WEEK - 1


def _heads(words: Words, *columns: str) -> list[str]:
    return [words.say(f"sheet-column-{column}") for column in columns]
