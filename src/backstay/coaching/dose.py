"""Dose: how much of an exercise, fixed before anything is chosen.

The exercise file gives the base, rules choose one by its use, scale it and bound it: base, the smallest `times`, the
most cautious bound, rounding. Less is the cautious direction of every quantity but rest, where it is more; rounding
goes the cautious way too. Of two different uses the one with less total work leads, and the other is told of.

Weekly stress is sets x 0, 1 or 2 (low, medium, high) x times a week. Against a stress limit sets are cut, not the
exercise.

Minutes and reference speeds here are common practice: they say how long a slot to keep free, not how fast to move.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from backstay.coaching.effects import Change, Resolved, Said
from backstay.knowledge.base import Exercise

if TYPE_CHECKING:
    from backstay.coaching.load import Load
else:
    Load = Any  # stands on this module

CLASS_WEIGHT = {"low": 0, "medium": 1, "high": 2}
SET_UP_SECONDS = 60
CHANGE_SIDE_SECONDS = 5
SECONDS_A_REP = 3
METRES_A_SECOND = 1
PAIRS = ("reps", "seconds", "metres", "rest", "reserve")
# From so many in a set on, repetitions are met with half of them in the first sessions.
MANY_REPETITIONS = 20
FIRST_SESSIONS = 2
NO_LOAD = {"load_kg": None, "load_with": None, "each_hand": False, "bar_kg": None, "plates": None}
# Steps in which figures are shown; a rest is rounded up, all else down, and never to nothing.
STEP = {"seconds": 5, "rest": 5, "metres": 5}


class Dose(NamedTuple):
    """Sets and what is in them, with the rules that changed it."""

    use: str
    sets: int
    reps: tuple[int, int] | None
    seconds: tuple[int, int] | None
    metres: tuple[int, int] | None
    rest: tuple[int, int] | None
    load: str
    load_percent: int | None  # of the usual load, where a rule takes some off
    effort: str
    effort_at_most: float | None
    reserve: tuple[int, int] | None
    per_side: bool
    times_a_week: int
    stress_class: str
    seconds_a_rep: float
    tempo: str
    shape: str
    sources: tuple[str, ...]
    because: tuple[str, ...]
    other_use: str | None = None  # a second use was asked for and gave way
    cut: int = 0  # sets taken off for the stress limit
    weight: Load | None = None  # in kg, where it is known

    @property
    def work(self) -> float:
        """Seconds under load in all sets together."""
        return self.sets * _seconds_a_set(self)

    @property
    def minutes(self) -> int:
        """Minutes to keep free, set-up and rests included."""
        rest = sum(self.rest) / 2 if self.rest else 0.0
        change = CHANGE_SIDE_SECONDS if self.per_side else 0
        seconds = SET_UP_SECONDS + self.sets * (_seconds_a_set(self) + change) + (self.sets - 1) * rest
        return int(-(-seconds // 60))

    @property
    def first_sessions(self) -> tuple[int, int] | None:
        """Repetitions a set in the first sessions, where the usual ones are too many to begin with."""
        if self.reps is None or self.reps[1] < MANY_REPETITIONS:
            return None
        return max(1, self.reps[0] // 2), self.reps[1] // 2

    @property
    def stress(self) -> int:
        """Weekly stress on the back."""
        return self.sets * CLASS_WEIGHT[self.stress_class] * self.times_a_week

    @property
    def least_stress(self) -> int:
        """Weekly stress with all but one set cut."""
        return CLASS_WEIGHT[self.stress_class] * self.times_a_week

    def figures(self) -> dict[str, Any]:
        """Return the dose under the names of the JSON answer."""
        return {
            "sets": self.sets,
            "reps": list(self.reps) if self.reps else None,
            "seconds": list(self.seconds) if self.seconds else None,
            "metres": list(self.metres) if self.metres else None,
            "per_side": self.per_side,
            "rest_s": list(self.rest) if self.rest else None,
            "load": self.load,
            "load_percent": self.load_percent,
            **(self.weight.figures() if self.weight is not None else NO_LOAD),
            "effort": self.effort,
            "effort_at_most": self.effort_at_most,
            "reserve": list(self.reserve) if self.reserve else None,
            "times_a_week": self.times_a_week,
            "first_sessions": (
                {"sessions": FIRST_SESSIONS, "reps": list(self.first_sessions)} if self.first_sessions else None
            ),
            "use": self.use,
            "stress": self.stress_class,
            "tempo": self.tempo,
            "shape": self.shape,
            "sources": list(self.sources),
        }


def fix_dose(exercise: Exercise, resolved: Resolved) -> Dose | None:
    """Fix the dose of an exercise under the fired effects; None for an exercise whose file states none."""
    if not exercise.doses:
        return None
    changes = resolved.changes.get(exercise.exercise, ())
    often = resolved.times_a_week.get(exercise.exercise)
    asked = {use: rules for use, rules in resolved.uses.get(exercise.exercise, {}).items() if use in exercise.doses}
    if not asked:
        return _changed(exercise, next(iter(exercise.doses)), (), changes, often)
    fixed = [_changed(exercise, use, rules, changes, often) for use, rules in asked.items()]
    fixed.sort(key=lambda dose: (dose.work, CLASS_WEIGHT[dose.stress_class], dose.use))
    return fixed[0] if len(fixed) == 1 else fixed[0]._replace(other_use=fixed[1].use)


def cut_to_stress(doses: Sequence[Dose], limit: float | None) -> tuple[Dose, ...]:
    """Take sets off, one at a time where the week's stress is greatest, until the limit holds; one set always stays."""
    cut = list(doses)
    while limit is not None and sum(dose.stress for dose in cut) > limit:
        able = [place for place, dose in enumerate(cut) if dose.sets > 1 and CLASS_WEIGHT[dose.stress_class]]
        if not able:
            break
        place = max(able, key=lambda one: (cut[one].stress, cut[one].sets, -one))
        cut[place] = cut[place]._replace(sets=cut[place].sets - 1, cut=cut[place].cut + 1)
    return tuple(cut)


