"""Comparing: what a change of the knowledge changes, situation by situation, grouped by the rule that causes it.

The cause of a difference is what is written otherwise in the two bases and has a say in the situation: rules that fire
in either, exercises that are given in either; where neither has, `THE_REST`. A rule counts as written otherwise only
for what both bases can say of it: that a property selects one exercise more is the doing of the exercise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

from backstay.knowledge.base import Base, Effect
from backstay.review.resolving import Resolver
from backstay.review.rules import parsed_rules
from backstay.review.solving import NONE_LEFT, Answer, Solved
from backstay.review.space import Situation
from backstay.review.tally import Case, add_cases

RULE, EXERCISE, THE_REST = "rule", "exercise", "rest"
# The gravest first. What no rule holds back is none of them.
GRAVITY = (
    ("stop", "now"), ("stop", "today"), ("stop", "days"), ("refer", "days"), ("refer", "weeks"), ("question", None),
)  # fmt: skip
# What can differ; the first three are errors.
STOP_GONE, STOP_LATER, NOTICE_GONE = "stop-gone", "stop-later", "notice-gone"
ERRORS = (STOP_GONE, STOP_LATER, NOTICE_GONE)
KINDS = (*ERRORS, "stop-new", "stop-sooner", "notice-new", "outcome", "picks", "doses", "said", "asked")
Cause = tuple[str, str]  # rule, exercise or the rest, and its id


class Change(NamedTuple):
    """One difference between two bases: a rule or exercise that is new, gone or written otherwise."""

    cause: Cause
    how: str  # new | gone | changed


class Group:
    """What one cause changes: how often each kind of difference, by itself and where others have a say too."""

    __slots__ = ("case", "kinds", "others")

    def __init__(self) -> None:
        self.case = Case()
        self.others = Case()
        self.kinds: Counter[str] = Counter()

    @property
    def count(self) -> int:
        """In how many situations it is a cause."""
        return self.case.count + self.others.count

    @property
    def example(self) -> Situation:
        """The plainest situation, one in which nothing else has a say if there is one."""
        found = self.case.example or self.others.example
        return found[1] if found is not None else ()


class Comparison:
    """What differs between two bases over some situations."""

    def __init__(self) -> None:
        self.situations = 0
        self.differing = 0
        self.kinds: Counter[str] = Counter()
        self.groups: dict[Cause, Group] = {}
        self.errors: dict[str, Case] = {}

    def see(self, situation: Situation, before: Answer, after: Answer, causes: frozenset[Cause]) -> None:
        """Count one situation."""
        self.situations += 1
        if before == after:
            return
        kinds = tuple(differing(before, after))
        self.differing += 1
        self.kinds.update(kinds)
        for kind in kinds:
            if kind in ERRORS:
                self.errors.setdefault(kind, Case()).see(situation)
        for cause in causes:
            group = self.groups.setdefault(cause, Group())
            group.kinds.update(kinds)
            (group.case if len(causes) == 1 else group.others).see(situation)

    def add(self, other: Comparison) -> None:
        """Add the comparison of another part of the walk."""
        self.situations += other.situations
        self.differing += other.differing
        self.kinds.update(other.kinds)
        add_cases(self.errors, other.errors)
        for cause, group in other.groups.items():
            mine = self.groups.setdefault(cause, Group())
            mine.kinds.update(group.kinds)
            mine.case.add(group.case)
            mine.others.add(group.others)


class Comparer:
    """Two bases, and what of them is written otherwise."""

    def __init__(self, before: Base, after: Base) -> None:
        self.changes = tuple(changes(before, after))
        rules = frozenset(change.cause[1] for change in self.changes if change.cause[0] == RULE)
        self._exercises = frozenset(change.cause[1] for change in self.changes if change.cause[0] == EXERCISE)
        self._before = _of(Resolver(before).rules, rules)
        self._after = _of(Resolver(after).rules, rules)

    def causes(self, before: Solved, after: Solved) -> frozenset[Cause]:
        """Return what has a say in a situation and is written otherwise."""
        found: set[Cause] = set()
        for places, fired in ((self._before, before.fired), (self._after, after.fired)):
            found.update((RULE, places[place]) for place in fired if place in places)
        for one in (*before.answer.given, *after.answer.given):
            if one.exercise in self._exercises:
                found.add((EXERCISE, one.exercise))
        if not found:
            found.update((EXERCISE, name) for name in self._exercises)
        return frozenset(found) or frozenset({(THE_REST, "")})


def differing(before: Answer, after: Answer) -> Iterator[str]:
    """Name what differs between two answers to one situation."""
    was, now = _gravity(before), _gravity(after)
    if was != now:
        if now == len(GRAVITY):
            yield STOP_GONE
        elif was == len(GRAVITY):
            yield "stop-new"
        else:
            yield STOP_LATER if now > was else "stop-sooner"
    elif before.outcome != after.outcome:
        yield "outcome"
    if not set(before.notices) <= set(after.notices):
        yield NOTICE_GONE
    if not set(after.notices) <= set(before.notices):
        yield "notice-new"
    stood = {one.exercise: one for one in before.given}
    stand = {one.exercise: one for one in after.given}
    if stood.keys() != stand.keys():
        yield "picks"
    if any(stood[name] != stand[name] for name in stood.keys() & stand.keys()):
        yield "doses"
    if set(before.tells) != set(after.tells):
        yield "said"
    if set(before.asks) != set(after.asks):
        yield "asked"


def _gravity(answer: Answer) -> int:
    if answer.outcome == NONE_LEFT:
        return len(GRAVITY)
    return next((at for at, one in enumerate(GRAVITY) if one == (answer.outcome, answer.within)), len(GRAVITY))


def changes(before: Base, after: Base) -> Iterator[Change]:
    """Return what is written otherwise in two bases, rules first."""
    both = before.exercises.keys() & after.exercises.keys()
    was, now = ({rule.id: rule for rule in parsed_rules(base)} for base in (before, after))
    for name in sorted(was.keys() | now.keys()):
        if name not in was or name not in now:
            yield Change((RULE, name), "new" if name in now else "gone")
        elif _written(before, was[name], both) != _written(after, now[name], both):
            yield Change((RULE, name), "changed")
    for name in sorted(before.exercises.keys() | after.exercises.keys()):
        if name not in both:
            yield Change((EXERCISE, name), "new" if name in after.exercises else "gone")
        elif before.exercises[name] != after.exercises[name]:
            yield Change((EXERCISE, name), "changed")


def _written(base: Base, rule: Any, both: Any) -> tuple[Any, ...]:
    """What a rule says, as far as it speaks of exercises that are in both bases."""
    info = base.rules[rule.id]
    effects = tuple(_common(effect, both) for effect in rule.effects)
    return rule.when, rule.unless, rule.concludes, rule.assumes, effects, info.over, info.room


def _common(effect: Effect, both: Any) -> Effect:
    if len(effect) > 1 and isinstance(effect[1], tuple):
        return (effect[0], tuple(name for name in effect[1] if name in both), *effect[2:])
    return effect


def _of(rules: tuple[str, ...], changed: frozenset[str]) -> dict[int, str]:
    return {place: name for place, name in enumerate(rules) if name in changed}
