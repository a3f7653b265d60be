"""Ahead: what the rules will say on a later day, with nothing changed but the time to the meet.

What was said about today alone (how it went last night, which day of the week it is) is not carried ahead. A phase that
was said stands for as long as the weeks to the meet alone would name the phase that they name today; after that the
weeks speak.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

TO_MEET = "weeks-to-meet"
PHASE = "phase"
DAYS_A_WEEK = 7
DAILY_FROM = 21  # days before the meet from which on each day is looked at by itself, before that each week
OF_TODAY = frozenset({"today-is-day", "today-state", "occasion"})


def days_to_meet(findings: Any) -> int | None:
    """Return how many days away the meet is, where that is known."""
    weeks = findings.number(TO_MEET)
    return None if weeks is None else round(weeks * DAYS_A_WEEK)


class Ahead:
    """The case of one asker on later days."""

    __slots__ = ("_base", "_facts", "_here", "_said", "days_to_meet")

    def __init__(self, base: Base, findings: Any) -> None:
        self._base = base
        self.days_to_meet = days_to_meet(findings)
        self._said = tuple(fact for fact in findings.facts if fact.attribute == PHASE)
        self._facts = tuple(fact for fact in findings.facts if not _of_today(fact))
        self._here = () if self.days_to_meet is None else self._conclude(self.days_to_meet, ()).values(PHASE)

    def on(self, days: int) -> Any:
        """Return the findings for the day that lies so many days before the meet."""
        found = self._conclude(days, ())
        if self._said and found.values(PHASE) == self._here:
            return self._conclude(days, self._said)
        return found

    def looked_at(self, most: int) -> tuple[int, ...]:
        """Return the days to look at, counted before the meet, from far to near: whole weeks first, then each day."""
        weekly = range(DAILY_FROM + DAYS_A_WEEK, most, DAYS_A_WEEK)
        return (most, *reversed(weekly), *range(min(DAILY_FROM, most - 1), -1, -1))

    def _conclude(self, days: int, said: Iterable[Fact]) -> Any:
        return conclude(self._base, (*self._facts, *said, Fact(TO_MEET, days / DAYS_A_WEEK)))


def _of_today(fact: Fact) -> bool:
    return (
        fact.attribute in (TO_MEET, PHASE)
        or fact.attribute in OF_TODAY
        or fact.attribute
        in (
            "day-load.yesterday",
            "day-load.today",
            "day-load.tomorrow",
        )
    )
