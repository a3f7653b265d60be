"""Days: which training days of the asker's week suit an exercise.

A plan written for n days is read for a week of m: day d becomes ceil(d x m / n). What was written for a week of exactly
m days stands before what is only rescaled.

A week has no dates here, but hours between two training days need a calendar: training days lie as DAYS_LIE says,
unless the asker named the weekdays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

WEEK = 7
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
# Where the training days of a week usually lie, Monday = 0: rest is spread, Sunday is the first to be free.
DAYS_LIE: Mapping[int, tuple[int, ...]] = {
    1: (0,),
    2: (0, 3),
    3: (0, 2, 4),
    4: (0, 1, 3, 4),
    5: (0, 1, 2, 4, 5),
    6: (0, 1, 2, 3, 4, 5),
    7: (0, 1, 2, 3, 4, 5, 6),
}


def rescaled(days: Iterable[int], of: int, training_days: int) -> tuple[int, ...]:
    """Return days of a plan written for `of` days a week as days of a week of `training_days`."""
    return tuple(sorted({-(-day * training_days // of) for day in days}))


def preferred_days(
    written: Iterable[tuple[tuple[int, ...], int, str]], training_days: int | None
) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Return the training days that suit, and the rules that say so; nothing where the asker's week is not known.

    Where several rules speak, the days on which they agree stand; where they agree on none, all of theirs.
    """
    said = list(written)
    if training_days is None or not said:
        return (), ()
    exact = [one for one in said if one[1] == training_days]
    if not exact:
        widest = max(of for _, of, _ in said)
        exact = [one for one in said if one[1] == widest]
    sets = [set(rescaled(days, of, training_days)) for days, of, _ in exact]
    days = set.intersection(*sets) or set.union(*sets)
    return tuple(sorted(days)), tuple(sorted({rule for _, _, rule in exact}))


def training_days(findings: Any) -> int | None:
    """Return how many days a week are trained, where that is known."""
    number = findings.number("training-days")
    return None if number is None else max(1, min(WEEK, int(number)))


def bears_on_days(fact: str) -> bool:
    """Whether days follow from a fact itself, without a rule."""
    return fact in ("training-days", "today-is-day") or fact.startswith("day-load.")


def calendar(findings: Any, count: int) -> tuple[int, ...]:
    """Return the weekday, Monday = 0, of each training day, in order.

    Weekdays on which the asker named a load are trained, those named as rest are not; the rest is filled in as usual.
    """
    trained, free = set(), set()
    for place, weekday in enumerate(WEEKDAYS):
        loads = findings.values(f"day-load.{weekday}")
        if "rest" in loads:
            free.add(place)
        elif loads:
            trained.add(place)
    usual = [place for place in DAYS_LIE[count] if place not in free]
    for place in (*usual, *(place for place in range(WEEK) if place not in free)):
        if len(trained) >= count:
            break
        trained.add(place)
    days = sorted(trained)[:count]
    return tuple(days) if len(days) == count else DAYS_LIE[count]


def days_with(findings: Any, load: str, lie: tuple[int, ...]) -> frozenset[int]:
    """Return the weekdays, Monday = 0, on which a load lies, as far as the asker told."""
    found = {place for place, weekday in enumerate(WEEKDAYS) if findings.has(f"day-load.{weekday}", load)}
    for number, place in enumerate(lie, 1):
        if findings.has(f"day-load.{number}", load):
            found.add(place)
    today = findings.number("today-is-day")
    if today is not None and 1 <= int(today) <= len(lie):
        here = lie[int(today) - 1]
        for name, apart in (("yesterday", -1), ("today", 0), ("tomorrow", 1)):
            if findings.has(f"day-load.{name}", load):
                found.add((here + apart) % WEEK)
    return frozenset(found)


def hours_until(place: int, loads: Iterable[int]) -> int | None:
    """Return the hours from a weekday to the next on which a load lies; on the same day the work comes after it."""
    gaps = [(load - place) % WEEK or WEEK for load in loads]
    return 24 * min(gaps) if gaps else None
