"""Reading: one YAML file to plain values, with the place of every node beside them.

A narrow YAML, so that what a coach writes is what is meant:
  - `true` and `false` are the only truth values; `no`, `on`, `yes` are text
  - plain integers and decimals are numbers; `1:30`, `010`, `1e3`, `2026-05-01` are text; keys are always text
  - nothing is ever null: an empty place is an error, and so is a text that is a <mark> of a starting file
  - a key stands once in a mapping; anchors, aliases, merge keys, tags and several documents in a file are refused
  - UTF-8 only, no tabs in the indentation, and bounds on size, depth and number of nodes

PyYAML's parser gives the events (the C one where it is built in); the tree is built here. Does not know any format.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import yaml

from backstay.knowledge.problems import Place, Problem

MOST_BYTES = 2_000_000
MOST_DEPTH = 24
MOST_NODES = 200_000
MOST_PROBLEMS = 20
MOST_MARKS = 100

_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,14})(\.[0-9]{1,12})?")
_NULLS = frozenset({"", "~", "null", "Null", "NULL"})
_TAB = re.compile(r"^ *\t", re.MULTILINE)
_MARK = re.compile(r"<[^<>]+>")  # what a starting file leaves open; see starting.py
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_HINTS = (
    (
        "mapping values are not allowed",
        "A text with a colon and a space in it needs quotes; else look at the indentation.",
    ),
    ("could not find expected ':'", "A key needs a colon and a space after it; else a line above is not closed."),
    ("did not find expected ',' or ']'", "A list in brackets is not closed, or a comma is missing."),
    ("did not find expected ',' or '}'", "A mapping in braces is not closed, or a comma is missing."),
    ("expected ',' or ']'", "A list in brackets is not closed, or a comma is missing."),
    ("expected ',' or '}'", "A mapping in braces is not closed, or a comma is missing."),
    ("did not find expected key", "Look at the indentation, and at quotes on the line above."),
    (
        "did not find expected '-' indicator",
        "Look at the indentation: each entry of a list begins with `- ` below the others.",
    ),
    ("expected <block end>", "Look at the indentation, and at quotes on the line above."),
    ("unexpected end of stream", "A quote or bracket is opened and never closed."),
    ("cannot start any token", "A text that begins with this character needs quotes."),
    ("unknown escape", "Use single quotes, or no backslash."),
    ("control characters", "Take out the character that cannot be seen."),
    ("special characters", "Take out the character that cannot be seen."),
)


class Marks:
    """The places of one node: its own, those of its keys, and the marks of what stands below it."""

    __slots__ = ("below", "column", "keys", "line")

    def __init__(self, line: int, column: int) -> None:
        self.line = line
        self.column = column
        self.keys: dict[str, tuple[int, int]] = {}
        self.below: dict[str | int, Marks] = {}

    def find(self, loc: tuple[str | int, ...]) -> Marks:
        """The node at the end of a path, or the nearest one above it that exists."""
        node = self
        for step in loc:
            lower = node.below.get(step)
            if lower is None:
                break
            node = lower
        return node

    def place_of_key(self, loc: tuple[str | int, ...]) -> tuple[int, int]:
        """Where the last key of a path is written, or the nearest place above it."""
        node = self.find(loc[:-1])
        key = node.keys.get(str(loc[-1])) if loc else None
        return key or (node.line, node.column)


class Document(NamedTuple):
    """What one file holds. `value` is None where nothing could be made of it."""

    file: str
    value: Any
    marks: Marks
    problems: tuple[Problem, ...]


class _GivenUpError(Exception):
    """The rest of the file cannot be read; the problem is noted already."""


def read_file(path: str, shown: str) -> Document:
    """The document in a file; `shown` is how the file is called in problems."""
    try:
        with open(path, "rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
    except OSError as error:
        reason = os.strerror(error.errno) if error.errno else "unknown reason"
        return _unread(shown, 0, 0, "file-unreadable", f"the file cannot be opened: {reason}.")
    return read_bytes(raw, shown)


def read_bytes(raw: bytes, shown: str) -> Document:
    """The document in these bytes."""
    if len(raw) > MOST_BYTES:
        return _unread(shown, 0, 0, "file-too-big", f"the file is larger than {MOST_BYTES:,} bytes.", "Split it.")
    try:
        text = raw.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        what = (
            "the file is not UTF-8 text." if raw[:2] not in (b"\xff\xfe", b"\xfe\xff") else "the file is UTF-16 text."
        )
        return _unread(shown, line, column, "not-utf-8", what, "Save it as UTF-8.")
    tab = _TAB.search(text)
    if tab:
        line = text.count("\n", 0, tab.start()) + 1
        column = tab.group().index("\t") + 1
        return _unread(shown, line, column, "tab", "a tab stands in the indentation.", "Use spaces, two a step.")
    return _Builder(text, shown).document()


def _unread(shown: str, line: int, column: int, code: str, what: str, follow: str = "") -> Document:
    return Document(shown, None, Marks(line, column), (Problem(shown, line, column, code, what, follow),))


class _Builder:
    """From the parser's events to values and marks."""

    def __init__(self, text: str, shown: str) -> None:
        self.text = text
        self.shown = shown
        self.problems: list[Problem] = []
        self.nodes = 0

    def document(self) -> Document:
        """All of it; a value of None if the file broke off."""
        value, marks = None, Marks(1, 1)
        try:
            events: Iterator[Any] = iter(yaml.parse(self.text, Loader=_LOADER))
            next(events)  # the stream's start
            first = next(events)
            if isinstance(first, yaml.StreamEndEvent):
                self.note(0, 0, "file-empty", "the file is empty.", "Write an entry, or delete the file.")
            else:
                value, marks = self.node(next(events), events, 1)
                next(events)  # the document's end
                extra = next(events)
                if not isinstance(extra, yaml.StreamEndEvent):
                    self.note_at(
                        extra, "several-documents", "a second document begins here.", "Put it into a file of its own."
                    )
        except _GivenUpError:
            value = None
        except yaml.YAMLError as error:
            self.note_yaml(error)
            value = None
        return Document(self.shown, value, marks, tuple(self.problems))

    def node(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Any, Marks]:
        mark = event.start_mark
        marks = Marks(mark.line + 1, mark.column + 1)
        self.nodes += 1
        if self.nodes > MOST_NODES:
            self.note_at(event, "too-many-nodes", f"the file holds more than {MOST_NODES:,} values.", "Split it.")
            raise _GivenUpError
        if depth > MOST_DEPTH:
            self.note_at(
                event, "too-deep", f"lists and mappings are nested more than {MOST_DEPTH} deep.", "Flatten it."
            )
            raise _GivenUpError
        if isinstance(event, yaml.AliasEvent):
            self.note_at(event, "alias", f"`*{event.anchor}` repeats another place.", "Write the value out here.")
            return None, marks
        if event.anchor is not None:
            self.note_at(event, "anchor", f"`&{event.anchor}` names a place to be repeated.", "Take the `&` name away.")
        if event.tag is not None:
            self.note_at(event, "tag", "a tag (`!…`) stands before the value.", "Take it away; put the text in quotes.")
            self.skip(event, events, depth)
            return None, marks
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event), marks
        if isinstance(event, yaml.SequenceStartEvent):
            return self.sequence(events, marks, depth), marks
        return self.mapping(events, marks, depth), marks

    def skip(self, event: Any, events: Iterator[Any], depth: int) -> None:
        """Pass over what belongs to this event."""
        if isinstance(event, yaml.SequenceStartEvent):
            self.sequence(events, Marks(0, 0), depth)
        elif isinstance(event, yaml.MappingStartEvent):
            self.mapping(events, Marks(0, 0), depth)

    def scalar(self, event: Any) -> str | int | float | bool | None:
        text: str = event.value
        if _MARK.fullmatch(text):
            # Not counted among the problems that end the reading: a starting file holds many.
            what, follow = f"this is still to be filled in: {text[1:-1]}.", "Write it in place of the whole <mark>."
            place = event.start_mark
            if len(self.problems) < MOST_MARKS:
                self.problems.append(Problem(self.shown, place.line + 1, place.column + 1, "to-fill", what, follow))
            return None
        if not event.implicit[0]:
            return text
        if text in _NULLS:
            self.note_at(event, "nothing-there", "nothing stands here.", "Write a value, or take the key away.")
            return None
        if text == "true" or text == "false":
            return text == "true"
        number = _NUMBER.fullmatch(text)
        if number:
            return float(text) if number.group(1) else int(text)
        return text

    def sequence(self, events: Iterator[Any], marks: Marks, depth: int) -> list[Any]:
        values: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                return values
            value, below = self.node(event, events, depth + 1)
            marks.below[len(values)] = below
            values.append(value)
        raise _GivenUpError

    def mapping(self, events: Iterator[Any], marks: Marks, depth: int) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                return values
            key = self.key(event, events, depth)
            place = (event.start_mark.line + 1, event.start_mark.column + 1)
            noted = len(self.problems)
            value, below = self.node(next(events), events, depth + 1)
            if key is None:
                continue
            if value is None and " " in key and [note.code for note in self.problems[noted:]] == ["nothing-there"]:
                del self.problems[noted:]  # inside braces a comma ends a text, and the rest of it looks like a key
                follow = "Put the whole text in quotes if it holds a comma; else write a value."
                self.note(*place, "text-cut", f"`{key}` is read as a key without a value.", follow)
                continue
            if key in values:
                first = marks.keys[key][0]
                self.note(
                    *place, "duplicate-key", f"`{key}` stands here again; it is on line {first} already.", "Keep one."
                )
                continue
            values[key] = value
            marks.keys[key] = place
            marks.below[key] = below
        raise _GivenUpError

    def key(self, event: Any, events: Iterator[Any], depth: int) -> str | None:
        if not isinstance(event, yaml.ScalarEvent):
            self.note_at(
                event, "key-not-text", "a list, a mapping or an alias stands where a key should.", "A key is a word."
            )
            if not isinstance(event, yaml.AliasEvent):
                self.node(event, events, depth + 1)
            return None
        if event.anchor is not None or event.tag is not None:
            self.note_at(event, "tag" if event.tag is not None else "anchor", "a key may not carry a tag or an anchor.")
        plain = event.implicit[0]
        if plain and event.value == "<<":
            self.note_at(event, "merge-key", "`<<` merges another mapping in.", "Write its keys out here.")
            return None
        if plain and event.value in _NULLS:
            self.note_at(event, "nothing-there", "a key is missing before the colon.")
            return None
        text: str = event.value
        return text

    def note_at(self, event: Any, code: str, what: str, follow: str = "") -> None:
        self.note(event.start_mark.line + 1, event.start_mark.column + 1, code, what, follow)

    def note(self, line: int, column: int, code: str, what: str, follow: str = "") -> None:
        self.problems.append(Problem(self.shown, line, column, code, what, follow))
        if sum(problem.code != "to-fill" for problem in self.problems) >= MOST_PROBLEMS:
            self.problems.append(
                Problem(self.shown, line, column, "too-many-problems", "the rest of the file was not read.")
            )
            raise _GivenUpError

    def note_yaml(self, error: yaml.YAMLError) -> None:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        said = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "it is not YAML")
        hint = next((hint for part, hint in _HINTS if part in said), "")
        if mark is not None:
            line, column = mark.line + 1, mark.column + 1
        else:
            position = getattr(error, "position", None)
            line = self.text.count("\n", 0, position) + 1 if isinstance(position, int) else 0
            column = position - self.text.rfind("\n", 0, position) if isinstance(position, int) else 0
        self.problems.append(Problem(self.shown, line, column, "yaml", f"this cannot be read as YAML: {said}.", hint))


