"""Week: lays a menu on the training days of a week. The menu itself is not touched: placing stands below choosing.

Each exercise stands on as many days as its dose says. Placings are compared by what they cost, each line below before
the next is looked at:

    minutes by which days are longer than the minutes at hand
    broken spacings: soreness before the heaviest pulls
    the same loaded work on days in a row
    days that are not those which the rules prefer
    work that heaps up on one day
    late days

All of it is packed into one whole number, and the cheapest placing is found by branch and bound. The bound counts what
each exercise that is still open costs at least, by itself and beside what is placed, and that work cannot be spread
more evenly than evenly. A count of nodes ends a search that grows too large, and the placing then says that it is not
proved.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from backstay.coaching.days import WEEK, hours_until

A_DAY_LATER = 1
A_POINT = 10**4  # more than all days of a week can be late by
HEAPED_WORK = 2 * A_POINT
HEAPED_STRESS = 4 * A_POINT
NOT_PREFERRED = 10**6 * A_POINT  # more than work can heap up
DAYS_IN_A_ROW = 10**9 * A_POINT
BROKEN_SPACING = 10**12 * A_POINT
A_MINUTE_OVER = 10**15 * A_POINT
MOST_NODES = 5_000


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


class Laid(NamedTuple):
    """The days of a week, what the placing costs, and whether it is proved that none costs less."""

    days: tuple[Day, ...]
    cost: int
    proved: bool
    nodes: int


def lay_week(
    items: Sequence[Item], lie: tuple[int, ...], minutes: int | None = None, most_nodes: int = MOST_NODES
) -> Laid:
    """Return the days of the week with their exercises; `lie` is the weekday of each training day.

    `items` come in the order of a session and keep it on each day. With `minutes` no day gets longer than that, if any
    placing keeps to it.
    """
    search = _Placing(items, lie, minutes, most_nodes)
    days = []
    for number, weekday in enumerate(lie, 1):
        here = [item for item, on in zip(items, search.best, strict=True) if number in on]
        names = tuple(item.exercise for item in here)
        days.append(Day(number, weekday, names, sum(item.minutes for item in here)))
    return Laid(tuple(days), search.cost, search.nodes <= most_nodes, search.nodes)


class _Placing:
    """The search for the cheapest placing: one exercise after the other, the most loaded first."""

    __slots__ = (
        "_count", "_items", "_lie", "_minutes", "_minutes_after", "_most_nodes", "_order", "_own", "_squares",
        "_stress_after", "_ways", "_work_after", "best", "cost", "nodes",
    )  # fmt: skip

    def __init__(self, items: Sequence[Item], lie: tuple[int, ...], minutes: int | None, most_nodes: int) -> None:
        self._lie = lie
        self._count = len(lie)
        self._minutes = minutes
        self._most_nodes = most_nodes
        self._order = sorted(
            range(len(items)),
            key=lambda place: (-items[place].stress, -items[place].minutes, -items[place].times, place),
        )
        self._items = [items[place] for place in self._order]
        self._ways = [sorted(self._alone(item)) for item in self._items]
        # From each depth on: what the open exercises cost by themselves, and how much stress and work they bring.
        size = len(items)
        self._own = [0] * (size + 1)
        self._stress_after, self._squares = [0] * (size + 1), [0] * (size + 1)
        self._work_after, self._minutes_after = [0] * (size + 1), [0] * (size + 1)
        for depth in reversed(range(size)):
            item, times = self._items[depth], len(self._ways[depth][0][1])
            self._own[depth] = self._own[depth + 1] + self._ways[depth][0][0]
            self._stress_after[depth] = self._stress_after[depth + 1] + item.stress * times
            self._squares[depth] = self._squares[depth + 1] + item.stress**2 * times
            self._work_after[depth] = self._work_after[depth + 1] + times
            self._minutes_after[depth] = self._minutes_after[depth + 1] + item.minutes * times
        self.best: list[tuple[int, ...]] = [()] * size
        self.cost = -1
        self.nodes = 0
        days = self._count + 1
        self._visit(0, 0, [0] * days, [0] * days, [0] * days, [()] * size)

    def _alone(self, item: Item) -> Iterator[tuple[int, tuple[int, ...]]]:
        """All ways to place one exercise, each with what it costs by itself."""
        row = DAYS_IN_A_ROW if item.stress else HEAPED_STRESS
        for days in combinations(range(1, self._count + 1), max(1, min(item.times, self._count))):
            cost = A_DAY_LATER * sum(days)
            cost += NOT_PREFERRED * sum(day not in item.preferred for day in days) if item.preferred else 0
            places = [self._lie[day - 1] for day in days]
            for place in places:
                for hours, loads in item.spacing:
                    until = hours_until(place, loads)
                    cost += BROKEN_SPACING if until is not None and until < hours else 0
                cost += row * sum((other - place) % WEEK == 1 for other in places)
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
        self.nodes += 1
        if self.nodes > self._most_nodes and self.cost >= 0:
            return
        if depth == len(self._order):
            self.cost = cost
            self.best = [()] * depth
            for place, days in zip(self._order, placed, strict=True):
                self.best[place] = days
            return
        if self.cost >= 0 and cost + self._at_least(depth, stress, work, minutes) >= self.cost:
            return
        item = self._items[depth]
        for added, days in sorted(self._beside(depth, stress, work, minutes)):
            if self.cost >= 0 and cost + added + self._own[depth + 1] >= self.cost:
                break
            for day in days:
                stress[day] += item.stress
                work[day] += 1
                minutes[day] += item.minutes
            placed[depth] = days
            self._visit(depth + 1, cost + added, stress, work, minutes, placed)
            for day in days:
                stress[day] -= item.stress
                work[day] -= 1
                minutes[day] -= item.minutes

    def _beside(
        self, depth: int, stress: list[int], work: list[int], minutes: list[int]
    ) -> Iterator[tuple[int, tuple[int, ...]]]:
        """All ways to place an exercise, each with what it costs beside what is placed."""
        item = self._items[depth]
        by_day = [
            HEAPED_STRESS * item.stress * heaped + HEAPED_WORK * count
            for heaped, count in zip(stress, work, strict=True)
        ]
        if self._minutes is not None:
            for day, taken in enumerate(minutes):
                over = taken + item.minutes - max(taken, self._minutes)
                by_day[day] += A_MINUTE_OVER * over if over > 0 else 0
        for own, days in self._ways[depth]:
            yield own + sum(by_day[day] for day in days), days

    def _at_least(self, depth: int, stress: list[int], work: list[int], minutes: list[int]) -> int:
        """A bound on what the exercises from `depth` on add."""
        alone = sum(
            min(self._beside(open_one, stress, work, minutes))[0] for open_one in range(depth, len(self._items))
        )
        # Pairs on one day make (square of the sum - sum of the squares) / 2; a sum over days is least where it is even.
        heaped, brought = sum(stress) + self._stress_after[depth], self._squares[depth]
        pairs = -(-(heaped * heaped) // self._count) - sum(one * one for one in stress) - brought
        whole, odd = divmod(sum(work) + self._work_after[depth], self._count)
        met = sum(one * one for one in work)
        even = odd * (whole + 1) ** 2 + (self._count - odd) * whole**2 - met - self._work_after[depth]
        together = self._own[depth] + HEAPED_STRESS * max(0, pairs) // 2 + HEAPED_WORK * max(0, even) // 2
        if self._minutes is not None:
            too_long = sum(max(0, one - self._minutes) for one in minutes)
            left = sum(minutes) + self._minutes_after[depth] - self._count * self._minutes - too_long
            together += A_MINUTE_OVER * max(0, left)
        return max(alone, together)
