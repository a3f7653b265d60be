"""Picks: the exercises of an answer with all that belongs to them, and those left out with what kept them out."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from backstay.coaching.days import preferred_days
from backstay.coaching.dose import CLASS_WEIGHT, MANY_REPETITIONS, Dose, cut_to_stress, fix_dose
from backstay.coaching.effects import MOST_PREFERENCE, Resolved
from backstay.coaching.menu import Candidate, Choice, Limits, Menu
from backstay.coaching.wants import STAND_IN
from backstay.knowledge.base import Base

MOST_LEFT_OUT = 5
# What an exercise costs by being one more: a little more than any preference can be worth, so that none is added only
# because it is liked; each has to cover some need that the others leave open.
ONE_MORE = MOST_PREFERENCE + 1
SORENESS_OR_PAIN = "soreness-or-pain"
HIGH_REPETITIONS = "high-repetitions"
ROOMS = ("screening", "rules", "exercise", "kit", "question")


class Pick(NamedTuple):
    """One exercise that is given: its dose, when, which side first, and the rules behind it, the leading one first."""

    exercise: str
    dose: Dose
    minutes: int
    days: tuple[int, ...]
    first_side: str | None
    way: int | None
    because: tuple[str, ...]
    sides_against: tuple[tuple[str, str], ...] = ()  # (side, rule) that gave way


class LeftOut(NamedTuple):
    """One exercise that is not given, and the rules that kept it out; none where others were simply worth more."""

    exercise: str
    because: tuple[str, ...]


class Chosen(NamedTuple):
    """A menu as picks, with the choice that it came from."""

    picks: tuple[Pick, ...]
    choice: Choice
    menu: Menu
    doses: Mapping[str, Dose]  # of all that were looked at


def choose(
    base: Base,
    resolved: Resolved,
    training_days: int | None,
    keeping: Mapping[str, int] | None = None,
    barred: Collection[str] = (),
    sessions: int = 1,
    known: Mapping[str, Dose] | None = None,
    lean: bool = False,
) -> Chosen:
    """Choose the best menu under the resolved effects.

    `keeping` adds preference to exercises that are already done, `barred` leaves out some besides the forbidden ones.
    The minutes at hand are those of a session: over several each exercise takes its minutes as often as it is done.
    `known` are doses that are fixed already under the same effects. A `lean` choice does not look at what is forbidden,
    and cannot be asked what that would have changed.
    """
    without = resolved.forbidden if lean else ()
    doses, candidates, most = laid_out(base, resolved, keeping, sessions, known, without)
    out = {*resolved.forbidden, *barred}
    if sessions > 1 and most.minutes is not None:
        from backstay.coaching.packing import best_packed  # only weeks with a clock have days that a menu must fit

        works = {name: (dose.minutes, dose.times_a_week) for name, dose in doses.items()}
        choice = best_packed(resolved.needs, candidates, most, out, works, sessions)
    else:
        choice = Choice(resolved.needs, candidates, most, barred=out)
    names = in_session_order(base, choice.menu.exercises, doses)
    return Chosen(as_picks(base, resolved, names, doses, training_days), choice, choice.menu, doses)


def laid_out(
    base: Base,
    resolved: Resolved,
    keeping: Mapping[str, int] | None = None,
    sessions: int = 1,
    known: Mapping[str, Dose] | None = None,
    without: Collection[str] = (),
) -> tuple[dict[str, Dose], list[Candidate], Limits]:
    """Lay out what there is to choose from, `without` some: doses of all that serve a need, candidates, limits."""
    most = limits(resolved)
    doses: dict[str, Dose] = {}
    candidates = []
    for name, exercise in base.exercises.items():
        if name in without or resolved.needs.keys().isdisjoint(exercise.trains):
            continue
        dose = known.get(name) if known else None
        if dose is None:
            dose = fix_dose(exercise, resolved)
            if dose is None:
                continue
        doses[name] = dose
        minutes, stress = dose.minutes, dose.stress
        if most.minutes is not None and minutes > most.minutes:
            continue
        candidates.append(
            Candidate(
                name,
                exercise.trains,
                resolved.preference.get(name, 0) + (keeping.get(name, 0) if keeping else 0) - ONE_MORE,
                minutes * min(dose.times_a_week, sessions),
                stress,
                dose.least_stress,
                exercise.family,
            )
        )
    if most.minutes is not None:
        most = most._replace(minutes=most.minutes * sessions)
    return doses, candidates, most


def given(
    base: Base, resolved: Resolved, named: Iterable[str], training_days: int | None, together: bool = False
) -> tuple[Pick, ...]:
    """Return the named exercises that are allowed, in the order in which they were named.

    Done `together` they share the stress that is allowed, else each is looked at by itself.
    """
    doses: dict[str, Dose] = {}
    for name in named:
        if name in base.exercises and name not in resolved.forbidden:
            dose = fix_dose(base.exercises[name], resolved)
            if dose is not None:
                doses[name] = dose
    if together:
        return as_picks(base, resolved, tuple(doses), doses, training_days)
    return tuple(pick for name in doses for pick in as_picks(base, resolved, (name,), doses, training_days))


def cards(base: Base, picks: Iterable[Pick]) -> tuple[str, ...]:
    """Return the messages that must stand beside these doses: what soreness is, and how many repetitions are met."""
    found = []
    for pick in picks:
        many = pick.dose.reps is not None and pick.dose.reps[1] >= MANY_REPETITIONS
        if many or base.exercises[pick.exercise].soreness_card:
            found.append(SORENESS_OR_PAIN)
        if many:
            found.append(HIGH_REPETITIONS)
    return tuple(one for one in sorted(set(found)) if one in base.messages)


def limits(resolved: Resolved) -> Limits:
    """Return the limits of one session, as far as any are set."""
    figures = {name: said.value for name, said in resolved.limits.items()}
    return Limits(figures.get("minutes"), figures.get("stress"), figures.get("items"))


def in_session_order(base: Base, names: Iterable[str], doses: Mapping[str, Dose]) -> tuple[str, ...]:
    """Order exercises as in a session: fast work while fresh, then from the most stress to the least, then by id."""

    def place(name: str) -> tuple[bool, int, str]:
        return base.exercises[name].speed != "fast", -CLASS_WEIGHT[doses[name].stress_class], name

    return tuple(sorted(names, key=place))


def left_out(
    base: Base, resolved: Resolved, named: Iterable[str], picks: Sequence[Pick], choice: Choice | None
) -> tuple[LeftOut, ...]:
    """Return the named exercises that are not given, then the forbidden ones that would have changed the picks."""
    picked = {pick.exercise for pick in picks}
    out = []
    for name in dict.fromkeys(named):
        rules = resolved.forbidden.get(name, ())
        # What was to be replaced is missing because that was asked for, unless something else forbids it as well.
        if name in base.exercises and name not in picked and rules != (STAND_IN,):
            out.append(LeftOut(name, _by_room(base, rules)))
    if choice is None:
        return tuple(out)
    known = {one.exercise for one in out}
    changing = []
    for name, rules in resolved.forbidden.items():
        if name not in known and rules != (STAND_IN,):
            gained = choice.would_enter(name)
            if gained is not None:
                changing.append((-gained, name))
    for _, name in sorted(changing)[:MOST_LEFT_OUT]:
        out.append(LeftOut(name, _by_room(base, resolved.forbidden[name])))
    return tuple(out)


def as_picks(
    base: Base, resolved: Resolved, names: Sequence[str], doses: Mapping[str, Dose], training_days: int | None
) -> tuple[Pick, ...]:
    """Return these exercises, in this order, as they are given."""
    most = resolved.limits.get("stress")
    cut = cut_to_stress([doses[name] for name in names], most.value if most is not None else None)
    return tuple(_as_pick(base, resolved, name, dose, training_days) for name, dose in zip(names, cut, strict=True))


def _as_pick(base: Base, resolved: Resolved, name: str, dose: Dose, training_days: int | None) -> Pick:
    side = resolved.sides.get(name)
    days, day_rules = preferred_days(resolved.days.get(name, ()), training_days)
    because = dict.fromkeys(_needing(base, resolved, name))
    because.update(dict.fromkeys(rule for rule, points in resolved.preferred_by.get(name, ()) if points > 0))
    if side is not None:
        because.update(dict.fromkeys(side.rules))
    because.update(dict.fromkeys(dose.because))
    because.update(dict.fromkeys(day_rules))
    return Pick(
        exercise=name,
        dose=dose,
        minutes=dose.minutes,
        days=days,
        first_side=side.side if side is not None else None,
        way=resolved.ways.get(name),
        because=tuple(rule for rule in because if rule in base.rules),
        sides_against=side.against if side is not None else (),
    )


def _needing(base: Base, resolved: Resolved, name: str) -> list[str]:
    """The rules whose needs an exercise serves, the one that it serves most first."""
    served: dict[str, int] = {}
    for quality, gain in base.exercises[name].trains.items():
        need = resolved.needs.get(quality)
        if need:
            for rule in resolved.needed_by[quality]:
                served[rule] = served.get(rule, 0) + min(gain, need)
    return sorted(served, key=lambda rule: (-served[rule], rule))


def _by_room(base: Base, rules: Iterable[str]) -> tuple[str, ...]:
    """Rules by the room they come from: safety first, equipment last. That it is to be replaced is no reason."""
    known = [rule for rule in rules if rule in base.rules and rule != STAND_IN]
    return tuple(sorted(known, key=lambda rule: (ROOMS.index(base.rules[rule].room), rule)))