class Cursor:
    """A value with its place, for those who walk a tree and note problems on the way."""

    __slots__ = ("file", "marks", "notes", "value")

    def __init__(self, file: str, value: Any, marks: Marks, notes: list[Problem]) -> None:
        self.file = file
        self.value = value
        self.marks = marks
        self.notes = notes

    @property
    def place(self) -> Place:
        """Where the value begins."""
        return Place(self.file, self.marks.line, self.marks.column)

    def at(self, *steps: str | int) -> Cursor:
        """The value below, which must exist."""
        value, marks = self.value, self.marks
        for step in steps:
            value, marks = value[step], marks.below.get(step, marks)
        return Cursor(self.file, value, marks, self.notes)

    def has(self, key: str) -> bool:
        """Whether this is a mapping with such a key."""
        return isinstance(self.value, dict) and key in self.value

    def entries(self) -> Iterator[tuple[str, Cursor]]:
        """Keys and values of a mapping."""
        for key in self.value:
            yield key, self.at(key)

    def items(self) -> Iterator[Cursor]:
        """The items of a list; a single value counts as a list of one."""
        if isinstance(self.value, list):
            for index in range(len(self.value)):
                yield self.at(index)
        else:
            yield self

    def error(self, code: str, what: str, follow: str = "", severity: str = "error") -> None:
        """Note a problem at the value, unless nothing could be read there: that has been said."""
        if self.value is None:
            return
        self.notes.append(Problem(self.file, self.marks.line, self.marks.column, code, what, follow, severity))

    def key_error(self, key: str, code: str, what: str, follow: str = "", severity: str = "error") -> None:
        """Note a problem at one of the mapping's keys."""
        line, column = self.marks.keys.get(key, (self.marks.line, self.marks.column))
        self.notes.append(Problem(self.file, line, column, code, what, follow, severity))
