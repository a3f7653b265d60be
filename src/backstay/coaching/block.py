"""Block: the days up to the meet as stretches, each with its phase, its dates and the menu that is best then.

The days fall into stretches on which the rules say the same. Each stretch is the best menu given those before it: what
is already done has a small preference, and in the last weeks nothing comes in that leaves soreness and was not done
before in some form. Neighbours that come out equal are one stretch. What the tie to the stretches before costs is kept
beside each: its worth, and the worth of the best menu that is tied to nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from backstay.coaching.ahead import PHASE, Ahead
from backstay.coaching.days import training_days
from backstay.coaching.deciding import USUAL_DAYS
from backstay.coaching.effects import Resolved
from backstay.coaching.laying import on_days
from backstay.coaching.load import with_loads
from backstay.coaching.picks import Pick, choose
from backstay.coaching.wants import resolve_for
from backstay.coaching.week import Day
from backstay.knowledge.base import Base

KEEPING = 2
NOTHING_NEW_FROM = 21  # days before the meet
LONGEST = 52 * 7


class Stretch(NamedTuple):
    """A run of days with one menu. The first and last day are counted in; `days` are those to the meet at each."""

    phase: str
    first: date
    last: date
    days: tuple[int, int]
    picks: tuple[Pick, ...]
    told: tuple[str, ...]
    week: tuple[Day, ...] = ()  # of full weeks: which of the exercises on which day
    value: int = 0  # of the menu, the preference for what is done not counted
    bound: int = 0  # what a menu is worth that is tied to nothing before
    proved: bool = True


def make_block(base: Base, findings: Any, want: str, named: Sequence[str], today: date) -> tuple[Stretch, ...]:
    """Return the stretches from today to the day before the meet; nothing where the day of the meet is not known."""
    ahead = Ahead(base, findings)
    if ahead.days_to_meet is None or not 0 < ahead.days_to_meet <= LONGEST:
        return ()
    meet = today + timedelta(days=ahead.days_to_meet)
    looked_at = [days for days in ahead.looked_at(ahead.days_to_meet) if days > 0]
    stretches: list[Stretch] = []
    done: dict[str, None] = {}
    rules: tuple[str, ...] | None = None
    for place, days in enumerate(looked_at):
        last_day = looked_at[place + 1] + 1 if place + 1 < len(looked_at) else 1
        last = meet - timedelta(days=last_day)
        found = ahead.on(days)
        phase = str(next(iter(found.values(PHASE)), ""))
        if rules == found.fired:
            stretches[-1] = stretches[-1]._replace(last=last, days=(stretches[-1].days[0], last_day))
            continue
        rules = found.fired
        resolved = resolve_for(base, found, want, named)
        tied = _tied(base, resolved, days, stretches[-1].picks if stretches else (), done, training_days(found))
        picks = with_loads(base, found, resolved, tied.picks)
        laid = on_days(found, resolved, picks, training_days(found) or USUAL_DAYS)
        done.update(dict.fromkeys(pick.exercise for pick in picks))
        told = tuple(resolved.tells)
        stretch = Stretch(phase, meet - timedelta(days=days), last, (days, last_day), laid.picks, told, laid.week)
        proved = tied.proved and laid.proved
        stretch = stretch._replace(value=tied.value, bound=tied.bound, proved=proved)
        if stretches and _alike(stretches[-1], stretch):
            stretches[-1] = _joined(stretches[-1], stretch)
        else:
            stretches.append(stretch)
    return tuple(stretches)


class _Tied(NamedTuple):
    """The best menu of a stretch given those before it, and what one is worth that is tied to nothing."""

    picks: tuple[Pick, ...]
    value: int
    bound: int
    proved: bool


def _tied(
    base: Base, resolved: Resolved, days: int, before: Sequence[Pick], done: Collection[str], week: int | None
) -> _Tied:
    keeping = {pick.exercise: KEEPING for pick in before}
    barred = _new(base, done) if done and days <= NOTHING_NEW_FROM else ()
    sessions = week or USUAL_DAYS
    made = choose(base, resolved, week, keeping, barred, sessions)
    value = made.menu.value - KEEPING * sum(pick.exercise in keeping for pick in made.picks)
    if not keeping and not barred:
        return _Tied(made.picks, value, value, made.menu.proved)
    free = choose(base, resolved, week, sessions=sessions, known=made.doses, lean=True).menu
    return _Tied(made.picks, value, free.value, made.menu.proved and free.proved)


def _joined(one: Stretch, other: Stretch) -> Stretch:
    """Two stretches of one menu as one: what the tie costs is that of the one where it costs more."""
    worth = max(one, other, key=lambda stretch: stretch.bound - stretch.value)
    joined = one._replace(last=other.last, days=(one.days[0], other.days[1]), proved=one.proved and other.proved)
    return joined._replace(value=worth.value, bound=worth.bound)


def _new(base: Base, done: Collection[str]) -> tuple[str, ...]:
    """Exercises that would be new: not done in this block, nor an easier form or one of the family of what was."""
    families = {base.exercises[name].family for name in done}
    easier = {other for name in done for other in base.exercises[name].easier}
    return tuple(
        name
        for name, exercise in base.exercises.items()
        if name not in done and exercise.family not in families and name not in easier and exercise.soreness != "little"
    )


def _alike(one: Stretch, other: Stretch) -> bool:
    def work(stretch: Stretch) -> list[tuple[str, Any]]:
        return [(pick.exercise, pick.dose.figures()) for pick in stretch.picks]

    return one.phase == other.phase and work(one) == work(other)
