"""Figures: numbers with units, brought to the unit an attribute is kept in."""

from __future__ import annotations

import re
from types import MappingProxyType

_FIGURE = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) *([a-z]+)")

# unit as written -> (what is measured, how many of the smallest)
_UNITS = MappingProxyType(
    {
        "second": ("time", 1.0),
        "minute": ("time", 60.0),
        "hour": ("time", 3600.0),
        "day": ("time", 86400.0),
        "week": ("time", 7 * 86400.0),
        "month": ("time", 365.25 / 12 * 86400.0),
        "year": ("time", 365.25 * 86400.0),
        "kg": ("mass", 1.0),
        "lb": ("mass", 0.45359237),
        "cm": ("length", 1.0),
        "metre": ("length", 100.0),
        "inch": ("length", 2.54),
        "percent": ("percent", 1.0),
        "score": ("score", 1.0),
        "time": ("times", 1.0),
        "people": ("people", 1.0),
        "session": ("sessions", 1.0),
        "rep": ("reps", 1.0),
        "ratio": ("ratio", 1.0),
    }
)
_ALSO = MappingProxyType({"s": "second", "min": "minute", "h": "hour", "inches": "inch", "m": "metre", "lbs": "lb"})


class FigureError(ValueError):
    """A figure that cannot be read, or is in a unit that measures something else."""


def _unit(name: str) -> tuple[str, float]:
    for word in (name, _ALSO.get(name, name), name.removesuffix("s")):
        if word in _UNITS:
            return _UNITS[word]
    raise FigureError(f"`{name}` is no unit.")


def figure(value: object, unit: str) -> float:
    """The number in `unit`: 3 stays 3, `21 days` is 3 in weeks."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    match = _FIGURE.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        raise FigureError("a number is expected here, with a unit or without.")
    number, given = float(match.group(1)), match.group(2)
    if not unit:
        raise FigureError(f"this has no unit, so `{given}` does not fit.")
    measures, factor = _unit(given)
    wanted, wanted_factor = _unit(unit)
    if measures != wanted:
        raise FigureError(f"this is counted in {unit}, not in {given}.")
    return number * factor / wanted_factor
