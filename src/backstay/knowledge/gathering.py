"""Gathering: all entries of all folders, each checked against its format, later folders laid over earlier ones.

Laws of laying over:
  - an entry adds; an id that a folder below has already is an error, unless the entry names it under `replaces:`
  - `replaces:` takes entries of the same kind out of the folders below (phrases by their name, all that bear it); it
    cannot reach what is shielded: screening rules, and what stands in built-in files called `screening`, `signs…` or
    `pain…`; protection.py shields what these stand on
  - an attribute that replaces another keeps its name, its kind and all its values
What could not be read is remembered by its id, or by its kind, so that nobody complains of what follows from it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.explaining import checked
from backstay.knowledge.folders import MOST_FILES, Folder
from backstay.knowledge.format import FORMAT, AttributeEntry, BaseFile, Entry
from backstay.knowledge.kinds import KINDS
from backstay.knowledge.problems import Problem, listing, nearest
from backstay.knowledge.reading import MOST_BYTES, Cursor, read_file

MOST_FOLDER_BYTES = 20_000_000
MOST_ENTRIES = 10_000  # of one kind in one folder
SHIELDED_STEMS = ("signs", "pain")
PHRASES = ("idea", "phrase", "together", "want", "hint", "lean", "tendency", "trigger")
OWN_LISTS = ("slips", "frequent", "common", "alarm")  # of words/: the built-in ones alone
OTHER_KINDS = ("base", "exercises", "words", "examples")


class Item(NamedTuple):
    """One entry that fits its format."""

    head: str
    id: str
    model: Any
    cursor: Cursor
    kind: str  # the folder, or the stem of the file, directly under the knowledge folder
    layer: int
    shielded: bool


class Gathered:
    """All items by head key and id, what is known of the broken ones, the texts of words/, and the notes taken."""

    def __init__(self) -> None:
        self.items: dict[str, dict[str, Item]] = {}
        self.broken: dict[str, set[str]] = {}
        self.unsure: set[str] = set()
        self.words: dict[str, str] = {}
        self.emergency_number = ""  # of the last folder that names one
        self.replaced: list[tuple[Item, Cursor]] = []  # what was taken out, and where that was asked for
        self.refused: list[tuple[Cursor, str]] = []  # rules that are left out, and the kind of their file
        self.notes: list[Problem] = []

    def of(self, head: str) -> Iterable[Item]:
        """The items of one head key, by file and line of each layer."""
        return self.items.get(head, {}).values()

    def ids(self, head: str) -> set[str]:
        """All ids of one head key, broken entries too."""
        return set(self.items.get(head, ())) | self.broken.get(head, set())


def gather(folders: Sequence[Folder]) -> Gathered:
    """Read all files of all folders, the built-in one first."""
    gathered = Gathered()
    for layer, folder in enumerate(folders):
        _Layer(gathered, folder, layer).read()
    return gathered


class _Layer:
    def __init__(self, gathered: Gathered, folder: Folder, layer: int) -> None:
        self.gathered = gathered
        self.folder = folder
        self.layer = layer
        self.new: list[Item] = []

    def read(self) -> None:
        if not self._format_is_ours():
            return
        if len(self.folder.stamps) > MOST_FILES:
            self.note("", "too-many-files", f"the folder holds more than {MOST_FILES:,} files.", "Is it the right one?")
            return
        if sum(size for _, size, _ in self.folder.stamps) > MOST_FOLDER_BYTES:
            what = f"the folder holds more than {MOST_FOLDER_BYTES:,} bytes."
            self.note("", "folder-too-big", what, "Is it the right one?")
            return
        for path, size, _ in self.folder.stamps:
            if size < 0:
                what = "links, deeper folders and all that is no plain file are passed over."
                self.note(path, "link", what, "Put the file itself here.")
                continue
            self._file(path)
        self._lay_over()

    def note(self, path: str, code: str, what: str, follow: str = "", severity: str = "error") -> None:
        shown = f"{self.folder.shown}/{path}" if path else self.folder.shown
        self.gathered.notes.append(Problem(shown, 0, 0, code, what, follow, severity))

    def _format_is_ours(self) -> bool:
        if not any(path == "base.yaml" for path, _, _ in self.folder.stamps):
            if self.layer == 0:
                self.note(
                    "base.yaml", "base-missing", "the folder has no base.yaml.", "Write {format: 1, name: …} into it."
                )
            return True
        cursor = self._read("base.yaml")
        if cursor is None:
            return True
        base = checked(BaseFile, cursor, "base.yaml")
        if base is None or base.format == FORMAT:
            if base is not None and base.emergency_number:
                self.gathered.emergency_number = base.emergency_number
            return True
        follow = "Bring the program up to date." if base.format > FORMAT else f"It is {FORMAT} now."
        cursor.at("format").error(
            "format-unknown", f"this folder is in format {base.format}, which is not known.", follow
        )
        self.gathered.unsure.update(head for models in KINDS.values() for head in models)
        self.gathered.unsure.add("exercise")
        return False

    def _read(self, path: str) -> Cursor | None:
        full = os.path.join(self.folder.path, *path.split("/"))
        document = read_file(full, f"{self.folder.shown}/{path}")
        self.gathered.notes.extend(document.problems)
        if document.value is None:
            return None
        return Cursor(document.file, document.value, document.marks, self.gathered.notes)

    def _file(self, path: str) -> None:
        top, _, rest = path.partition("/")
        stem, _, ending = path.rpartition("/")[2].rpartition(".")
        kind = top if rest else stem
        if kind == "words" and ending == "txt":
            self._word_list(path)
        elif path == "base.yaml" or top == "examples" or ending in ("md", "txt"):
            return
        elif kind not in KINDS and kind not in OTHER_KINDS:
            names = sorted([*KINDS, "exercises", "words", "examples"])
            hint = nearest(kind, names) or f"A knowledge folder holds {listing(names, 20)}."
            self.note(path, "unknown-kind", f"`{kind}` is no kind of knowledge.", hint)
        elif ending != "yaml":
            self.note(
                path, "not-yaml", "only files ending in .yaml are read.", f"Call it `{stem}.yaml`, or move it away."
            )
        elif kind == "exercises":
            self._exercise(path, stem)
        else:
            self._entries(path, kind)

    def _word_list(self, path: str) -> None:
        try:
            with open(os.path.join(self.folder.path, *path.split("/")), "rb") as stream:
                raw = stream.read(MOST_BYTES + 1)
            if len(raw) > MOST_BYTES:
                self.note(path, "file-too-big", f"the file is larger than {MOST_BYTES:,} bytes.", "Split it.")
                return
            name = path.partition("/")[2].removesuffix(".txt")
            if self.layer and name in OWN_LISTS:
                what = f"the list `{name}` decides what all words are heard as."
                self.note(path, "shielded", what, "Write a phrase for what your people say.")
                return
            self.gathered.words[name] = f"{self.gathered.words.get(name, '')}{raw.decode('utf-8')}\n"
        except OSError:
            self.note(path, "file-unreadable", "the file cannot be opened.")
        except UnicodeDecodeError:
            self.note(path, "not-utf-8", "the file is not UTF-8 text.", "Save it as UTF-8.")

    def _exercise(self, path: str, stem: str) -> None:
        cursor = self._read(path)
        if cursor is None:
            self.gathered.broken.setdefault("exercise", set()).add(stem)
        elif not isinstance(cursor.value, dict):
            cursor.error("not-a-mapping", "an exercise file is one mapping.", "Begin it with `exercise: " + stem + "`.")
            self.gathered.broken.setdefault("exercise", set()).add(stem)
        else:
            given = cursor.value.get("exercise")
            if isinstance(given, str) and given != stem:
                follow = f"Write `exercise: {stem}`, or call the file {given}.yaml."
                cursor.at("exercise").error("file-name", f"the file is called {stem}, the exercise `{given}`.", follow)
                self.gathered.broken.setdefault("exercise", set()).add(stem)
            self._entry(cursor, "exercise", ExerciseEntry, "exercises", shielded=False)

    def _entries(self, path: str, kind: str) -> None:
        cursor = self._read(path)
        heads = KINDS.get(kind)
        if heads is None:
            if kind == "words":
                self.note(path, "not-text", "word lists are plain text, one word a line.", "Let its name end in .txt.")
            return
        if cursor is None:
            self.gathered.unsure.update(heads)
            return
        if not isinstance(cursor.value, list):
            first = next(iter(heads))
            cursor.error("not-a-list", f"a file of {kind} is a list of entries.", f"Begin each with `- {first}: …`.")
            self.gathered.unsure.update(heads)
            return
        stem = path.rpartition("/")[2].removesuffix(".yaml")
        shielded = self.layer == 0 and (kind == "screening" or stem == "screening" or stem.startswith(SHIELDED_STEMS))
        for entry in cursor.items():
            if not isinstance(entry.value, dict):
                if entry.value is not None:
                    entry.error("not-an-entry", f"an entry of {kind} is a mapping.", f"Begin it with {_either(heads)}.")
                continue
            head = next((key for key in entry.value if key in heads), None)
            if head is None:
                found = next((key for key in entry.value if nearest(key, heads)), None)
                hint = nearest(found, heads) if found else f"Begin it with {_either(heads)}."
                entry.error("no-head", f"this is no entry of {kind}.", hint)
                continue
            self._entry(entry, head, heads[head], kind, shielded)

    def _entry(self, cursor: Cursor, head: str, model: type[Entry], kind: str, shielded: bool) -> None:
        article = "an" if head[0] in "aeiou" else "a"
        made = checked(model, cursor, f"{article} {head}")
        id_ = cursor.value.get(head)
        if isinstance(id_, str) and made is None:
            self.gathered.broken.setdefault(head, set()).add(id_)
        if made is None:
            if head == "question":
                self.gathered.broken.setdefault("asked", set()).add(str(cursor.value.get("asks")))
            if head == "rule":
                self.gathered.refused.append((cursor, kind))
            return
        if head in PHRASES:
            id_ = f"{id_}@{cursor.file}:{cursor.marks.line}"  # phrases may share a name; each stands for itself
        self.new.append(Item(head, str(id_), made, cursor, kind, self.layer, shielded))

    def _lay_over(self) -> None:
        counts: dict[str, int] = {}
        for item in self.new:
            counts[item.head] = counts.get(item.head, 0) + 1
        for head, count in counts.items():
            if count > MOST_ENTRIES:
                what = f"the folder holds {count:,} entries of the kind `{head}`; it may hold {MOST_ENTRIES:,}."
                self.note("", "too-many-entries", what, "Is it the right one?")
                self.new = [item for item in self.new if item.head != head]
                self.gathered.unsure.add(head)
        for item in self.new:
            if item.model.replaces:
                self._replace(item)
        for item in self.new:
            table = self.gathered.items.setdefault(item.head, {})
            there = table.get(item.id)
            if there is None:
                table[item.id] = item
                continue
            place = item.cursor.at(item.head)
            if there.layer == item.layer:
                place.error(
                    "same-id", f"`{item.id}` is there already, at {there.cursor.place}.", "Give it a name of its own."
                )
            else:
                follow = f"To replace it, add `replaces: [{item.id}]`; else give it a name of its own."
                if there.shielded:
                    follow = "Give it a name of its own; screening can only be added to."
                place.error("taken", f"`{item.id}` is there already, at {there.cursor.place}.", follow)
            if item.head == "rule":
                self.gathered.refused.append((item.cursor, item.kind))

    def _replace(self, item: Item) -> None:
        table = self.gathered.items.get(item.head, {})
        for name in item.cursor.at("replaces").items():
            wanted = f"{name.value}@" if item.head in PHRASES else name.value
            below = [
                old
                for id_, old in table.items()
                if old.layer < self.layer and (id_.startswith(wanted) if item.head in PHRASES else id_ == wanted)
            ]
            if not below:
                known = [id_.partition("@")[0] for id_, other in table.items() if other.layer < self.layer]
                name.error(
                    "replaces-nothing", f"no folder below has a {item.head} `{name.value}`.", nearest(name.value, known)
                )
            elif any(old.shielded for old in below):
                name.error(
                    "shielded", f"`{name.value}` belongs to the screening.", "It can be added to, never replaced."
                )
            elif isinstance(item.model, AttributeEntry) and not _keeps(below[0].model, item.model):
                what = f"`{name.value}` keeps its name, its kind and all its values."
                name.error("attribute-narrowed", what, "Copy what it had, and add to it.")
            elif isinstance(item.model, AttributeEntry) and not _leads(below[0].model, item.model):
                what = f"`{name.value}` keeps the order of its cautious values."
                name.error("caution-turned", what, "Copy the order, and add to its end.")
            else:
                for old in below:
                    del table[old.id]
                    self.gathered.replaced.append((old, name))


def _keeps(old: AttributeEntry, new: AttributeEntry) -> bool:
    return (
        (old.attribute, old.kind, old.unit, old.keys_from) == (new.attribute, new.kind, new.unit, new.keys_from)
        and set(old.values) <= set(new.values)
        and set(old.values_from) <= set(new.values_from)
        and set(old.keys) <= set(new.keys)
        and old.fields_.items() <= new.fields_.items()
    )


def _leads(old: AttributeEntry, new: AttributeEntry) -> bool:
    """Whether the cautious values stand in their old order, with whatever is new behind them."""
    return new.cautious[: len(old.cautious)] == old.cautious and (bool(old.cautious) or new.kind != "number")


def _either(heads: Iterable[str]) -> str:
    return " or ".join(f"`{head}:`" for head in heads)
