"""Effects: what all fired effects come to, before anything is chosen.

    need         points of a quality add up, to 9 at most
    favour       and avoid: within 2 from one rule, within 6 in all
    forbid       beats both, whoever says it
    over         drops the named rules' effects of the same kind on the same exercises, when both rules fire
    side-first   needs its fact; without it the effect is silent and the fact worth asking for
    limit        the smallest stands
    stop, refer  the soonest stands; these, `notice` and `hold` cannot be dropped by anything

Besides the effects of rules there is one that a want brings along: ("need-like", ids) needs what these exercises train.

    ledger = Ledger(base, findings)
    ledger.resolved                     what all effects come to
    ledger.changes(findings, …)         the effects that change where some rules fire or fall silent
    ledger.changed(changes)             what all come to then, worked out from what they touch

The order of rules never matters: effects are read in the order of rule ids. Nothing here asks what a fact means; the
rules did that.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from backstay.coaching.filing import DROPPABLE, ON_EXERCISES, Changes, Effects, Filed, file, filed, kind_of, standing
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
    """Every effect that speaks, filed under what it bears on, and what they come to together.

    `pairs` holds for each kind and subject the rules that say something of it, and what.
    """

    __slots__ = (
        "_base",
        "_gives_way",
        "_more",
        "_overs",
        "_plain",
        "_referring",
        "_spoken",
        "_stood_over",
        "_written",
        "brought",
        "needs_of",
        "pairs",
        "resolved",
    )

    def __init__(
        self,
        base: Base,
        findings: Any,
        more: Iterable[tuple[str, Effect]] = (),
        needs_of: frozenset[str] | None = None,
    ) -> None:
        self._base = base
        self.needs_of = needs_of
        self.brought = more
        self._more = _by_rule(more)
        self._plain: dict[str, Effects | None] = {}
        self._written = _by_rule(findings.effects)
        self._referring: dict[str, set[str]] = {}  # fact -> rules whose effects name it
        self.resolved = Resolved()
        self._spoken: dict[str, Effects] = {}
        for rule in sorted(self._written.keys() | self._more.keys()):
            spoken = self._speak(findings, rule, self._written.get(rule, ()), self._more.get(rule, ()), self.resolved)
            if spoken:
                self._spoken[rule] = spoken
        self._overs = tuple(rule for rule in self._spoken if self._over(rule))
        self._stood_over = frozenset([*self._overs, *(other for rule in self._overs for other in self._over(rule))])
        self._gives_way = self._giving_way(self._overs, self._spoken)
        self.pairs: Filed = {}
        dropped: list[tuple[str, Effect]] = []
        for rule, effects in self._spoken.items():
            for kind, subjects, what in filed(standing(rule, effects, self._gives_way.get(rule), dropped)):
                file(self.pairs, kind, subjects, (rule, what))
        for kind, said in self.pairs.items():
            settle(self.resolved, kind, said)
        _keep_against(self.resolved, dropped)

    def changes(
        self,
        findings: Any,
        silent: Collection[str],
        speaking: Collection[str],
        changed: Iterable[str],
        more: Iterable[tuple[str, Effect]] = (),
    ) -> Changes:
        """Return the effects of the rules whose effects are others, before and now.

        Some rules fall `silent` and others speak; `changed` are the facts whose values are others than before.
        """
        brought = self._more if more is self.brought else _by_rule(more)
        anew = {*silent, *speaking}
        anew.update(rule for fact in changed for rule in self._referring.get(fact, ()))
        if brought is not self._more:
            both = self._more.keys() | brought.keys()
            anew.update(rule for rule in both if self._more.get(rule) != brought.get(rule))
        spoken: dict[str, Effects] = {}
        for rule in anew:
            if rule not in speaking:
                written: Iterable[Effect] = () if rule in silent else self._written.get(rule, ())
                spoken[rule] = self._speak(findings, rule, written, brought.get(rule, ()), None)
            elif rule in brought:
                spoken[rule] = self._speak(findings, rule, self._base.rules[rule].effects, brought[rule], None)
            else:
                plain = self._plain_effects(rule)
                spoken[rule] = (
                    self._speak(findings, rule, self._base.rules[rule].effects, (), None) if plain is None else plain
                )
        gives_way = self._gives_way
        overs = [rule for rule, effects in spoken.items() if effects and self._over(rule)]
        if overs or not self._stood_over.isdisjoint(anew):
            overs += [rule for rule in self._overs if rule not in anew]
            gives_way = self._giving_way(overs, self._spoken, spoken)
            for rule in self._gives_way.keys() | gives_way.keys():
                if rule not in spoken and self._gives_way.get(rule) != gives_way.get(rule):
                    spoken[rule] = self._spoken.get(rule, ())
        found: Changes = {}
        for rule, effects in spoken.items():
            was = self._spoken.get(rule, ())
            if rule in self._gives_way:
                was = standing(rule, was, self._gives_way[rule])
            if rule in gives_way:
                effects = standing(rule, effects, gives_way[rule])
            if was != effects:
                found[rule] = was, effects
        return found

    def _plain_effects(self, rule: str) -> Effects | None:
        """What a rule speaks whatever is held, None where its effects name facts."""
        if rule not in self._plain:
            effects = self._base.rules[rule].effects
            bare = all(map(_names_no_fact, effects)) and not self._needs_of(rule, effects)
            self._plain[rule] = effects if bare else None
        return self._plain[rule]

    def _needs_of(self, rule: str, effects: Iterable[Effect]) -> bool:
        """Whether needs of this rule do not count."""
        outside = self.needs_of is not None and rule not in self.needs_of
        return outside and any(effect[0] == "need" for effect in effects)

    def referring(self, facts: Iterable[str]) -> list[str]:
        """Return the rules that fire whose effects name any of these facts, as often as they do."""
        return [rule for fact in facts for rule in self._referring.get(fact, ()) if rule in self._base.rules]

    def named(self, speaking: Iterable[str]) -> frozenset[str]:
        """Return the facts that effects name, those of these rules among them."""
        facts = set(self._referring)
        for rule in speaking:
            if self._plain_effects(rule) is None:
                for effect in self._base.rules[rule].effects:
                    if effect[0] == "need-each":
                        facts.add(effect[1])
                    elif effect[0] in ("side-first", "limit") and isinstance(effect[2], tuple):
                        facts.add(effect[2][1])
        return frozenset(facts)

    def changed(self, changes: Changes) -> Resolved:
        """Return what all effects come to with some rules' effects changed. Which side gave way is not kept."""
        added: Filed = {}
        for rule in sorted(changes):
            was, now = changes[rule]
            for kind, subjects, what in filed(now):
                file(added, kind, subjects, (rule, what))
            for kind, subjects, _ in filed(was):
                file(added, kind, subjects, None)
        resolved = self.resolved.copy()
        for kind, said in added.items():
            known = self.pairs.get(kind, {})
            for subject, pairs in said.items():
                stay = [pair for pair in known.get(subject, ()) if pair[0] not in changes]
                said[subject] = sorted(stay + pairs, key=_first) if stay and pairs else stay or pairs
            settle(resolved, kind, said)
        return resolved

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
                    kind = kind_of(effect)
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
        if self.needs_of is not None and rule not in self.needs_of:
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


def _names_no_fact(effect: Effect) -> bool:
    """Whether an effect is spoken as it is written, whatever is held."""
    if effect[0] == "limit":
        return not isinstance(effect[2], tuple)
    return effect[0] not in ("need-each", "need-like", "side-first")


def _by_rule(pairs: Iterable[tuple[str, Effect]]) -> dict[str, list[Effect]]:
    found: dict[str, list[Effect]] = {}
    for rule, effect in pairs:
        found.setdefault(rule, []).append(effect)
    return found


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
