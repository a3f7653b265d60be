"""Turning: what some changed effects move, without the rules that say them.

    Tallies(ledger).moved(changes) -> {(kind, subject): how it moves}

Points and least figures move from one to another, what is said or not from (said before, said now), and of what is said
side by side (doses, sides, days) there is what comes (what, True) and what goes (what, False).

Everything that speaks is tallied: how often a thing is said of a subject, or how many points it has. Changed effects
are counted against the tallies, so that a thing that is said by others as well does not move.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from backstay.coaching.effects import Ledger
from backstay.coaching.filing import Changes, Effects, filed
from backstay.coaching.resolved import MOST_FROM_ONE, MOST_NEED, MOST_PREFERENCE, within

Moved = dict[tuple[str, Any], Any]
Key = tuple[str, Any, Any]  # kind, subject, and what is said of it where that is no number of points
# Kinds of which only whether anybody says them counts.
PRESENT = frozenset({"forbid", "notice", "tell", "stop", "refer", "hold"})
POINTS = frozenset({"need", "favour"})
LEAST = frozenset({"way", "limit", "times-a-week"})
NOT_MOVED = frozenset({"ask"})


class Tallies:
    """How often everything is said that a ledger holds, or how many points it has. Keys go by numbers."""

    __slots__ = ("_entries", "_keys", "_ledger", "_numbers", "_tally")

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._keys: list[Key] = []
        self._numbers: dict[Key, int] = {}
        self._tally: list[int] = []
        self._entries: dict[str, tuple[Effects, tuple[tuple[int, int], ...]]] = {}  # of a rule, with what they are of
        for kind, subjects in ledger.pairs.items():
            for subject, pairs in subjects.items():
                if kind == "favour":
                    liked = ledger.resolved.preferred_by[subject]
                    self._tally[self._number(kind, subject)] = sum([points for _, points in liked])
                elif kind == "need":
                    self._tally[self._number(kind, subject)] = sum([points for _, points in pairs])
                elif kind not in NOT_MOVED:
                    for _, what in pairs:
                        self._tally[self._number(kind, subject, what)] += 1

    def moved(self, changes: Changes) -> Moved:
        """Return what moves."""
        counts: dict[int, int] = {}
        for rule, (was, now) in changes.items():
            if was:
                for number, points in self._entries_of(rule, was):
                    counts[number] = counts.get(number, 0) - points
            if now:
                for number, points in self._entries_of(rule, now):
                    counts[number] = counts.get(number, 0) + points
        moved: Moved = {}
        flips: dict[tuple[str, Any], list[tuple[Any, bool]]] = {}
        tally, keys = self._tally, self._keys
        for number, change in counts.items():
            if not change:
                continue
            old = tally[number]
            kind, subject, what = keys[number]
            if kind in POINTS:
                most = MOST_NEED if kind == "need" else MOST_PREFERENCE
                before, after = within(old, most), within(old + change, most)
                if before != after:
                    moved[kind, subject] = before, after
            elif (old > 0) != (old + change > 0):
                if kind in PRESENT:
                    moved[kind, subject] = old > 0, old + change > 0
                else:
                    flips.setdefault((kind, subject), []).append((what, old + change > 0))
        for about, flipped in flips.items():
            if about[0] in LEAST:
                self._put_least(moved, about, flipped)
            else:
                moved[about] = frozenset(flipped)
        return moved

    def _put_least(self, moved: Moved, about: tuple[str, Any], flipped: list[tuple[Any, bool]]) -> None:
        before = {what for _, what in self._ledger.pairs.get(about[0], {}).get(about[1], ())}
        after = before.difference([what for what, come in flipped if not come])
        after.update([what for what, come in flipped if come])
        was, now = min(before, default=None), min(after, default=None)
        if was != now:
            moved[about] = was, now

    def _number(self, kind: str, subject: Any, what: Any = None) -> int:
        """The number of a key, a new one if it has none; `what` is left out where it does not matter."""
        key = (kind, subject, None if kind in PRESENT else what)
        number = self._numbers.get(key)
        if number is None:
            number = self._numbers[key] = len(self._keys)
            self._keys.append(key)
            self._tally.append(0)
        return number

    def _entries_of(self, rule: str, effects: Effects) -> tuple[tuple[int, int], ...]:
        known = self._entries.get(rule)
        if known is None or known[0] is not effects:
            known = self._entries[rule] = effects, tuple(self._read(effects))
        return known[1]

    def _read(self, effects: Effects) -> Iterator[tuple[int, int]]:
        """What one rule's effects add to the tallies; its points for an exercise are held within their bound."""
        liked: dict[Any, int] = {}
        for kind, subjects, what in filed(effects):
            if kind == "favour":
                for subject in subjects:
                    liked[subject] = liked.get(subject, 0) + what
            elif kind == "need":
                for subject in subjects:
                    yield self._number(kind, subject), what
            elif kind not in NOT_MOVED:
                for subject in subjects:
                    yield self._number(kind, subject, what), 1
        for subject, points in liked.items():
            yield self._number("favour", subject), within(points, MOST_FROM_ONE)
