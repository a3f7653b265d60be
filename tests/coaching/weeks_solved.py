"""Weeks told to a general solver: which menu fits into the days, and what the best placing of it costs."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import combinations
from typing import Any, NamedTuple

from ortools.sat.python import cp_model

from backstay.coaching.days import DAYS_LIE, WEEK
from backstay.coaching.week import Day, Item

from .instances import Instance, crowded, instance

Cost = tuple[int, int, int, int, int, int]  # minutes over, broken, in a row, not preferred, heaped, late


class WeekTold(NamedTuple):
    """A choice, and for each exercise how often it is done and where it likes to stand."""

    problem: Instance
    items: dict[str, Item]  # by exercise; minutes are those of one session
    days: tuple[int, ...]  # weekdays
    minutes: int | None  # of one day


def week_told(seed: int, size: int | None = None) -> WeekTold:
    """A random week, of at most 12 candidates if not said; the minutes of the limits are those of all days together."""
    chance = random.Random(seed)
    problem = (crowded if seed % 2 else instance)(seed, 6 + seed % 7 if size is None else size)
    count = chance.randint(1, 6)
    items = {}
    for one in problem.candidates:
        preferred = tuple(sorted(chance.sample(range(1, count + 1), min(count, chance.choice((0, 0, 1, 2))))))
        heavy = frozenset({chance.randrange(WEEK)})
        spacing = ((chance.choice((24, 48, 72)), heavy),) if chance.random() < 0.4 else ()
        items[one.exercise] = Item(
            one.exercise, chance.choice((1, 1, 2, 3)), chance.choice((0, 2, 3, 4, 6)), one.minutes, preferred, spacing
        )
    minutes = chance.choice((None, 8, 11, 15, 20))
    candidates = [
        one._replace(minutes=one.minutes * min(items[one.exercise].times, count)) for one in problem.candidates
    ]
    limits = problem.limits._replace(minutes=None if minutes is None else minutes * count)
    if minutes is not None:
        candidates = [one for one in candidates if items[one.exercise].minutes <= minutes]
    return WeekTold(Instance(problem.needs, candidates, limits), items, DAYS_LIE[count], minutes)


def solved(model: cp_model.CpModel, aims: Sequence[cp_model.LinearExprT]) -> cp_model.CpSolver:
    """Bring one aim after the other as low as it goes, those before held fast."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    for aim in aims:
        model.minimize(aim)
        assert solver.solve(model) == cp_model.OPTIMAL
        model.add(aim == round(solver.objective_value))
    return solver


def menu_solved(told: WeekTold) -> tuple[int, int, int, tuple[str, ...]]:
    """The best menu that fits into the days: minus its value, how many, stress, which."""
    needs, limits = told.problem.needs, told.problem.limits
    useful = sorted(one for one in told.problem.candidates if any(needs.get(name) for name in one.gains))
    model = cp_model.CpModel()
    pairs = [(one, model.new_bool_var(one.exercise)) for one in useful]
    covered = []
    for name, need in needs.items():
        cover = model.new_int_var(0, need, name)
        model.add(cover <= sum(one.gains.get(name, 0) * var for one, var in pairs))
        covered.append(cover)
    for family in {one.family for one in useful if one.family}:
        model.add_at_most_one(var for one, var in pairs if one.family == family)
    if limits.stress is not None:
        model.add(sum(one.least_stress * var for one, var in pairs) <= int(limits.stress))
    if limits.items is not None:
        model.add(sum(var for _, var in pairs) <= int(limits.items))
    if told.minutes is not None:
        on = {(one.exercise, day): model.new_bool_var("") for one in useful for day in told.days}
        for one, var in pairs:
            times = min(told.items[one.exercise].times, len(told.days))
            model.add(sum(on[one.exercise, day] for day in told.days) == times * var)
        for day in told.days:
            work = sum(told.items[one.exercise].minutes * on[one.exercise, day] for one in useful)
            model.add(work <= told.minutes)
    value = 10 * sum(covered) + sum(one.preference * var for one, var in pairs)
    stress = sum(one.stress * var for one, var in pairs)
    # Fewest after most worth, then least stress; earlier ids count more than all later ones together.
    first = -value * 10**6 + sum(var for _, var in pairs) * 10**4 + stress
    ids = -sum((1 << (len(useful) - place)) * var for place, (_, var) in enumerate(pairs))
    solver = solved(model, [first, ids])
    chosen = [one for one, var in pairs if solver.value(var)]
    names = tuple(one.exercise for one in chosen)
    return -solver.value(value), len(chosen), sum(one.stress for one in chosen), names


