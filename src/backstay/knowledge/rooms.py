"""Rooms: what is left open for one attribute while several tests of it must pass or fail at once.

Only tests of a value (`is`) and of something being known can fail here; a comparison that must fail is turned round
before: see satisfying.py.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from types import MappingProxyType
from typing import NamedTuple

from backstay.knowledge.base import Attribute, Node

# What a figure can be at all, by its unit.
BOUNDS: MappingProxyType[str, tuple[float, float]] = MappingProxyType(
    {
        "score": (0, 10),
        "years": (0, 120),
        "weeks": (0, 5200),
        "days": (0, 36_500),
        "hours": (0, 8760),
        "minutes": (0, 1440),
        "seconds": (0, 86_400),
        "kg": (0, 700),
        "cm": (30, 280),
        "times": (0, 1000),
        "sessions": (0, 100),
        "reps": (0, 10_000),
        "metres": (0, 100_000),
        "people": (0, 10_000),
        "ratio": (0, 1000),
    }
)


def impossible(figure: float, unit: str) -> str:
    """Why no figure in this unit is ever as high or low as this one, or nothing."""
    low, high = BOUNDS.get(unit, (-math.inf, math.inf))
    if low <= figure <= high:
        return ""
    bound, way = (low, "less") if figure < low else (high, "more")
    return f"{figure:g} {unit} is {way} than anything can be: {bound:g}"


class Room(NamedTuple):
    """What one attribute may still be.

    low and high bound the figure of a number, or how many values there are of an attribute that may have many.
    """

    known: bool | None = None  # None: either
    held: frozenset[str | float] = frozenset()
    barred: frozenset[str | float] = frozenset()
    low: float = -math.inf
    low_open: bool = False
    high: float = math.inf
    high_open: bool = False


def tightened(attribute: Attribute, room: Room | None, test: Node, passes: bool = True) -> Room | None:
    """What is left of a room (None: all of it) when one more test must pass or fail; None if nothing is left."""
    room = room if room is not None else _whole(attribute)
    kind = test[0]
    if kind == "is" and not passes:
        room = room._replace(barred=room.barred | {test[2]})
    elif kind == "known" and not passes:
        if room.known:
            return None
        room = room._replace(known=False)
    elif room.known is False:
        return None
    else:
        room = room._replace(known=True)
        if kind == "is" and attribute.kind == "number":
            room = bounded(bounded(room, "at-least", float(test[2])), "at-most", float(test[2]))
        elif kind == "is":
            room = room._replace(held=room.held | {test[2]})
        elif kind in ("number", "count"):
            room = bounded(room, test[2], float(test[3]))
    return room if _is_open(room, attribute) else None


def figure_in(room: Room) -> float | None:
    """A figure that a room leaves open, a whole one if there is one."""
    low = room.low if math.isfinite(room.low) else min(room.high - 1000, 0)
    high = room.high if math.isfinite(room.high) else max(room.low + 1000, 0)
    for figure in _figures(low, high, len(room.barred) + 3):
        inside = low <= figure <= high and (figure, room.low_open) != (low, True)
        if inside and (figure, room.high_open) != (high, True) and figure not in room.barred:
            return figure
    return None


def _figures(low: float, high: float, many: int) -> Iterator[float]:
    yield from (math.ceil(low) + step for step in range(many))
    yield from (low + (high - low) * step / (many + 1) for step in range(many + 2))


def _whole(attribute: Attribute) -> Room:
    if attribute.kind == "number":
        low, high = BOUNDS.get(attribute.unit, (-math.inf, math.inf))
        return Room(low=low, high=high)
    return Room(low=0)


def bounded(room: Room, op: str, figure: float) -> Room:
    """A room with one more bound."""
    if op in ("at-least", "above"):
        if (figure, op == "above") > (room.low, room.low_open):
            return room._replace(low=figure, low_open=op == "above")
    elif (figure, op == "at-most") < (room.high, not room.high_open):
        return room._replace(high=figure, high_open=op == "below")
    return room


def _is_open(room: Room, attribute: Attribute) -> bool:
    if not room.known:
        return room.known is None or not room.held
    if attribute.kind == "number":
        return figure_in(room) is not None
    if room.held & room.barred:
        return False
    left = len(set(attribute.values) - room.barred) if attribute.values else math.inf
    if attribute.kind == "one":
        return len(room.held) <= 1 <= left
    least = math.floor(room.low) + 1 if room.low_open else math.ceil(room.low)
    most = min(left, room.high if math.isinf(room.high) else _below(room.high, room.high_open))
    return max(least, len(room.held), 1) <= most


def _below(high: float, is_open: bool) -> int:
    return math.ceil(high) - 1 if is_open else math.floor(high)
