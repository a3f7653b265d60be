"""Week: lays a menu on the training days of a week. The menu itself is not touched: placing stands below choosing.

Each exercise stands on as many days as its dose says. A placing costs, in whole numbers: most where a spacing is broken
(soreness before the heaviest pulls), then where the same loaded work stands on days in a row, then where a day is not
one that the rules prefer, then where work heaps up on one day. The cheapest placing is found exactly; of equal ones the
earliest days win.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from backstay.coaching.days import WEEK, hours_until

BROKEN_SPACING = 10_000
DAYS_IN_A_ROW = 300
NOT_PREFERRED = 60
HEAPED_STRESS = 4
HEAPED_WORK = 2
MOST_NODES = 20_000


class Item(NamedTuple):
    """One exercise to be placed."""

    exercise: str
    times: int
    stress: int  # of one day
    minutes: int
    preferred: tuple[int, ...] = ()  # training days
    spacing: tuple[tuple[int, frozenset[int]], ...] = ()  # hours to stand before any of these weekdays


class Day(NamedTuple):
    """One training day: its number, the weekday it is taken to lie on (Monday = 0), and what stands on it."""

    day: int
    weekday: int
    exercises: tuple[str, ...]
    minutes: int


def lay_week(items: Sequence[Item], lie: tuple[int, ...], minutes: int | None = None) -> tuple[Day, ...]:
    """Return the days of the week with their exercises; `lie` is the weekday of each training day.

    `items` come in the order of a session and keep it on each day. With `minutes` no day gets longer than that, if any
    placing keeps to it.
    """
    placed = _Placing(items, lie, minutes).best()
    days = []
    for number, weekday in enumerate(lie, 1):
        here = [item for item, on in zip(items, placed, strict=True) if number in on]
        names = tuple(item.exercise for item in here)
        days.append(Day(number, weekday, names, sum(item.minutes for item in here)))
    return tuple(days)


class _Placing:
    """The search for the cheapest placing: one exercise after the other, the most constrained first."""

    __slots__ = ("_best", "_cost", "_items", "_lie", "_minutes", "_nodes", "_order", "_ways")

    def __init__(self, items: Sequence[Item], lie: tuple[int, ...], minutes: int | None) -> None:
        self._items = items
        self._lie = lie
        self._minutes = minutes
        self._ways = [sorted(self._own(item)) for item in items]
        self._order = sorted(range(len(items)), key=lambda place: (-items[place].stress, place))
        self._best: list[tuple[int, ...]] = [() for _ in items]
        self._cost: int | None = None
        self._nodes = 0

    def best(self) -> list[tuple[int, ...]]:
        size = len(self._lie) + 1
        self._visit(0, 0, [0] * size, [0] * size, [0] * size, [() for _ in self._items])
        return self._best

    def _own(self, item: Item) -> Iterator[tuple[int, tuple[int, ...]]]:
        """All ways to place one exercise, each with what it costs by itself."""
        count = len(self._lie)
        for days in combinations(range(1, count + 1), max(1, min(item.times, count))):
            cost = 0
            for day in days:
                if item.preferred and day not in item.preferred:
                    cost += NOT_PREFERRED
                for hours, loads in item.spacing:
                    until = hours_until(self._lie[day - 1], loads)
                    if until is not None and until < hours:
                        cost += BROKEN_SPACING
            places = [self._lie[day - 1] for day in days]
            for place in places:
                for other in places:
                    apart = (other - place) % WEEK
                    if apart == 1:
                        cost += DAYS_IN_A_ROW if item.stress else HEAPED_STRESS
            yield cost, days

    def _visit(
        self,
        depth: int,
        cost: int,
        stress: list[int],
        work: list[int],
        minutes: list[int],
        placed: list[tuple[int, ...]],
    ) -> None:
        self._nodes += 1
        if self._nodes > MOST_NODES:
            return
        if depth == len(self._order):
            if self._cost is None or cost < self._cost:
                self._cost, self._best = cost, placed[:]
            return
        place = self._order[depth]
        item = self._items[place]
        for own, days in self._ways[place]:
            added = own
            for day in days:
                added += HEAPED_STRESS * item.stress * stress[day] + HEAPED_WORK * work[day]
                if self._minutes is not None and minutes[day] + item.minutes > self._minutes:
                    added += BROKEN_SPACING
            if self._cost is not None and cost + added >= self._cost:
                continue
            for day in days:
                stress[day] += item.stress
                work[day] += 1
                minutes[day] += item.minutes
            placed[place] = days
            self._visit(depth + 1, cost + added, stress, work, minutes, placed)
            for day in days:
                stress[day] -= item.stress
                work[day] -= 1
                minutes[day] -= item.minutes