def placing_solved(items: Sequence[Item], lie: tuple[int, ...], minutes: int | None) -> Cost:
    """What the best placing costs."""
    model = cp_model.CpModel()
    count = len(lie)
    on = [[model.new_bool_var("") for _ in lie] for _ in items]
    over: list[cp_model.IntVar] = []
    broken: list[Any] = []
    rows: list[Any] = []
    unloved: list[Any] = []
    heaped: list[Any] = []
    late: list[Any] = []
    for item, row in zip(items, on, strict=True):
        model.add(sum(row) == min(item.times, count))
        for at, var in enumerate(row):
            late.append((at + 1) * var)
            if item.preferred and at + 1 not in item.preferred:
                unloved.append(var)
            broken += [
                var for hours, loads in item.spacing if any(0 < 24 * _after(lie[at], one) < hours for one in loads)
            ]
        for one, other in combinations(range(count), 2):
            apart = ((lie[other] - lie[one]) % WEEK, (lie[one] - lie[other]) % WEEK)
            for _ in range(apart.count(1)):
                both = _both(model, row[one], row[other])
                (rows if item.stress else heaped).append(both if item.stress else 4 * both)
    for one, other in combinations(range(len(items)), 2):
        weight = 4 * items[one].stress * items[other].stress + 2
        heaped += [weight * _both(model, on[one][at], on[other][at]) for at in range(count)]
    if minutes is not None:
        for at in range(count):
            more = model.new_int_var(0, 10_000, "")
            model.add(more >= sum(item.minutes * row[at] for item, row in zip(items, on, strict=True)) - minutes)
            over.append(more)
    one_aim = 10**9 * sum(over) + 10**6 * sum(broken) + 10**3 * sum(rows) + sum(unloved)
    solver = solved(model, [one_aim, 10**4 * sum(heaped) + sum(late)] if items else [])
    if not items:
        return 0, 0, 0, 0, 0, 0
    of = [solver.value(sum(part)) if part else 0 for part in (over, broken, rows, unloved, heaped, late)]
    return of[0], of[1], of[2], of[3], of[4], of[5]


def cost_by_hand(items: Sequence[Item], days: Sequence[Day], minutes: int | None) -> Cost:
    """What a placing costs, counted off its days."""
    by_name = {item.exercise: item for item in items}
    over = sum(max(0, sum(by_name[name].minutes for name in day.exercises) - (minutes or 10**6)) for day in days)
    broken = rows = unloved = heaped = late = 0
    for item in items:
        mine = [day for day in days if item.exercise in day.exercises]
        late += sum(day.day for day in mine)
        unloved += sum(bool(item.preferred) and day.day not in item.preferred for day in mine)
        for day in mine:
            for hours, loads in item.spacing:
                broken += any(0 < 24 * _after(day.weekday, one) < hours for one in loads)
            next_day = sum((other.weekday - day.weekday) % WEEK == 1 for other in mine)
            rows += next_day if item.stress else 0
            heaped += 0 if item.stress else 4 * next_day
    for day in days:
        for one, other in combinations(day.exercises, 2):
            heaped += 4 * by_name[one].stress * by_name[other].stress + 2
    return over, broken, rows, unloved, heaped, late


def _both(model: cp_model.CpModel, one: cp_model.IntVar, other: cp_model.IntVar) -> cp_model.IntVar:
    """A variable that is 1 where both are; nothing gains by it, so that a bound from below is enough."""
    both = model.new_bool_var("")
    model.add(both >= one + other - 1)
    return both


def _after(day: int, load: int) -> int:
    """Days until the load; the work of the same day comes after it."""
    return (load - day) % WEEK or WEEK
