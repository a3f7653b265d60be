"""Resolved: what all fired effects come to, before anything is chosen.

    need         points of a quality add up, to 9 at most
    favour       and avoid: within 2 from one rule, within 6 in all
    forbid       beats both, whoever says it
    over         drops the named rules' effects of the same kind on the same exercises, when both rules fire
    side-first   needs its fact; without it the effect is silent and the fact worth asking for
    limit        the smallest stands
    stop, refer  the soonest stands; these, `notice` and `hold` cannot be dropped by anything

Besides the effects of rules there is one that a want brings along: ("need-like", ids) needs what these exercises train.

The order of rules never matters: effects are read in the order of rule ids. Nothing here asks what a fact means; the
rules did that.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from backstay.knowledge.base import Base, Effect

MOST_NEED = 9
MOST_FROM_ONE = 2
MOST_PREFERENCE = 6
OPPOSITE = {"left": "right", "right": "left"}
SOONEST = ("now", "today", "days", "weeks")
# Kinds of effect that bear on exercises: the ids stand second in the tuple.
ON_EXERCISES = frozenset(
    {"favour", "avoid", "forbid", "dose-use", "dose", "side-first", "days", "spacing", "times-a-week"}
)
# Kinds that `over` may drop; safety is not among them.
DROPPABLE = ON_EXERCISES | {"need", "need-each", "limit", "tell", "ask"}


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
        "hold",
        "limits",
        "needed_by",
        "needs",
        "notices",
        "preference",
        "preferred_by",
        "refer",
        "sides",
        "silenced",
        "spacing",
        "stop",
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
        self.stop: Said | None = None
        self.refer: Said | None = None
        self.hold: tuple[str, ...] = ()


def resolve(
    base: Base,
    findings: Any,
    more: Iterable[tuple[str, Effect]] = (),
    needs_of: frozenset[str] | None = None,
) -> Resolved:
    """Resolve the effects of all fired rules, with `more` that a want brings along.

    With `needs_of` only the needs of these rules count; all other effects stand.
    """
    resolved = Resolved()
    speaking: list[tuple[str, Effect]] = []
    for rule, effect in sorted([*findings.effects, *more], key=_by_rule):
        if needs_of is not None and effect[0] in ("need", "need-each") and rule not in needs_of:
            continue
        if effect[0] == "side-first":
            side = _side(findings, effect[2], rule, resolved)
            if side is not None:
                speaking.append((rule, ("side-first", effect[1], side)))
        elif effect[0] == "limit":
            figure = _figure(findings, effect[2], rule, resolved)
            if figure is not None:
                speaking.append((rule, ("limit", effect[1], figure)))
        else:
            speaking.append((rule, effect))
    kept, dropped = _apply_over(base, speaking)
    collected: dict[str, dict[Any, list[Any]]] = {}
    for rule, effect in kept:
        _collect(base, findings, collected, rule, effect)
    _settle(resolved, collected)
    _settle_sides(resolved, collected.get("side-first", {}), dropped)
    return resolved


def _by_rule(pair: tuple[str, Effect]) -> tuple[str, str]:
    return pair[0], pair[1][0]


def _kind(effect: Effect) -> str:
    """The kind of an effect as `over` means it: quantities of a dose and subjects of a limit are kinds of their own."""
    name: str = effect[0]
    if name == "need-each":
        return "need"
    if name == "dose":
        return f"dose {effect[2]}"
    if name == "limit":
        return f"limit {effect[1]}"
    return name


def _apply_over(
    base: Base, effects: list[tuple[str, Effect]]
) -> tuple[list[tuple[str, Effect]], list[tuple[str, Effect]]]:
    """Split effects into those that stand and those that a rule with `over` put aside."""
    of_rule: dict[str, list[Effect]] = {}
    for rule, effect in effects:
        of_rule.setdefault(rule, []).append(effect)
    # rule -> kind -> exercises on which it gave way; None means wholly.
    gone: dict[str, dict[str, set[str] | None]] = {}
    for rule, own in of_rule.items():
        info = base.rules.get(rule)
        for other in info.over if info is not None else ():
            if other not in of_rule or other == rule or base.rules[other].room == "screening":
                continue
            places = gone.setdefault(other, {})
            for effect in own:
                if effect[0] not in DROPPABLE:
                    continue
                kind = _kind(effect)
                if effect[0] not in ON_EXERCISES:
                    places[kind] = None
                else:
                    known = places.setdefault(kind, set())
                    if known is not None:
                        known.update(effect[1])
    if not gone:
        return effects, []
    kept, dropped = [], []
    for rule, effect in effects:
        places = gone.get(rule, {})
        kind = _kind(effect)
        if effect[0] not in DROPPABLE or kind not in places:
            kept.append((rule, effect))
            continue
        taken = places[kind]
        if taken is None:
            dropped.append((rule, effect))
            continue
        left = tuple(one for one in effect[1] if one not in taken)
        if left:
            kept.append((rule, (effect[0], left, *effect[2:])))
        if len(left) < len(effect[1]):
            lost = tuple(one for one in effect[1] if one in taken)
            dropped.append((rule, (effect[0], lost, *effect[2:])))
    return kept, dropped


def _side(findings: Any, wanted: tuple[str, str], rule: str, resolved: Resolved) -> str | None:
    """The side an effect names, or None where its fact is not known; then the fact is worth asking for."""
    how, name = wanted
    if how == "is":
        return name
    values = [value for value in findings.values(name) if value in OPPOSITE]
    if len(values) != 1:
        if not findings.values(name):
            resolved.silenced[name] = (*resolved.silenced.get(name, ()), rule)
        return None
    side: str = values[0]
    return OPPOSITE[side] if how == "opposite-of" else side


def _figure(findings: Any, wanted: Any, rule: str, resolved: Resolved) -> float | None:
    if not isinstance(wanted, tuple):
        return float(wanted)
    number: float | None = findings.number(wanted[1])
    if number is None:
        resolved.silenced[wanted[1]] = (*resolved.silenced.get(wanted[1], ()), rule)
    return number


def _collect(
    base: Base, findings: Any, collected: dict[str, dict[Any, list[Any]]], rule: str, effect: Effect
) -> None:
    """File one effect under its kind and its subject."""
    name = effect[0]

    def file(kind: str, subject: Any, what: Any) -> None:
        collected.setdefault(kind, {}).setdefault(subject, []).append(what)

    if name == "need":
        file("need", effect[1], (rule, effect[2]))
    elif name == "need-each":
        for value in findings.values(effect[1]):
            file("need", value, (rule, effect[2]))
    elif name == "need-like":
        _need_like(base, effect[1], rule, file)
    elif name in ("favour", "avoid"):
        points = effect[2] if name == "favour" else -effect[2]
        for exercise in effect[1]:
            file("favour", exercise, (rule, points))
    elif name == "forbid":
        for exercise in effect[1]:
            file("forbid", exercise, rule)
    elif name == "dose":
        for exercise in effect[1]:
            file("dose", exercise, Change(rule, effect[2], effect[3], effect[4]))
    elif name == "dose-use":
        for exercise in effect[1]:
            file("dose-use", exercise, (effect[2], rule))
    elif name == "days":
        for exercise in effect[1]:
            file("days", exercise, (tuple(effect[2]), effect[3], rule))
    elif name in ("spacing", "times-a-week", "side-first"):
        for exercise in effect[1]:
            file(name, exercise, (*effect[2:], rule))
    elif name == "limit":
        file("limit", effect[1], (effect[2], rule))
    elif name == "way":
        file("way", effect[1], effect[2])
    elif name in ("notice", "tell", "ask", "stop", "refer"):
        file(name, effect[1], rule)
    elif name == "hold":
        file("hold", "", rule)


def _need_like(base: Base, exercises: Iterable[Any], rule: str, file: Any) -> None:
    """Need what the exercises train and favour what their files name as stand-ins."""
    named = [base.exercises[one] for one in exercises if one in base.exercises]
    wanted: dict[str, int] = {}
    for exercise in named:
        for quality, points in exercise.trains.items():
            wanted[quality] = max(points, wanted.get(quality, 0))
    for quality in sorted(wanted):
        file("need", quality, (rule, wanted[quality]))
    for swap in sorted({swap for exercise in named for swap in exercise.swaps}):
        file("favour", swap, (rule, MOST_FROM_ONE))


def _settle(resolved: Resolved, collected: dict[str, dict[Any, list[Any]]]) -> None:
    for quality, said in sorted(collected.get("need", {}).items()):
        resolved.needs[quality] = min(MOST_NEED, sum(points for _, points in said))
        resolved.needed_by[quality] = _unique(rule for rule, _ in said)
    for exercise, said in sorted(collected.get("favour", {}).items()):
        by_rule: dict[str, int] = {}
        for rule, points in said:
            by_rule[rule] = by_rule.get(rule, 0) + points
        sources = tuple((rule, _within(points, MOST_FROM_ONE)) for rule, points in by_rule.items())
        resolved.preferred_by[exercise] = tuple(one for one in sources if one[1])
        resolved.preference[exercise] = _within(sum(points for _, points in sources), MOST_PREFERENCE)
    for exercise, rules in sorted(collected.get("forbid", {}).items()):
        resolved.forbidden[exercise] = _unique(rules)
    for exercise, changes in sorted(collected.get("dose", {}).items()):
        resolved.changes[exercise] = tuple(sorted(changes))
    for exercise, said in sorted(collected.get("dose-use", {}).items()):
        uses: dict[str, list[str]] = {}
        for use, rule in said:
            uses.setdefault(use, []).append(rule)
        resolved.uses[exercise] = {use: _unique(uses[use]) for use in sorted(uses)}
    for exercise, said in sorted(collected.get("days", {}).items()):
        resolved.days[exercise] = tuple(sorted(said))
    for exercise, said in sorted(collected.get("spacing", {}).items()):
        resolved.spacing[exercise] = tuple(sorted(said))
    for kind, into in (("limit", resolved.limits), ("times-a-week", resolved.times_a_week)):
        for subject, said in sorted(collected.get(kind, {}).items()):
            least = min(figure for figure, _ in said)
            into[subject] = Said(least, _unique(rule for figure, rule in said if figure == least))
    for exercise, ways in collected.get("way", {}).items():
        resolved.ways[exercise] = min(ways)
    for kind, messages in (("notice", resolved.notices), ("tell", resolved.tells), ("ask", resolved.asks)):
        for subject, rules in sorted(collected.get(kind, {}).items()):
            messages[subject] = _unique(rules)
    resolved.stop = _soonest(collected.get("stop", {}))
    resolved.refer = _soonest(collected.get("refer", {}))
    resolved.hold = _unique(collected.get("hold", {}).get("", []))


def _settle_sides(
    resolved: Resolved, said: dict[Any, list[Any]], dropped: list[tuple[str, Effect]]
) -> None:
    """One side leads if all that still speak agree; what gave way, or disagrees, is kept to be told."""
    gave_way: dict[str, list[tuple[str, str]]] = {}
    for rule, effect in dropped:
        if effect[0] == "side-first":
            for exercise in effect[1]:
                gave_way.setdefault(exercise, []).append((effect[2], rule))
    for exercise, pairs in sorted(said.items()):
        sides = sorted({side for side, _ in pairs})
        if len(sides) > 1:
            resolved.sides[exercise] = Side(None, (), tuple(sorted(pairs)))
            continue
        against = tuple(sorted(pair for pair in gave_way.get(exercise, ()) if pair[0] != sides[0]))
        resolved.sides[exercise] = Side(sides[0], _unique(rule for _, rule in pairs), against)


def _soonest(said: dict[Any, list[str]]) -> Said | None:
    for when in SOONEST:
        if when in said:
            return Said(when, _unique(said[when]))
    return None


def _unique(rules: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(set(rules)))


def _within(points: int, most: int) -> int:
    return max(-most, min(most, points))
