"""Binding: what holds a week back, and a block in the weeks that run now.

Each limit is made a little wider, alone, and the choice is made again: some minutes more a session, one point more of
stress and none counted at all, one exercise more, one training day more. What is told has been solved, not guessed.
With pain nobody is told what more work would bring: there only the minutes are made more.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from backstay.coaching.days import WEEK, training_days
from backstay.coaching.deciding import SEE_CLINICIAN, USUAL_DAYS
from backstay.coaching.effects import Resolved
from backstay.coaching.picks import Chosen, Pick, choose
from backstay.coaching.wants import resolve_for
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

LIMITS = (("minutes", 5), ("stress", 1), ("items", 1))
DAYS = "training-days"
WANTS = ("week", "block")


class Bound(NamedTuple):
    """One limit made wider, and what that would bring."""

    limit: str
    now: int
    wider: int | None  # None: no limit at all
    gain: int  # points of the choice
    comes: tuple[str, ...]
    goes: tuple[str, ...]
    sets: int  # more in the week, where the exercises stay

    @property
    def binds(self) -> bool:
        """Whether it would bring anything."""
        return self.gain > 0 or self.sets > 0

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {**self._asdict(), "comes": list(self.comes), "goes": list(self.goes)}


def binding(base: Base, findings: Any, want: str) -> tuple[Bound, ...]:
    """Return what each limit of a plan keeps out; nothing for what is not laid out over days."""
    if want not in WANTS:
        return ()
    facts = [fact for fact in findings.facts if fact.attribute not in ("want", "exercise")]
    facts.append(Fact("want", want))
    found = conclude(base, facts)
    count = training_days(found) or USUAL_DAYS
    resolved = resolve_for(base, found, want, ())
    now = _chosen(base, resolved, count)
    in_pain = SEE_CLINICIAN in resolved.notices
    bounds = list(_wider_limits(base, resolved, count, now, LIMITS[:1] if in_pain else LIMITS))
    if count < WEEK and not in_pain:
        more = [fact for fact in facts if fact.attribute != DAYS]
        after = conclude(base, [*more, Fact(DAYS, count + 1)])
        then = _chosen(base, resolve_for(base, after, want, ()), count + 1)
        bounds.append(_bound(DAYS, count, count + 1, now, then))
    return tuple(bounds)


def _wider_limits(
    base: Base, resolved: Resolved, count: int, now: Chosen, limits: tuple[tuple[str, int], ...]
) -> Iterator[Bound]:
    for limit, more in limits:
        said = resolved.limits.get(limit)
        if said is None:
            continue
        figure = int(said.value)
        wider = resolved.copy()
        wider.limits[limit] = said._replace(value=figure + more)
        yield _bound(limit, figure, figure + more, now, _chosen(base, wider, count))
        if limit == "stress":
            del wider.limits[limit]
            yield _bound(limit, figure, None, now, _chosen(base, wider, count))


def _chosen(base: Base, resolved: Resolved, count: int) -> Chosen:
    return choose(base, resolved, count, sessions=count)


def _bound(limit: str, figure: int, wider: int | None, now: Chosen, then: Chosen) -> Bound:
    before, after = (tuple(pick.exercise for pick in one.picks) for one in (now, then))
    comes = tuple(name for name in after if name not in before)
    goes = tuple(name for name in before if name not in after)
    sets = 0 if comes or goes else _sets(then.picks) - _sets(now.picks)
    return Bound(limit, figure, wider, then.menu.value - now.menu.value, comes, goes, sets)


def _sets(picks: tuple[Pick, ...]) -> int:
    return sum(pick.dose.sets * pick.dose.times_a_week for pick in picks)
