"""Selectors: which exercises a rule speaks of, from YAML to a tuple of ids in their order.

The grammar is that of conditions, over these properties (`list` = an exercise has several at once, so `every` fits):

    exercise id · family id · pattern · kind · speed (slow|fast|hold) · spine-motion (none|mid-range|end-range)
    stress (low|medium|high) · position · skill (simple|trained|skilled) · soreness (little|some|expected)
    turning · loaded · bar-loaded · one-sided · one-leg · head-down · breath-hold · floor · jerky   (true|false each)
    provokes list · trains list of qualities and muscles · needs-kit list: equipment that is in every way of doing it

`everything` selects all. `stress` is that of the exercise; a dose with a class of its own does not change it.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, get_args

from backstay.knowledge.base import Exercise, Node
from backstay.knowledge.conditions import some
from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.names import Names
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor

PLAIN = (
    "family", "pattern", "kind", "speed", "spine-motion", "stress", "position", "skill", "soreness", "turning",
    "loaded", "bar-loaded", "one-sided", "one-leg", "head-down", "breath-hold", "floor", "jerky",
)  # fmt: skip
SEVERAL = ("provokes", "trains", "needs-kit")
NAMED = {"exercise": "exercise", "trains": "quality", "needs-kit": "equipment"}
GROUPS = ("not", "some", "all-of", "any-of")

Ids = tuple[str, ...]

_FIELDS = MappingProxyType({field.alias or name: field for name, field in ExerciseEntry.model_fields.items()})


def property_values(families: set[str]) -> dict[str, frozenset[Any]]:
    """The values that each property may have: as the format of exercises says them; families as they are used."""
    values: dict[str, frozenset[Any]] = {"family": frozenset(families)}
    for name in (*PLAIN, "provokes"):
        if name not in values:
            annotation = _FIELDS[name].annotation if name != "one-sided" else bool
            values[name] = frozenset({True, False}) if annotation is bool else frozenset(_literals(annotation))
    return values


def _literals(annotation: Any) -> tuple[Any, ...]:
    found = get_args(annotation)
    return _literals(found[0]) if found and not isinstance(found[0], str) else found


class Selectors:
    """Reads selectors over some exercises; `words`: the values each property may have; `whole`: none is broken."""

    def __init__(
        self, exercises: dict[str, Exercise], words: dict[str, frozenset[Any]], names: Names, whole: bool = True
    ) -> None:
        self.names = names
        self.words = words
        self.whole = whole
        self.all = tuple(sorted(exercises))
        self.index: dict[str, dict[Any, set[str]]] = {name: {} for name in ("exercise", *PLAIN, *SEVERAL)}
        for id_, exercise in exercises.items():
            for name in self.index:
                for value in _values(exercise, name):
                    self.index[name].setdefault(value, set()).add(id_)

    def select(self, cursor: Cursor) -> Ids | None:
        """The ids selected, or None with the problem noted. A selector that selects nothing is noted as a warning."""
        if cursor.value == "everything":
            return self.all
        found = self._whole(cursor)
        if found is None:
            return None
        if not found and self.whole and not self.names.unsure:
            cursor.error("selects-nothing", "no exercise is selected by this.", severity="warning")
        return tuple(sorted(found))

    def _whole(self, cursor: Cursor) -> set[str] | None:
        value = cursor.value
        if isinstance(value, list) and value:
            return _union([self._whole(item) for item in cursor.items()])
        if not isinstance(value, dict) or not value:
            cursor.error(
                "not-a-selector", "exercises are selected by a mapping of properties.", "As in {stress: high}."
            )
            return None
        return _common([self._part(cursor, key) for key in value])

    def _part(self, cursor: Cursor, key: str) -> set[str] | None:
        below = cursor.at(key)
        if key == "not":
            inner = self._whole(below)
            return None if inner is None else set(self.all) - inner
        if key == "some":
            node = some(below, self._leaf)
            if node is None:
                return None
            return {id_ for id_ in self.all if sum(id_ in leaf[1] for leaf in node[2]) >= node[1]}
        if key in ("all-of", "any-of"):
            if not isinstance(below.value, list) or not below.value:
                below.error("not-a-list", f"`{key}` takes a list of selectors.")
                return None
            parts = [self._whole(item) for item in below.items()]
            return _common(parts) if key == "all-of" else _union(parts)
        if key not in self.index:
            cursor.key_error(key, "unknown-property", f"exercises have no property `{key}`.", nearest(key, self.index))
            return None
        if isinstance(below.value, dict):
            if set(below.value) != {"every"} or key not in SEVERAL or not isinstance(below.value["every"], list):
                below.error("unknown-test", f"`{key}` takes a value or a list{', or every' if key in SEVERAL else ''}.")
                return None
            return _common([self._value(item, key) for item in below.at("every").items()])
        return _union([self._value(item, key) for item in below.items()])

    def _leaf(self, cursor: Cursor) -> Node | None:
        found = self._whole(cursor)
        return None if found is None else ("ids", frozenset(found))

    def _value(self, cursor: Cursor, key: str) -> set[str] | None:
        value = cursor.value
        if isinstance(value, dict | list):
            cursor.error("wrong-type", f"a value of `{key}` is expected here.")
            return None
        if key in NAMED:
            return self.index[key].get(value, set()) if self.names.check(NAMED[key], value, cursor) else None
        if value not in self.words[key] or isinstance(value, bool) != (True in self.words[key]):
            known = sorted(str(word).lower() if isinstance(word, bool) else str(word) for word in self.words[key])
            if key != "family" or self.whole:
                follow = nearest(str(value), known) or f"It is one of {listing(known)}."
                shown = str(value).lower() if isinstance(value, bool) else value
                cursor.error("unknown-value", f"`{shown}` is not a value of `{key}`.", follow)
            return None
        return self.index[key].get(value, set())


def _values(exercise: Exercise, name: str) -> tuple[Any, ...]:
    if name == "needs-kit":
        ways = [set(way["with"]) for way in exercise.ways]
        return tuple(set.intersection(*ways)) if ways else ()
    value = getattr(exercise, name.replace("-", "_"))
    return tuple(value) if name in SEVERAL else (value,)


def _common(parts: list[set[str] | None]) -> set[str] | None:
    whole = [part for part in parts if part is not None]
    return set.intersection(*whole) if whole and len(whole) == len(parts) else None


def _union(parts: list[set[str] | None]) -> set[str] | None:
    whole = [part for part in parts if part is not None]
    return set().union(*whole) if len(whole) == len(parts) else None
