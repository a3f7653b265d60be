"""Turning: what some changed effects move, without the rules that say them.

    Tallies(base, ledger).moved(changes) -> Moved

Everything that speaks is tallied: how many points a thing has, or which rules say what of which exercises. Changed
effects are counted against the tallies, so that a thing that is said by others as well does not move. What is said of
exercises is kept for many of them at once, as a whole number with a bit for each.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from backstay.coaching.effects import Ledger
from backstay.coaching.filing import ON_EXERCISES, Changes, Effects, filed
from backstay.coaching.resolved import MOST_FROM_ONE, MOST_NEED, MOST_PREFERENCE, within
from backstay.knowledge.base import Base

Key = tuple[str, Any]  # kind and subject; of what is said of many exercises at once, kind and what is said
# All that the effects of a rule say: points and presence, figures of which the least counts, and of which exercises.
Said = tuple[list[tuple[Key, int]], list[tuple[Key, Any]], list[tuple[Key, int]]]
# Kinds of which only whether anybody says them counts.
PRESENT = frozenset({"notice", "tell", "stop", "refer", "hold"})
LEAST = frozenset({"way", "limit"})
OF_MANY = ON_EXERCISES - {"favour", "avoid"}


class Moved:
    """What moves.

    `said` holds for each kind and subject how it was and how it is: points, the least figure, or whether it is said.
    `sets` holds for each kind and what is said the exercises of which it is said now and was not, and the other way
    round.
    """

    __slots__ = ("said", "sets")

    def __init__(self, said: dict[Key, tuple[Any, Any]], sets: dict[Key, tuple[int, int]]) -> None:
        self.said = said
        self.sets = sets

    def of(self, kinds: Collection[str]) -> int:
        """Return the exercises of which something of these kinds moves."""
        found = 0
        for (kind, _), (come, gone) in self.sets.items():
            if kind in kinds:
                found |= come | gone
        return found


class Tallies:
    """How often everything is said that a ledger holds, or how many points it has."""

    __slots__ = ("_bits", "_ledger", "_masks", "_points", "_read", "_said")

    def __init__(self, base: Base, ledger: Ledger) -> None:
        self._ledger = ledger
        self._bits = {name: 1 << place for place, name in enumerate(base.exercises)}
        self._points: dict[Key, int] = {}  # or how often it is said
        self._said: dict[Key, dict[str, int]] = {}  # what is said of exercises -> rule -> of which
        self._masks: dict[Key, int] = {}  # the same of all rules together
        self._read: dict[str, tuple[Effects, Said]] = {}
        for kind, subjects in ledger.pairs.items():
            if kind in OF_MANY:
                for subject, pairs in subjects.items():
                    bit = self._bits[subject]
                    for rule, what in pairs:
                        said = self._said.setdefault((kind, what), {})
                        said[rule] = said.get(rule, 0) | bit
            elif kind == "favour":
                for subject in subjects:
                    liked = ledger.resolved.preferred_by[subject]
                    self._points[kind, subject] = sum([points for _, points in liked])
            elif kind == "need":
                for subject, pairs in subjects.items():
                    self._points[kind, subject] = sum([points for _, points in pairs])
            elif kind in PRESENT:
                for subject, pairs in subjects.items():
                    self._points[kind, subject] = len(pairs)
        for key, said in self._said.items():
            self._masks[key] = _united(said.values())

    def mask(self, exercises: Iterable[str]) -> int:
        """Return the number that stands for these exercises."""
        bits = self._bits
        found = 0
        for name in exercises:
            found |= bits[name]
        return found

    def moved(self, changes: Changes) -> Moved:
        """Return what moves."""
        points: dict[Key, int] = {}
        least: dict[Key, list[Any]] = {}
        masks: dict[Key, dict[str, int]] = {}
        for rule, (was, now) in changes.items():
            if was:
                counted, figures, of_many = self._said_by(rule, was)
                for key, figure in counted:
                    points[key] = points.get(key, 0) - figure
                for key, _ in figures:
                    least.setdefault(key, [])
                for key, _ in of_many:
                    masks.setdefault(key, {})[rule] = 0
            if now:
                counted, figures, of_many = self._said_by(rule, now)
                for key, figure in counted:
                    points[key] = points.get(key, 0) + figure
                for key, figure in figures:
                    least.setdefault(key, []).append(figure)
                for key, mask in of_many:
                    masks.setdefault(key, {})[rule] = mask
        said = self._moved_points(points)
        for key, come in least.items():
            pairs = self._ledger.pairs.get(key[0], {}).get(key[1], ())
            before = min([figure for _, figure in pairs], default=None)
            after = min([*come, *(figure for rule, figure in pairs if rule not in changes)], default=None)
            if before != after:
                said[key] = before, after
        return Moved(said, self._moved_sets(masks))

    def _moved_points(self, points: dict[Key, int]) -> dict[Key, tuple[Any, Any]]:
        moved: dict[Key, tuple[Any, Any]] = {}
        for key, change in points.items():
            if change:
                before = self._points.get(key, 0)
                after = before + change
                if key[0] in PRESENT:
                    if (before > 0) != (after > 0):
                        moved[key] = before > 0, after > 0
                else:
                    most = MOST_NEED if key[0] == "need" else MOST_PREFERENCE
                    before, after = within(before, most), within(after, most)
                    if before != after:
                        moved[key] = before, after
        return moved

    def _moved_sets(self, masks: dict[Key, dict[str, int]]) -> dict[Key, tuple[int, int]]:
        moved: dict[Key, tuple[int, int]] = {}
        for key, changed in masks.items():
            before = self._masks.get(key, 0)
            after = _united(changed.values())
            if before & ~after:
                after |= _united([mask for rule, mask in self._said[key].items() if rule not in changed])
            else:
                after |= before
            if before != after:
                moved[key] = after & ~before, before & ~after
        return moved

    def _said_by(self, rule: str, effects: Effects) -> Said:
        known = self._read.get(rule)
        if known is None or known[0] is not effects:
            known = self._read[rule] = effects, self._reading(effects)
        return known[1]

    def _reading(self, effects: Effects) -> Said:
        """What one rule's effects say; its points for an exercise are held within their bound."""
        counted: list[tuple[Key, int]] = []
        figures: list[tuple[Key, Any]] = []
        of_many: list[tuple[Key, int]] = []
        liked: dict[Any, int] = {}
        for kind, subjects, what in filed(effects):
            if kind in OF_MANY:
                of_many.append(((kind, what), self.mask(subjects)))
            elif kind == "favour":
                for subject in subjects:
                    liked[subject] = liked.get(subject, 0) + what
            elif kind == "need":
                counted.append(((kind, subjects[0]), what))
            elif kind in PRESENT:
                counted.append(((kind, subjects[0]), 1))
            elif kind in LEAST:
                figures.append(((kind, subjects[0]), what))
        counted += [(("favour", subject), within(points, MOST_FROM_ONE)) for subject, points in liked.items()]
        if len(of_many) > 1:
            both: dict[Key, int] = {}
            for key, mask in of_many:
                both[key] = both.get(key, 0) | mask
            of_many = [*both.items()]
        return counted, figures, of_many


def _united(masks: Iterable[int]) -> int:
    found = 0
    for mask in masks:
        found |= mask
    return found
