"""Effects: what all fired effects come to, before anything is chosen.

    need         points of a quality add up, to 9 at most
    favour       and avoid: within 2 from one rule, within 6 in all
    forbid       beats both, whoever says it
    over         drops the named rules' effects of the same kind on the same exercises, when both rules fire
    side-first   needs its fact; without it the effect is silent and the fact worth asking for
    limit        the smallest stands
    stop, refer  the soonest stands; these, `notice` and `hold` cannot be dropped by anything

Besides the effects of rules there is one that a want brings along: ("need-like", ids) needs what these exercises train.

    Ledger(base, findings).resolved     what all effects come to
    ledger.turned(findings, …)          the same where some rules fire or fall silent, worked out from what they touch

The order of rules never matters: effects are read in the order of rule ids. Nothing here asks what a fact means; the
rules did that.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from backstay.coaching.resolved import (
    MOST_FROM_ONE,
    MOST_NEED,
    MOST_PREFERENCE,
    Change,
    Resolved,
    Said,
    Side,
    settle,
)
from backstay.knowledge.base import Base, Effect

__all__ = ["MOST_NEED", "MOST_PREFERENCE", "Change", "Ledger", "Resolved", "Said", "Side", "resolve"]

OPPOSITE = {"left": "right", "right": "left"}
# Kinds of effect that bear on exercises: the ids stand second in the tuple.
ON_EXERCISES = frozenset(
    {"favour", "avoid", "forbid", "dose-use", "dose", "side-first", "days", "spacing", "times-a-week"}
)
# Kinds that `over` may drop; safety is not among them.
DROPPABLE = ON_EXERCISES | {"need", "limit", "tell", "ask"}

Key = tuple[str, Any]  # kind of effect and its subject
Effects = tuple[Effect, ...]
# rule -> kind -> exercises on which it gives way; None means wholly.
GivesWay = dict[str, dict[str, set[str] | None]]


def resolve(
    base: Base,
    findings: Any,
    more: Iterable[tuple[str, Effect]] = (),
    needs_of: frozenset[str] | None = None,
) -> Resolved:
    """Resolve the effects of all fired rules, with `more` that a want brings along.

    With `needs_of` only the needs of these rules count; all other effects stand.
    """
    return Ledger(base, findings, more, needs_of).resolved


class Ledger:
    """Every effect that speaks, filed under what it bears on, and what they come to together."""

    __slots__ = ("_base", "_gives_way", "_more", "_needs_of", "_overs", "_pairs", "_referring", "_spoken", "_written",
                 "resolved")  # fmt: skip

    def __init__(
        self,
        base: Base,
        findings: Any,
        more: Iterable[tuple[str, Effect]] = (),
        needs_of: frozenset[str] | None = None,
    ) -> None:
        self._base = base
        self._needs_of = needs_of
        self._more = _by_rule(more)
        self._written = _by_rule(findings.effects)
        self._referring: dict[str, set[str]] = {}  # fact -> rules whose effects name it
        self.resolved = Resolved()
        self._spoken: dict[str, Effects] = {}
        for rule in sorted(self._written.keys() | self._more.keys()):
            spoken = self._speak(findings, rule, self._written.get(rule, ()), self._more.get(rule, ()), self.resolved)
            if spoken:
                self._spoken[rule] = spoken
        self._overs = tuple(rule for rule in self._spoken if self._over(rule))
        self._gives_way = self._giving_way(self._overs, self._spoken)
        self._pairs: dict[str, dict[Any, list[tuple[str, Any]]]] = {}
        dropped: list[tuple[str, Effect]] = []
        for rule, effects in self._spoken.items():
            for kind, subjects, what in _filed(_standing(rule, effects, self._gives_way.get(rule), dropped)):
                _file(self._pairs, kind, subjects, (rule, what))
        for kind, said in self._pairs.items():
            settle(self.resolved, kind, said)
        _keep_against(self.resolved, dropped)

    def turned(
        self,
        findings: Any,
        silent: Collection[str],
        speaking: Collection[str],
        changed: Iterable[str],
        more: Iterable[tuple[str, Effect]] = (),
        needs_of: frozenset[str] | None = None,
    ) -> tuple[Resolved, frozenset[Key]]:
        """Return what the effects come to where some rules fall silent and others speak, and the keys this bears on.

        `changed` are the facts whose values are others than before. Which side gave way is not kept.
        """
        if needs_of != self._needs_of:
            other = Ledger(self._base, findings, more, needs_of)
            keys = {
                (kind, subject) for pairs in (self._pairs, other._pairs) for kind in pairs for subject in pairs[kind]
            }
            return other.resolved, frozenset(keys)
        brought = _by_rule(more)
        anew = {*silent, *speaking}
        anew.update(rule for fact in changed for rule in self._referring.get(fact, ()))
        anew.update(rule for rule in self._more.keys() | brought.keys() if self._more.get(rule) != brought.get(rule))
        spoken: dict[str, Effects] = {}
        for rule in sorted(anew):
            if rule in speaking:
                written: Iterable[Effect] = self._base.rules[rule].effects
            else:
                written = () if rule in silent else self._written.get(rule, ())
            spoken[rule] = self._speak(findings, rule, written, brought.get(rule, ()), None)
        gives_way = self._gives_way
        overs = tuple(rule for rule in self._overs if rule not in anew)
        overs += tuple(rule for rule, effects in spoken.items() if effects and self._over(rule))
        if overs or self._overs:
            gives_way = self._giving_way(overs, self._spoken, spoken)
            for rule in self._gives_way.keys() | gives_way.keys():
                if rule not in spoken and self._gives_way.get(rule) != gives_way.get(rule):
                    spoken[rule] = self._spoken.get(rule, ())
        return self._settled(spoken, gives_way)

    def _settled(self, spoken: Mapping[str, Effects], gives_way: GivesWay) -> tuple[Resolved, frozenset[Key]]:
        added: dict[str, dict[Any, list[tuple[str, Any]]]] = {}
        for rule in sorted(spoken):
            for kind, subjects, what in _filed(_standing(rule, spoken[rule], gives_way.get(rule))):
                _file(added, kind, subjects, (rule, what))
            for kind, subjects, _ in _filed(_standing(rule, self._spoken.get(rule, ()), self._gives_way.get(rule))):
                _file(added, kind, subjects, None)
        resolved = self.resolved.copy()
        touched = []
        for kind, said in added.items():
            known = self._pairs.get(kind, {})
            anew = {}
            for subject, pairs in said.items():
                before = known.get(subject, [])
                after = [pair for pair in before if pair[0] not in spoken]
                after = sorted(after + pairs, key=_first) if after and pairs else after or pairs
                if after != before:
                    anew[subject] = after
                    touched.append((kind, subject))
            if anew:
                settle(resolved, kind, anew)
        return resolved, frozenset(touched)

    def _over(self, rule: str) -> tuple[str, ...]:
        info = self._base.rules.get(rule)
        return info.over if info is not None else ()

    def _giving_way(self, overs: Iterable[str], *spoken: Mapping[str, Effects]) -> GivesWay:
        """What gives way to these rules; of several accounts of what a rule speaks the last one stands."""

        def said(rule: str) -> Effects:
            return next((account[rule] for account in reversed(spoken) if rule in account), ())

        gone: GivesWay = {}
        for rule in overs:
            for other in self._over(rule):
                if other == rule or not said(other) or self._base.rules[other].room == "screening":
                    continue
                places = gone.setdefault(other, {})
                for effect in said(rule):
                    if effect[0] not in DROPPABLE:
                        continue
                    kind = _kind(effect)
                    if effect[0] not in ON_EXERCISES:
                        places[kind] = None
                    else:
                        known = places.setdefault(kind, set())
                        if known is not None:
                            known.update(effect[1])
        return gone

    def _speak(
        self,
        findings: Any,
        rule: str,
        written: Iterable[Effect],
        brought: Iterable[Effect],
        into: Resolved | None,
    ) -> Effects:
        """A rule's effects with the facts that they name put in; the facts that are missing are noted as silencing."""
        if self._needs_of is not None and rule not in self._needs_of:
            written = [effect for effect in written if effect[0] not in ("need", "need-each")]
        spoken: list[Effect] = []
        for effect in (*written, *brought):
            name = effect[0]
            if name == "need-each":
                self._refer(into, effect[1], rule)
                spoken += [("need", value, effect[2]) for value in findings.values(effect[1])]
            elif name == "need-like":
                spoken += _needs_like(self._base, effect[1])
            elif name == "side-first" and effect[2][0] != "is":
                self._refer(into, effect[2][1], rule)
                side = _side(findings, effect[2])
                if side is not None:
                    spoken.append((name, effect[1], side))
                elif into is not None and not findings.values(effect[2][1]):
                    into.silenced[effect[2][1]] = (*into.silenced.get(effect[2][1], ()), rule)
            elif name == "side-first":
                spoken.append((name, effect[1], effect[2][1]))
            elif name == "limit" and isinstance(effect[2], tuple):
                self._refer(into, effect[2][1], rule)
                figure = findings.number(effect[2][1])
                if figure is not None:
                    spoken.append((name, effect[1], figure))
                elif into is not None:
                    into.silenced[effect[2][1]] = (*into.silenced.get(effect[2][1], ()), rule)
            else:
                spoken.append(effect)
        return tuple(spoken)

    def _refer(self, into: Resolved | None, fact: str, rule: str) -> None:
        if into is not None:
            self._referring.setdefault(fact, set()).add(rule)


