"""Mentions: spans with what they say, in the units of the attributes that they say it of."""

from __future__ import annotations

import datetime
from typing import Any

from backstay.language.dates import days_ahead, days_behind
from backstay.language.matching import Entries, Span
from backstay.language.quantities import DAY, WEEK, YEAR

AHEAD = frozenset({"weeks-to-meet"})
_PER_UNIT = {"weeks": WEEK, "years": YEAR, "days": DAY, "minutes": 60.0, "hours": 3600.0, "seconds": 1.0}
_SPANS = frozenset({"duration", "time"})


class Mention:
    """One thing that the message mentions; `scope` holds the flags of scope.py, 0 when it is so here and now."""

    __slots__ = ("captures", "end", "entry", "extra", "feeds", "kind", "name", "says", "scope", "start")

    def __init__(self, start: int, end: int, entry: tuple[Any, ...], captures: tuple[Any, ...], says: tuple[Any, ...]):
        self.start = start
        self.end = end
        self.kind: str = entry[0]
        self.name: str = entry[1]
        self.feeds: tuple[tuple[str, Any], ...] = entry[3]
        self.extra: tuple[Any, ...] = entry[4]
        self.entry = entry
        self.captures = captures
        self.says: tuple[tuple[str, Any], ...] = says
        self.scope = 0

    def __repr__(self) -> str:
        return f"Mention({self.start}, {self.end}, {self.kind} {self.name}, {self.says}, {self.scope})"

    def says_any(self, *attributes: str) -> bool:
        """Whether it says something of one of the attributes."""
        return any(attribute in attributes for attribute, _ in self.says)

    def value(self, attribute: str) -> Any:
        """What it says of an attribute, or None."""
        for name, value in self.says:
            if name == attribute:
                return value
        return None


def mention(span: Span, entries: Entries, today: datetime.date) -> Mention:
    """The mention that a span is."""
    entry = entries[span.entry]
    says = entry[2]
    if says and any(value.__class__ is tuple or "{" in name for name, value, _ in says):
        said = tuple(
            pair for pair in (_said(name, value, unit, span.captures, today) for name, value, unit in says) if pair
        )
    else:
        said = tuple([(name, value) for name, value, _ in says])
    return Mention(span.start, span.end, entry, span.captures, said)


def _said(name: str, value: Any, unit: str, captures: tuple[Any, ...], today: datetime.date) -> tuple[str, Any] | None:
    if "{" in name:
        slot = name[name.index("{") + 1 : name.index("}")]
        key = next((capture[3] for capture in captures if capture[0] == slot), None)
        if key is None:
            return None
        name = name.replace(f"{{{slot}}}", f"{key:g}" if key.__class__ is float else str(key))
    if value.__class__ is tuple:
        slot, value = value[1], None
        for capture in captures:
            if capture[0] == slot:
                value = in_unit(name, slot, capture[3], unit, today)
                break
        if value is None:
            return None
    return name, value


def in_unit(name: str, slot: str, value: Any, unit: str, today: datetime.date) -> Any:
    """A slot's value in an attribute's unit; None where it cannot be."""
    if slot in _SPANS and unit in _PER_UNIT:
        return round(value / _PER_UNIT[unit], 2)
    if slot == "date":
        days = days_ahead(value, today) if name in AHEAD else days_behind(value, today)
        if days < 0 or unit not in _PER_UNIT:
            return None
        return round(days * DAY / _PER_UNIT[unit], 2)
    if slot == "weekdays":
        return float(len(value))
    if value.__class__ is float:
        return round(value, 2)
    return value
