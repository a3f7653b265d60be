"""Progress: what a report of work done means for the next time, as far as the rules say.

The ladder of pain is rules; here their effects are only read off for each exercise of the report:

    out     a rule forbids it now
    less    a rule takes something off its dose
    same    a rule bounds its dose, or pain was told: nothing grows
    grow    nothing was said against it: one small step, in one thing

Nothing is kept of a report.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from backstay.coaching.effects import Resolved
from backstay.knowledge.base import Base


class Step(NamedTuple):
    """What comes next for one exercise, and the rules that say so."""

    exercise: str
    next: str  # out | less | same | grow
    because: tuple[str, ...]


def next_steps(base: Base, resolved: Resolved, reported: Iterable[str], in_pain: bool) -> tuple[Step, ...]:
    """Return the next step for each reported exercise, in the order of ids."""
    return tuple(_step(resolved, name, in_pain) for name in sorted(set(reported)) if name in base.exercises)


def _step(resolved: Resolved, name: str, in_pain: bool) -> Step:
    if name in resolved.forbidden:
        return Step(name, "out", resolved.forbidden[name])
    # How far up its range a load may go says nothing of growing within it.
    changes = tuple(change for change in resolved.changes.get(name, ()) if change.quantity != "reach")
    less = tuple(sorted({change.rule for change in changes if change.how == "times" and change.number < 1}))
    if less:
        return Step(name, "less", less)
    bounds = tuple(sorted({change.rule for change in changes}))
    if bounds or in_pain:
        return Step(name, "same", bounds)
    return Step(name, "grow", ())
