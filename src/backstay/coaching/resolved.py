"""Resolved: what all that is said of one subject comes to; see effects.py for the laws.

`settle` takes what rules say of some subjects (qualities, exercises, messages) by one kind of effect, as pairs of a
rule and what it says, in the order of the rules' ids, and writes into a Resolved what that comes to.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, NamedTuple

MOST_NEED = 9
MOST_FROM_ONE = 2
MOST_PREFERENCE = 6
SOONEST = ("now", "today", "days", "weeks")

Pairs = Sequence[tuple[str, Any]]  # (rule, what it says), in the order of the rules' ids


class Change(NamedTuple):
    """One rule's change to one quantity of a dose."""

    rule: str
    quantity: str
    how: str  # times | at-most | at-least
    number: float


class Side(NamedTuple):
    """Which side goes first, by which rules, and what was said against it."""

    side: str | None
    rules: tuple[str, ...]
    against: tuple[tuple[str, str], ...] = ()  # (side, rule) that gave way, or of both when neither does


class Said(NamedTuple):
    """A value with the rules that said it."""

    value: Any
    rules: tuple[str, ...]


class Resolved:
    """Needs, preferences, forbids, dose changes, sides, limits and messages, each with the rules behind it."""

    __slots__ = (
        "asks",
        "changes",
        "days",
        "forbidden",
        "holds",
        "limits",
        "needed_by",
        "needs",
        "notices",
        "preference",
        "preferred_by",
        "refers",
        "sides",
        "silenced",
        "spacing",
        "stops",
        "tells",
        "times_a_week",
        "uses",
        "ways",
    )

    def __init__(self) -> None:
        self.needs: dict[str, int] = {}
        self.needed_by: dict[str, tuple[str, ...]] = {}
        self.preference: dict[str, int] = {}
        self.preferred_by: dict[str, tuple[tuple[str, int], ...]] = {}
        self.forbidden: dict[str, tuple[str, ...]] = {}
        self.uses: dict[str, dict[str, tuple[str, ...]]] = {}
        self.changes: dict[str, tuple[Change, ...]] = {}
        self.sides: dict[str, Side] = {}
        self.limits: dict[str, Said] = {}
        self.days: dict[str, tuple[tuple[tuple[int, ...], int, str], ...]] = {}
        self.spacing: dict[str, tuple[tuple[int, str, str], ...]] = {}
        self.times_a_week: dict[str, Said] = {}
        self.ways: dict[str, int] = {}
        self.notices: dict[str, tuple[str, ...]] = {}
        self.tells: dict[str, tuple[str, ...]] = {}
        self.asks: dict[str, tuple[str, ...]] = {}
        self.silenced: dict[str, tuple[str, ...]] = {}
        self.stops: dict[str, tuple[str, ...]] = {}
        self.refers: dict[str, tuple[str, ...]] = {}
        self.holds: dict[str, tuple[str, ...]] = {}

    @property
    def stop(self) -> Said | None:
        """How soon whoever must stop is to be seen."""
        return _soonest(self.stops)

    @property
    def refer(self) -> Said | None:
        """How soon a clinician comes first."""
        return _soonest(self.refers)

    @property
    def hold(self) -> tuple[str, ...]:
        """The rules that wait for an answer before anything is given."""
        return self.holds.get("", ())

    def copy(self) -> "Resolved":
        """Return one that can be settled anew without touching this one."""
        made = Resolved()
        for name in self.__slots__:
            setattr(made, name, dict(getattr(self, name)))
        return made


def settle(resolved: Resolved, kind: str, said: Mapping[Any, Pairs]) -> None:
    """Write what is said of some subjects, in pairs by rule; nothing where no rule speaks of one any more."""
    place, rule = _SETTLED[kind]
    table = getattr(resolved, place)
    for subject in sorted(said):
        pairs = said[subject]
        if pairs:
            rule(resolved, table, subject, pairs)
        else:
            table.pop(subject, None)
            if kind == "need":
                resolved.needed_by.pop(subject, None)
            elif kind == "favour":
                resolved.preferred_by.pop(subject, None)


def unique(rules: Iterable[str]) -> tuple[str, ...]:
    """Each rule once, in order."""
    return tuple(sorted(set(rules)))


def _soonest(said: Mapping[str, tuple[str, ...]]) -> Said | None:
    for when in SOONEST:
        if when in said:
            return Said(when, said[when])
    return None


def _need(resolved: Resolved, table: dict[str, Any], quality: str, pairs: Pairs) -> None:
    table[quality] = min(MOST_NEED, sum(points for _, points in pairs))
    resolved.needed_by[quality] = unique(rule for rule, _ in pairs)


def _favour(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    by_rule = _by_rule(pairs)
    resolved.preferred_by[exercise] = tuple((rule, points) for rule, points in by_rule.items() if points)
    table[exercise] = within(sum(by_rule.values()), MOST_PREFERENCE)


def _by_rule(pairs: Pairs) -> dict[str, int]:
    points: dict[str, int] = {}
    for rule, number in pairs:
        points[rule] = points.get(rule, 0) + number
    return {rule: within(number, MOST_FROM_ONE) for rule, number in points.items()}


def _rules(resolved: Resolved, table: dict[Any, Any], subject: Any, pairs: Pairs) -> None:
    table[subject] = unique([rule for rule, _ in pairs]) if len(pairs) > 1 else (pairs[0][0],)


def _changes(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    table[exercise] = tuple(sorted(Change(rule, *what) for rule, what in pairs))


def _uses(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    uses: dict[str, list[str]] = {}
    for rule, use in pairs:
        uses.setdefault(use, []).append(rule)
    table[exercise] = {use: unique(uses[use]) for use in sorted(uses)}


def _listed(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    table[exercise] = tuple(sorted((*what, rule) for rule, what in pairs))


def _least(resolved: Resolved, table: dict[str, Any], subject: str, pairs: Pairs) -> None:
    least = min(figure for _, figure in pairs)
    table[subject] = Said(least, unique(rule for rule, figure in pairs if figure == least))


def _way(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    table[exercise] = min([way for _, way in pairs])


def _side(resolved: Resolved, table: dict[str, Any], exercise: str, pairs: Pairs) -> None:
    """One side leads if all that speak agree."""
    if len({side for _, side in pairs}) > 1:
        table[exercise] = Side(None, (), tuple(sorted((side, rule) for rule, side in pairs)))
    else:
        table[exercise] = Side(pairs[0][1], unique(rule for rule, _ in pairs))


def within(points: int, most: int) -> int:
    """Return points held within a bound on both sides of nothing."""
    return max(-most, min(most, points))


# kind of effect -> where it is written, and how
_SETTLED: Mapping[str, tuple[str, Callable[[Resolved, dict[Any, Any], Any, Pairs], None]]] = {
    "need": ("needs", _need),
    "favour": ("preference", _favour),
    "forbid": ("forbidden", _rules),
    "dose": ("changes", _changes),
    "dose-use": ("uses", _uses),
    "days": ("days", _listed),
    "spacing": ("spacing", _listed),
    "times-a-week": ("times_a_week", _least),
    "side-first": ("sides", _side),
    "limit": ("limits", _least),
    "way": ("ways", _way),
    "notice": ("notices", _rules),
    "tell": ("tells", _rules),
    "ask": ("asks", _rules),
    "stop": ("stops", _rules),
    "refer": ("refers", _rules),
    "hold": ("holds", _rules),
}