def _changed(
    exercise: Exercise, use: str, chosen_by: Iterable[str], changes: Sequence[Change], often: Said | None
) -> Dose:
    base = exercise.doses[use]
    because = set(chosen_by)
    by_quantity: dict[str, list[Change]] = {}
    for change in changes:
        by_quantity.setdefault(change.quantity, []).append(change)
    pairs: dict[str, tuple[int, int] | None] = {}
    for name in PAIRS:
        usual = _pair(base.get(name))
        pairs[name] = usual if usual is None else _bounded(name, usual, by_quantity.get(name, ()), because)
    sets = _bounded("sets", _pair(base.get("sets")) or (1, 1), by_quantity.get("sets", ()), because)[0]
    load_percent, effort_at_most = None, None
    for change in by_quantity.get("load", ()):
        if change.how != "at-least":
            percent = int(change.number * 100 if change.how == "times" else change.number)
            load_percent = percent if load_percent is None else min(percent, load_percent)
            because.add(change.rule)
    for change in by_quantity.get("effort", ()):
        if change.how == "at-most":
            effort_at_most = change.number if effort_at_most is None else min(change.number, effort_at_most)
            because.add(change.rule)
    low, high = _pair(base.get("times-a-week")) or (1, 1)
    times = (low + high) // 2
    if often is not None and often.value < times:
        times = max(1, int(often.value))
        because.update(often.rules)
    return Dose(
        use=use,
        sets=sets,
        reps=pairs["reps"],
        seconds=pairs["seconds"],
        metres=pairs["metres"],
        rest=pairs["rest"],
        load=str(base.get("load", "")),
        load_percent=load_percent,
        effort=str(base.get("effort", "")),
        effort_at_most=effort_at_most,
        reserve=_reserve(pairs["reserve"], effort_at_most),
        per_side=exercise.one_sided,
        times_a_week=times,
        stress_class=str(base.get("stress", exercise.stress)),
        seconds_a_rep=float(base.get("seconds-a-rep", SECONDS_A_REP)),
        tempo=str(base.get("tempo", "")),
        shape=str(base.get("shape", "")),
        sources=_sources(base),
        because=tuple(sorted(because)),
    )


def _bounded(quantity: str, usual: tuple[int, int], changes: Sequence[Change], because: set[str]) -> tuple[int, int]:
    """Scale by the smallest `times`, bound the most cautious way, round the cautious way; note who changed it."""
    if not changes:
        return usual
    upward = quantity == "rest"
    times = [change for change in changes if change.how == "times"]
    low, high = float(usual[0]), float(usual[1])
    if times and not upward:
        least = min(change.number for change in times)
        low, high = low * least, high * least
        because.update(change.rule for change in times if change.number == least)
    # The bound against caution comes first, so that the cautious one has the last word.
    for how in ("at-most", "at-least") if upward else ("at-least", "at-most"):
        bounds = [change for change in changes if change.how == how]
        if not bounds:
            continue
        lead = (max if upward else min)(change.number for change in bounds)
        bent = (min(low, lead), min(high, lead)) if how == "at-most" else (max(low, lead), max(high, lead))
        if bent != (low, high):
            because.update(change.rule for change in bounds if change.number == lead)
            low, high = bent
    return _rounded(quantity, low, upward), _rounded(quantity, high, upward)


def _rounded(quantity: str, figure: float, upward: bool) -> int:
    step = STEP.get(quantity, 1)
    step = step if figure >= 2 * step else 1
    # A twentieth is forgiven: two thirds written as 0.66 still make two sets of three.
    whole = int((figure / step) * 20 + (18.999 if upward else 1)) // 20 * step
    return max(0 if quantity in ("rest", "reserve") else 1, whole)


def _reserve(usual: tuple[int, int] | None, effort_at_most: float | None) -> tuple[int, int] | None:
    """Repetitions in reserve, opened where the effort is bounded: effort 10 leaves none, 7 leaves three."""
    if usual is None or effort_at_most is None:
        return usual
    least = int(10 - effort_at_most)
    return max(usual[0], least), max(usual[1], least)


def _seconds_a_set(dose: Dose) -> float:
    seconds = 0.0
    if dose.reps:
        seconds += dose.reps[1] * dose.seconds_a_rep
    if dose.seconds:
        seconds += dose.seconds[1]
    if dose.metres:
        seconds += dose.metres[1] / METRES_A_SECOND
    return seconds * (2 if dose.per_side else 1)


def _pair(value: Any) -> tuple[int, int] | None:
    if value is None:
        return None
    if isinstance(value, (list, tuple)):
        return int(value[0]), int(value[-1])
    return int(value), int(value)


def _sources(base: Mapping[str, Any]) -> tuple[str, ...]:
    value = base.get("source", ())
    return (value,) if isinstance(value, str) else tuple(value)