def _by_rule(pairs: Iterable[tuple[str, Effect]]) -> dict[str, list[Effect]]:
    found: dict[str, list[Effect]] = {}
    for rule, effect in pairs:
        found.setdefault(rule, []).append(effect)
    return found


def _kind(effect: Effect) -> str:
    """The kind of an effect as `over` means it: quantities of a dose and subjects of a limit are kinds of their own."""
    name: str = effect[0]
    if name == "dose":
        return f"dose {effect[2]}"
    if name == "limit":
        return f"limit {effect[1]}"
    return name


def _standing(
    rule: str,
    effects: Effects,
    places: Mapping[str, set[str] | None] | None,
    dropped: list[tuple[str, Effect]] | None = None,
) -> Iterable[Effect]:
    """The effects of a rule that do not give way; those that do are added to `dropped`."""
    if not places:
        return effects
    kept = []
    for effect in effects:
        kind = _kind(effect)
        if effect[0] not in DROPPABLE or kind not in places:
            kept.append(effect)
            continue
        taken = places[kind]
        lost = effect
        if taken is not None:
            left = tuple(one for one in effect[1] if one not in taken)
            if left:
                kept.append((effect[0], left, *effect[2:]))
            lost = (effect[0], tuple(one for one in effect[1] if one in taken), *effect[2:])
        if dropped is not None:
            dropped.append((rule, lost))
    return kept


