"""Drafting: what the mentions say, before neighbours are weighed against each other.

A Draft is one message's facts in the making; each composing step (kit, naming, body, figures, people, records) reads
the
scene and adds to or takes from it. Notes keep the words they came from.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from backstay.knowledge.slots import MARKS
from backstay.language.mentions import Mention
from backstay.language.scene import Scene
from backstay.language.scope import DENIED

LATER = frozenset({"exercise"})  # settled by a step of its own


class Note:
    """One fact in the making."""

    __slots__ = ("attribute", "end", "start", "value")

    def __init__(self, attribute: str, value: Any, start: int, end: int) -> None:
        self.attribute = attribute
        self.value = value
        self.start = start
        self.end = end

    def __repr__(self) -> str:
        return f"{self.attribute}={self.value}@{self.start}-{self.end}"


class Draft:
    """The facts of a message while they are being settled."""

    __slots__ = ("attributes", "notes", "records", "retracted", "scene", "want")

    def __init__(self, scene: Scene, want: str, attributes: Mapping[str, Any]) -> None:
        self.scene = scene
        self.want = want
        self.attributes = attributes
        self.notes: list[Note] = []
        self.retracted: list[Note] = []
        self.records: list[Note] = []

    def say(self, attribute: str, value: Any, start: int, end: int) -> None:
        """Note a fact."""
        self.notes.append(Note(attribute, value, start, end))

    def deny(self, attribute: str, value: Any, start: int, end: int) -> None:
        """Note what is said not to be."""
        self.retracted.append(Note(attribute, value, start, end))

    def of(self, *attributes: str) -> list[Note]:
        """The notes of some attributes."""
        return [note for note in self.notes if note.attribute in attributes]

    def has(self, attribute: str, value: Any = None) -> bool:
        """Whether something is noted of an attribute."""
        return any(note.attribute == attribute and value in (None, note.value) for note in self.notes)

    def drop(self, notes: Iterable[Note]) -> None:
        """Take notes out."""
        gone = set(map(id, notes))
        if gone:
            self.notes = [note for note in self.notes if id(note) not in gone]

    def mentions(self, attribute: str, scope: int | None = 0) -> Iterator[Mention]:
        """The mentions that say something of an attribute, in one scope (None: in any)."""
        for one in self.scene.mentions:
            if (scope is None or one.scope == scope) and any(name == attribute for name, _ in one.says):
                yield one


def draft(scene: Scene, want: str, attributes: Mapping[str, Any]) -> Draft:
    """The draft with what the mentions say outright."""
    new = Draft(scene, want, attributes)
    for one in scene.mentions:
        if not one.says:
            continue
        for attribute, value in one.says:
            if attribute in MARKS or attribute in LATER:
                continue
            if one.scope == 0:
                new.say(attribute, value, one.start, one.end)
            elif one.scope == DENIED:
                new.deny(attribute, value, one.start, one.end)
    for one in scene.denied:
        for attribute, value in one.says:
            new.deny(attribute, value, one.start, one.end)
    return new
