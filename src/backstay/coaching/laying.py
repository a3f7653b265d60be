"""Laying: picks laid over the days that are trained, with the spacing that rules ask for and the minutes at hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from backstay.coaching import days as training
from backstay.coaching.effects import Resolved
from backstay.coaching.picks import Pick
from backstay.coaching.week import Day, Item, lay_week


class OnDays(NamedTuple):
    """The days of a week, the picks with the days that they stand on, and whether no placing is better."""

    week: tuple[Day, ...]
    picks: tuple[Pick, ...]
    proved: bool


def on_days(findings: Any, resolved: Resolved, picks: Sequence[Pick], count: int) -> OnDays:
    """Lay picks over the days of a week of `count` training days."""
    lie = training.calendar(findings, count)
    items = []
    for pick in picks:
        spacing = tuple(
            (hours, training.days_with(findings, load, lie))
            for hours, load, _ in resolved.spacing.get(pick.exercise, ())
            if load
        )
        times, stress = pick.dose.times_a_week, pick.dose.stress
        items.append(Item(pick.exercise, times, stress // max(times, 1), pick.minutes, pick.days, spacing))
    minutes = resolved.limits.get("minutes")
    laid = lay_week(items, lie, int(minutes.value) if minutes is not None else None)
    placed = tuple(
        pick._replace(days=tuple(day.day for day in laid.days if pick.exercise in day.exercises)) for pick in picks
    )
    return OnDays(laid.days, placed, laid.proved)