def _side(findings: Any, wanted: tuple[str, str]) -> str | None:
    """The side a fact names, or the opposite one; None where the fact is not known or names both."""
    how, name = wanted
    values = [value for value in findings.values(name) if value in OPPOSITE]
    if len(values) != 1:
        return None
    side: str = values[0]
    return OPPOSITE[side] if how == "opposite-of" else side


def _needs_like(base: Base, exercises: Iterable[Any]) -> Iterator[Effect]:
    """Need what the exercises train and favour what their files name as stand-ins."""
    named = [base.exercises[one] for one in exercises if one in base.exercises]
    wanted: dict[str, int] = {}
    for exercise in named:
        for quality, points in exercise.trains.items():
            wanted[quality] = max(points, wanted.get(quality, 0))
    for quality in sorted(wanted):
        yield ("need", quality, wanted[quality])
    for swap in sorted({swap for exercise in named for swap in exercise.swaps}):
        yield ("favour", (swap,), MOST_FROM_ONE)


def _filed(effects: Iterable[Effect]) -> Iterator[tuple[str, tuple[Any, ...], Any]]:
    """Each effect: under which kind it is filed, of which subjects, and what it says."""
    for effect in effects:
        name = effect[0]
        if name == "avoid":
            yield "favour", effect[1], -effect[2]
        elif name in ("favour", "dose-use", "times-a-week", "side-first"):
            yield name, effect[1], effect[2]
        elif name == "forbid":
            yield name, effect[1], None
        elif name in ("dose", "days", "spacing"):
            yield name, effect[1], effect[2:]
        elif name in ("need", "limit", "way"):
            yield name, (effect[1],), effect[2]
        elif name == "hold":
            yield name, ("",), None
        else:
            yield name, (effect[1],), None


def _file(
    into: dict[str, dict[Any, list[tuple[str, Any]]]],
    kind: str,
    subjects: Iterable[Any],
    pair: tuple[str, Any] | None,
) -> None:
    """File a pair under each of these subjects; without one, only make the places."""
    places = into.setdefault(kind, {})
    for subject in subjects:
        pairs = places.get(subject)
        if pairs is None:
            pairs = places[subject] = []
        if pair is not None:
            pairs.append(pair)


def _first(pair: tuple[str, Any]) -> str:
    return pair[0]


def _keep_against(resolved: Resolved, dropped: Iterable[tuple[str, Effect]]) -> None:
    """What was said against the side that leads, and gave way, is kept to be told."""
    gave_way: dict[str, list[tuple[str, str]]] = {}
    for rule, effect in dropped:
        if effect[0] == "side-first":
            for exercise in effect[1]:
                gave_way.setdefault(exercise, []).append((effect[2], rule))
    for exercise, pairs in gave_way.items():
        side = resolved.sides.get(exercise)
        if side is not None and side.side is not None:
            against = tuple(sorted(pair for pair in pairs if pair[0] != side.side))
            resolved.sides[exercise] = side._replace(against=against)
