"""Examples: cases a coach keeps, read from examples/, replayed, and compared with what their answers must hold.

    read_examples(files, base, notes) -> [Example]       what is wrong with their form is added to the notes
    replay(assistant, example)        -> [Reply, …]      the case is handed on from turn to turn
    run_examples(base, folders)       -> Outcome         everything, with file and line

The format stands in knowledge/example_format.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple

from backstay.assistant import Assistant
from backstay.expectations import expectations
from backstay.knowledge.base import Base
from backstay.knowledge.conditions import fact_value
from backstay.knowledge.example_format import ExampleEntry
from backstay.knowledge.explaining import checked
from backstay.knowledge.facts import Fact
from backstay.knowledge.folders import Folder, layers
from backstay.knowledge.names import Names
from backstay.knowledge.problems import ERROR, Problem, arranged
from backstay.knowledge.reading import Cursor, read_file
from backstay.reply.reply import Reply
from backstay.reply.words import Words

KIND = "examples"
WIDTH = 80
# Where an expectation names something, what kind of thing it names.
NAMED = (
    ("exercise", ("picks-some", "picks-has", "picks-not", "picks-only", "first-side", "days", "dose")),
    ("message", ("notices", "notices-has", "notices-not")),
    ("rule", ("because-has",)),
)


class Example(NamedTuple):
    """One example, with its place."""

    entry: ExampleEntry
    cursor: Cursor
    given: tuple[tuple[Fact, ...], ...]  # of each turn, the facts that are handed in


class Outcome(NamedTuple):
    """How many examples were read, and what is wrong with them or with their answers."""

    read: int
    problems: tuple[Problem, ...]


def run_examples(base: Base, folders: Sequence[str]) -> Outcome:
    """Replay the examples of these folders over the knowledge."""
    assistant = Assistant.of(base)
    notes: list[Problem] = []
    found = [one for folder in layers(folders) for one in read_examples(example_files(folder), base, notes)]
    for example in found:
        notes += failures(assistant, example)
    return Outcome(len(found), arranged(notes))


def example_files(folder: Folder) -> list[tuple[str, str]]:
    """Return the files of examples in a knowledge folder: each with its path, and as it is called in problems."""
    found = []
    for path, size, _ in folder.stamps:
        top, below, _ = path.partition("/")
        if size >= 0 and (top if below else path.removesuffix(".yaml")) == KIND and path.endswith(".yaml"):
            found.append((f"{folder.path}/{path}", f"{folder.shown}/{path}"))
    return found


def read_examples(files: Iterable[tuple[str, str]], base: Base, notes: list[Problem]) -> list[Example]:
    """Read files of examples; what is wrong with their form is added to the notes."""
    found: dict[str, Example] = {}
    words = Words(base)
    for path, shown in files:
        document = read_file(path, shown)
        notes += document.problems
        whole = Cursor(document.file, document.value, document.marks, notes)
        if not isinstance(document.value, list):
            whole.error("not-a-list", words.say("example-not-a-list"), words.say("example-begin"))
            continue
        for cursor in whole.items():
            before = len(notes)
            example = _example(cursor, base)
            if example is None or any(note.severity == ERROR for note in notes[before:]):
                continue
            there = found.setdefault(example.entry.example, example)
            if there is not example:
                cursor.at("example").error("same-id", words.say("example-twice", place=there.cursor.place))
    return list(found.values())


def replay(assistant: Assistant, example: Example) -> list[Reply]:
    """Return the answers of an example, one for each turn."""
    today = date.fromisoformat(example.entry.today)
    kinds = assistant.base.attributes
    replies: list[Reply] = []
    for turn, given in zip(example.entry.turns, example.given, strict=True):
        case = assistant.held(replies[-1].case if replies else None)
        if turn.says is None:
            replies.append(assistant.advise(given, case=case, today=today, width=WIDTH))
        else:
            replies.append(assistant.answer(turn.says, case=case.adding(given, kinds), today=today, width=WIDTH))
    return replies


def failures(assistant: Assistant, example: Example) -> list[Problem]:
    """Replay an example and return each expectation that its answers do not hold."""
    words = Words(assistant.base)
    notes: list[Problem] = []
    try:
        replies = replay(assistant, example)
    except Exception as error:  # An answer that refuses to be is a finding, and hides no other.
        what = words.say("example-broken", example=example.entry.example, fault=f"{type(error).__name__}: {error}")
        return [Problem(*example.cursor.place, "example-broken", what)]
    for place, reply in enumerate(replies):
        cursor = example.cursor.at("turns", place)
        turn = example.entry.turns[place].model_dump(by_alias=True, exclude_none=True)
        for key, found in expectations(turn, reply):
            line, column = cursor.marks.keys[key]
            what = words.say("example-failed", key=key, example=example.entry.example, found=_shown(words, found))
            notes.append(Problem(cursor.file, line, column, "example-failed", what, words.say("example-mend")))
    return notes


def _shown(words: Words, found: Any) -> str:
    if isinstance(found, str):
        return found
    if isinstance(found, dict):
        return "; ".join(f"{key}: {_shown(words, value)}" for key, value in found.items()) or words.say("nothing")
    if isinstance(found, list | tuple):
        return ", ".join(_shown(words, value) for value in found) or words.say("nothing")
    return words.say("nothing") if found is None else words.value("", found)


def _example(cursor: Cursor, base: Base) -> Example | None:
    words = Words(base)
    if not isinstance(cursor.value, dict):
        cursor.error("not-an-entry", words.say("example-not-an-entry"), words.say("example-begin"))
        return None
    entry = checked(ExampleEntry, cursor, words.say("example-entry"))
    if entry is None:
        return None
    try:
        date.fromisoformat(entry.today)
    except ValueError:
        cursor.at("today").error("no-such-day", words.say("example-no-such-day", day=entry.today))
    known = {"exercise": set(base.exercises), "message": set(base.messages), "rule": set(base.rules)}
    names = Names(known, (), base.attributes)
    given = tuple(_turn(turn, names, words) for turn in cursor.at("turns").items())
    return Example(entry, cursor, given)


def _turn(turn: Cursor, names: Names, words: Words) -> tuple[Fact, ...]:
    """Check the names in a turn, and return the facts that it hands in."""
    if not turn.has("says") and not turn.has("given"):
        turn.error("missing-key", words.say("example-says-nothing"))
    for kind, keys in NAMED:
        for key in keys:
            if turn.has(key):
                below = turn.at(key)
                if isinstance(below.value, dict):
                    for name in below.value:
                        names.check(kind, name, below, name)
                else:
                    for item in below.items():
                        names.check(kind, item.value, item)
    for key in ("facts", "facts-has", "assumed", "derived-or-assumed"):
        for name in turn.at(key).value if turn.has(key) else ():
            names.attribute(name, turn.at(key), name)
    facts: list[Fact] = []
    if turn.has("given"):
        below = turn.at("given")
        for name, values in below.entries():
            attribute = names.attribute(name, below, name)
            if attribute is None:
                continue
            for item in values.items():
                value = fact_value(item, attribute)
                if value is not None:
                    facts.append(Fact(name, value))
    return tuple(facts)
