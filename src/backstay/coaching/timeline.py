"""Timeline: from which day before the meet a named exercise gets less, and from which it is out.

Read off the rules by asking them for each day ahead; nothing is known here of any table.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from backstay.coaching.ahead import Ahead
from backstay.coaching.dose import fix_dose
from backstay.coaching.effects import Resolved
from backstay.coaching.wants import resolve_for
from backstay.knowledge.base import Base

LOOK_BACK = 16 * 7  # days before the meet from which on it is told


class Turn(NamedTuple):
    """From `days` before the meet on, an exercise stands so: full, less, or out; with the rules that make it so."""

    exercise: str
    days: int
    stands: str  # full | less | out
    sets: int | None
    because: tuple[str, ...]


def turns(base: Base, findings: Any, want: str, named: Sequence[str]) -> tuple[Turn, ...]:
    """Return how each named exercise stands on the way to the meet, from far to near, one turn for each change."""
    ahead = Ahead(base, findings)
    most = ahead.days_to_meet if ahead.days_to_meet is not None else LOOK_BACK
    told: dict[str, list[Turn]] = {name: [] for name in named if name in base.exercises}
    if not told or most <= 0:
        return ()
    fullest: dict[str, int] = {}
    rules: tuple[str, ...] | None = None
    for days in ahead.looked_at(most):
        found = ahead.on(days)
        if rules == found.fired:
            continue  # the rules say what they said the day before
        rules = found.fired
        resolved = resolve_for(base, found, want, named)
        for name, so_far in told.items():
            turn = _turn(base, resolved, name, days, fullest)
            if not so_far or (so_far[-1].stands, so_far[-1].sets) != (turn.stands, turn.sets):
                so_far.append(turn)
    return tuple(turn for name in told for turn in told[name])


def _turn(base: Base, resolved: Resolved, name: str, days: int, fullest: dict[str, int]) -> Turn:
    dose = None if name in resolved.forbidden else fix_dose(base.exercises[name], resolved)
    if dose is None:
        return Turn(name, days, "out", None, resolved.forbidden.get(name, ()))
    most = fullest[name] = max(dose.sets, fullest.get(name, 0))
    return Turn(name, days, "less" if dose.sets < most else "full", dose.sets, dose.because)
