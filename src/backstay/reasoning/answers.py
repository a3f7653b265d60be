"""Answers: what a question about an attribute may be answered with, as far as any rule can tell the answers apart.

    answers(base, attribute) -> one value for each of its answers, in order
    possible(base, attribute) -> the same, each with what it is of: of a map or of records, the answers about its parts

A figure stands for all that no rule tells from it: the rules' bounds cut the line into stretches (law 10), and of each
stretch one figure is given, a whole one if there is any. Of words those are given that rules name. Does not run rules
and does not know which answer is likely.
"""

from __future__ import annotations

from math import ceil, floor, inf, nextafter
from typing import TYPE_CHECKING, Any

from backstay.knowledge.trees import Atom, Value, value_order

if TYPE_CHECKING:
    from backstay.knowledge.base import Base


def answers(base: Base, attribute: str) -> tuple[Value, ...]:
    """One value for each answer that rules tell apart; () if no rule tests the attribute."""
    entry = base.program["plan"].get(attribute)
    if entry is None:
        return ()
    _, values, known, lower, upper, _, _ = entry
    if lower[0] or upper[0]:
        return _figures(lower[0], upper[0], [value for value in values if not isinstance(value, str)])
    described = base.attributes.get(attribute)
    listed = described.values if described is not None else ()
    if known >= 0 and not values:
        return listed or ((1,) if described is not None and described.kind == "number" else ())
    named = sorted(values, key=value_order)
    return tuple(sorted(named, key=lambda value: listed.index(value) if value in listed else len(listed)))


def possible(base: Base, attribute: str) -> tuple[Atom, ...]:
    """Each answer as what it is of and its value; a map and records are answered by their parts."""
    described = base.attributes.get(attribute)
    if described is None or described.kind not in ("map", "records"):
        return tuple((attribute, value) for value in answers(base, attribute))
    parts = sorted(name for name, one in base.attributes.items() if one.of == attribute)
    return tuple((part, value) for part in parts for value in answers(base, part))


def _figures(lower: tuple[float, ...], upper: tuple[float, ...], named: list[Any]) -> tuple[float, ...]:
    """A figure of each stretch; figures that rules name outright are stretches of their own."""
    # A stretch begins at a lower bound, or with the next float after an upper one.
    starts = sorted({*lower, *(nextafter(bound, inf) for bound in upper)})
    ends = [*(nextafter(start, -inf) for start in starts[1:]), inf]
    first = _below(nextafter(starts[0], -inf))
    return tuple(sorted({first, *map(_roundest, starts, ends), *named}))


def _below(end: float) -> float:
    """A figure at or below the first bound, not below zero if that can be."""
    whole = float(floor(end))
    return int(whole) if whole >= 0 or end < 0 else end


def _roundest(start: float, end: float) -> float:
    """A whole figure of a stretch, else one of few places."""
    if ceil(start) <= end:
        return ceil(start)
    for places in range(1, 15):
        figure = round((start + end) / 2, places)
        if start <= figure <= end:
            return figure
    return start
