"""Packing: the best menu of a week that fits into its days.

The minutes of all days together bound a menu, but three times ten minutes do not fit into two days of fifteen. A menu
that does not fit is taken apart: the best that fits lacks at least one of its exercises, so each of them is barred in
turn, and the best menu of all that are still open is looked at next. The first that fits is the best.
"""

from collections.abc import Collection, Iterable, Mapping
from heapq import heappop, heappush
from itertools import combinations

from backstay.coaching.menu import Choice
from backstay.coaching.problem import Candidate, Limits

MOST_CHOICES = 40

Rank = tuple[int, int, int, tuple[str, ...]]


def best_packed(
    needs: Mapping[str, int],
    candidates: Collection[Candidate],
    limits: Limits,
    barred: Iterable[str],
    works: Mapping[str, tuple[int, int]],
    days: int,
) -> Choice:
    """Return the best choice whose menu fits into `days` that share the minutes; `works` are minutes and times each."""
    most = int(limits.minutes or 0) // days
    first = frozenset(barred)
    choice = Choice(needs, candidates, limits, barred=first)
    if packs([works[name] for name in choice.menu.exercises], days, most):
        return choice
    proved, seen = choice.menu.proved, {first}
    heap: list[tuple[Rank, int, frozenset[str], Choice]] = [(_rank(choice), 0, first, choice)]
    while len(seen) <= MOST_CHOICES:
        _, _, out, choice = heappop(heap)
        if packs([works[name] for name in choice.menu.exercises], days, most):
            break
        for name in choice.menu.exercises:
            without = out | {name}
            if without not in seen:
                seen.add(without)
                other = Choice(needs, candidates, limits, barred=without)
                proved = proved and other.menu.proved
                heappush(heap, (_rank(other), len(seen), without, other))
    else:
        fitting = [one for one in sorted(heap) if packs([works[name] for name in one[3].menu.exercises], days, most)]
        choice, proved = (fitting or sorted(heap))[0][3], False
    choice.menu = choice.menu._replace(proved=proved)
    return choice


def packs(works: Iterable[tuple[int, int]], days: int, most: int) -> bool:
    """Whether works of so many minutes, each on so many days, fit into days of `most` minutes."""
    ordered = sorted(works, reverse=True)
    failed: set[tuple[int, tuple[int, ...]]] = set()

    def lay(at: int, left: tuple[int, ...]) -> bool:
        if at == len(ordered):
            return True
        if (at, left) in failed:
            return False
        minutes, times = ordered[at]
        for chosen in combinations([day for day in range(days) if left[day] >= minutes], min(times, days)):
            after = tuple(sorted(one - minutes if day in chosen else one for day, one in enumerate(left)))
            if lay(at + 1, after):
                return True
        failed.add((at, left))
        return False

    return lay(0, (most,) * days)


def _rank(choice: Choice) -> Rank:
    menu = choice.menu
    return -menu.value, len(menu.exercises), menu.stress, menu.exercises
