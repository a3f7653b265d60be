"""A block is the exact optimum stretch by stretch: a general solver, told the tie to what was done, finds the same."""

from __future__ import annotations

import random
from datetime import date

import pytest

from backstay.coaching.block import make_block
from backstay.coaching.dose import fix_dose
from backstay.coaching.problem import Candidate, Limits
from backstay.coaching.wants import resolve_for
from backstay.coaching.week import Item
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

from .builders import base, exercise, parsed, weeks
from .instances import Instance, instance
from .weeks_solved import WeekTold, menu_solved

TODAY = date(2026, 3, 2)
TURNS = (8, 6, 3, 2, 1)  # weeks before the meet, from far to near, at which rules begin to speak
ONE_MORE = 7  # what each exercise costs by being one more
KEPT = 2
NOTHING_NEW_FROM = 21


def season(seed: int) -> tuple[Base, int | None]:
    """A random season: needs that come in, exercises that go out or are liked, and what soreness each leaves."""
    chance = random.Random(seed)
    problem = instance(seed, 6 + seed % 7)
    exercises = [
        exercise(
            one.exercise,
            trains=dict(one.gains),
            dose={"sets": chance.choice((2, 3, 4))},
            family=one.family,
            stress=chance.choice(("low", "medium", "high")),
            soreness=chance.choice(("little", "some", "expected")),
            easier=(chance.choice(problem.candidates).exercise,),
        )
        for one in problem.candidates
    ]
    minutes = chance.choice((None, None, 10, 15))
    rules = [parsed("items", ("all", ()), ("limit", "items", float(chance.randint(2, 4))))]
    if minutes is not None:
        rules.append(parsed("minutes", ("all", ()), ("limit", "minutes", float(minutes))))
    for at, (quality, points) in enumerate(sorted(problem.needs.items())):
        when = ("all", ()) if at < 3 else weeks(chance.choice(TURNS))
        rules.append(parsed(f"need-{quality}", when, ("need", quality, min(points, 5))))
    for turn in TURNS:
        names = sorted(one.exercise for one in chance.sample(problem.candidates, 3))
        rules.append(parsed(f"liked-from-{turn}", weeks(turn), ("favour", (names[0],), 2)))
        if chance.random() < 0.6:
            rules.append(parsed(f"out-from-{turn}", weeks(turn), ("forbid", tuple(names[1:]))))
    return base(exercises, parsed=rules), minutes


def told(made: Base, findings: object, minutes: int | None, worth: dict[str, int], out: set[str]) -> WeekTold:
    """One stretch as a problem, made from the resolved effects without the code that makes a block."""
    resolved = resolve_for(made, findings, "block", ())
    candidates, items = [], {}
    for name, one in made.exercises.items():
        dose = fix_dose(one, resolved)
        assert dose is not None
        if name in out or name in resolved.forbidden or (minutes is not None and dose.minutes > minutes):
            continue
        liked = resolved.preference.get(name, 0) + worth.get(name, 0) - ONE_MORE
        times = min(dose.times_a_week, 4)
        items[name] = Item(name, times, 0, dose.minutes)
        all_minutes, least = dose.minutes * times, dose.least_stress
        candidates.append(Candidate(name, one.trains, liked, all_minutes, dose.stress, least, one.family))
    limits = Limits(None if minutes is None else 4 * minutes, None, resolved.limits["items"].value)
    return WeekTold(Instance(dict(resolved.needs), candidates, limits), items, (0, 1, 3, 4), minutes)


def new_to(made: Base, done: set[str]) -> set[str]:
    """What would be new late in a block: sore work that is neither what was done nor a form of it."""
    known = set(done)
    for name in done:
        known |= set(made.exercises[name].easier)
        known |= {other.exercise for other in made.exercises.values() if other.family == made.exercises[name].family}
    return {name for name, one in made.exercises.items() if one.soreness != "little" and name not in known}


@pytest.mark.parametrize("start", range(0, 100, 10))
def test_a_general_solver_finds_the_same_stretches(start: int) -> None:
    for seed in range(start, start + 10):
        made, minutes = season(seed)
        block = make_block(made, conclude(made, [Fact("weeks-to-meet", 9.0)]), "block", (), TODAY)
        before: set[str] = set()
        done: set[str] = set()
        fired: object = None
        gaps: dict[tuple[int, int], list[int]] = {}
        # The rules speak from whole weeks and from single days on, so the days where they change are found by asking.
        for day in range(9 * 7, 0, -1):
            found = conclude(made, [Fact("weeks-to-meet", day / 7)])
            if found.fired == fired:
                continue
            fired = found.fired
            out = new_to(made, done) if done and day <= NOTHING_NEW_FROM else set()
            tied = menu_solved(told(made, found, minutes, dict.fromkeys(before, KEPT), out))
            free = menu_solved(told(made, found, minutes, {}, set()))
            stretch = next(one for one in block if one.days[0] >= day >= one.days[1])
            names = set(tied[3])
            assert stretch.proved
            assert {pick.exercise for pick in stretch.picks} == names, (seed, day)
            gaps.setdefault(stretch.days, []).append(tied[0] + KEPT * len(before & names) - free[0])
            before, done = names, done | names
        for stretch in block:
            assert stretch.bound - stretch.value == max(gaps[stretch.days]) >= 0, (seed, stretch.days)


def test_what_the_tie_to_the_stretches_before_costs_is_kept() -> None:
    made = base(
        [
            exercise("old", trains={"hold": 2}, soreness="some", family="old"),
            exercise("new", trains={"hold": 3}, soreness="some", family="new"),
        ],
        parsed=[
            parsed("always", ("all", ()), ("need", "hold", 3)),
            parsed("early", ("number", "weeks-to-meet", "above", 3), ("forbid", ("new",))),
        ],
    )
    block = make_block(made, conclude(made, [Fact("weeks-to-meet", 6.0)]), "block", (), TODAY)
    assert [[pick.exercise for pick in one.picks] for one in block] == [["old"]]
    # The new hold covers one point of need more, which is worth ten; so late it does not come in any more.
    assert block[0].bound - block[0].value == 10
