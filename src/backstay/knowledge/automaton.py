"""Automaton: phrase entries made into plain data that language reads messages with.

All forms of all entries share one trie of words. It is cut by first word (or first slot), each part packed by itself, so that
a message unpacks only what it uses: its cost grows with its own length, not with the number of phrases.

A node of the trie is a dict: word -> node, "" -> entries that end here, "{" -> {slot: node}, "~" -> (most words, node),
"," -> node after a comma. What an entry is stands in `entries`:

    (kind, name, says, feeds, extra)    kind: idea | phrase | want | trigger
    says   ((attribute, value or ("{", slot), unit), …)
    feeds  slots of other forms, and members of togethers, that the entry's words can fill
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from backstay.knowledge.forms import FormError, Path, paths, plain_words

FIGURES = frozenset(
    {
        "number", "score", "duration", "time", "weight", "kilos", "length", "date", "day", "weekday", "weekdays",
        "times", "sets", "percent", "ordinal", "year",
    }
)  # fmt: skip
"""Slots that language fills by computing, not by matching words."""

MARKS = frozenset({"equipment", "side", "frame", "person", "pronoun", "state"})
"""Attributes of phrases that say nothing by themselves: what stands round them decides."""

TOOLS = frozenset({"exercise", "lift", "equipment", "variation"})
"""Names that no other phrase may cut into."""

KINDS = ("idea", "phrase", "want", "trigger", "together")
REACHES = ("forward", "back", "both", "clause", "sentence", "message")
WINDOWS = ("clause", "sentence", "message")
SCOPES = ("asserted", "denied", "past", "supposed", "other", "asked", "planned", "any")
PLACES = ("", "start", "alone", "end")


class Fault(NamedTuple):
    """What is wrong with one entry, by its place in the sequence handed in."""

    entry: int
    what: str


def compile_phrases(
    entries: Sequence[Mapping[str, Any]],
    attributes: Mapping[str, Any],
    names: Iterable[tuple[str, str, Sequence[str]]] = (),
    words: Mapping[str, str] | None = None,
) -> tuple[dict[str, Any], list[Fault]]:
    """Compile phrase entries; `names` are (attribute, value, words that name it), `words` the texts of the words folder.

    Returns the data and the faults found; data with faults is still usable for what is right in it.
    """
    compiler = _Compiler(attributes, _slips((words or {}).get("slips", "")))
    for index, entry in enumerate(entries):
        compiler.read(index, entry)
    for attribute, value, forms in names:
        compiler.name(attribute, value, forms)
    return compiler.data(words or {}), compiler.faults


class _Row(NamedTuple):
    index: int
    kind: str
    name: str
    says: tuple[tuple[str, Any, str], ...]
    extra: tuple[Any, ...]


class _Compiler:
    def __init__(self, attributes: Mapping[str, Any], slips: Mapping[str, tuple[str, ...]]) -> None:
        self.attributes = attributes
        self.slips = slips
        self.faults: list[Fault] = []
        self.rows: list[_Row] = []
        self.forms: list[list[Path]] = []
        self.togethers: list[tuple[int, Mapping[str, Any]]] = []
        self.slots_used: dict[str, int] = {}

    def fault(self, index: int, what: str) -> None:
        if index >= 0:
            self.faults.append(Fault(index, what))

    def read(self, index: int, entry: Mapping[str, Any]) -> None:
        kind = next((kind for kind in KINDS if kind in entry), "")
        if not kind:
            self.fault(index, f"an entry is one of {', '.join(KINDS)}")
            return
        name = str(entry[kind])
        if kind == "together":
            self.togethers.append((index, entry))
            return
        extra: tuple[Any, ...] = (self._choice(index, entry, "place", PLACES, ""),)
        if kind == "want":
            extra += (entry.get("weight", 1),)
        elif kind == "trigger":
            reach = self._choice(index, entry, "reach", REACHES, "forward")
            extra += (reach, int(entry.get("within", 6)))
        elif kind == "phrase":
            extra += (False,)
        says = self._says(index, entry.get("says") or {})
        if kind == "phrase":
            # A phrase that says nothing swallows what its words would say, so none may cut into it either.
            extra = (extra[0], not says or {attribute for attribute, _, _ in says} <= TOOLS)
        self._add(index, kind, name, says, extra, [self._paths(index, str(form)) for form in entry.get("forms") or ()])

    def name(self, attribute: str, value: str, forms: Sequence[str]) -> None:
        every: list[list[Path]] = []
        for form in dict.fromkeys(" ".join(plain_words(form)) for form in forms):
            steps = tuple(form.split())
            if steps:
                every.append([self._meant(path) for path in (steps, *_plurals(steps))])
        self._add(-1, "phrase", value, ((attribute, value, ""),), ("", attribute in TOOLS), every)

    def _add(
        self,
        index: int,
        kind: str,
        name: str,
        says: tuple[tuple[str, Any, str], ...],
        extra: tuple[Any, ...],
        forms: list[list[Path]],
    ) -> None:
        self.rows.append(_Row(index, kind, name, says, extra))
        self.forms.append([path for group in forms for path in group])
        for path in self.forms[-1]:
            for step in path:
                if isinstance(step, tuple) and step[0] == "{":
                    self.slots_used.setdefault(str(step[1]), index)
        used = {str(step[1]) for path in self.forms[-1] for step in path if isinstance(step, tuple) and step[0] == "{"}
        for attribute, value, _ in says:
            wanted = [value[1]] if isinstance(value, tuple) else []
            if "{" in attribute:
                wanted.append(attribute[attribute.index("{") + 1 : attribute.index("}")])
            for slot in wanted:
                if slot not in used:
                    self.fault(index, f"`{{{slot}}}` is said, but no form holds it")

    def _paths(self, index: int, form: str) -> list[Path]:
        try:
            return [self._meant(path) for path in paths(form)]
        except FormError as error:
            self.fault(index, f"the form `{form}`: {error}")
            return []

    def _meant(self, path: Path) -> Path:
        """A path with short forms and slips written out, as they will be in the cleaned message."""
        if not any(isinstance(step, str) and step in self.slips for step in path):
            return path
        steps: list[Any] = []
        for step in path:
            steps += self.slips.get(step, (step,)) if isinstance(step, str) else (step,)
        return tuple(steps)

    def _choice(self, index: int, entry: Mapping[str, Any], key: str, allowed: Sequence[str], usual: str) -> str:
        value = str(entry.get(key) or usual)
        if value not in allowed:
            self.fault(index, f"`{key}: {value}`: it is one of {', '.join(filter(None, allowed))}")
            return usual
        return value

    def _says(self, index: int, says: Mapping[str, Any]) -> tuple[tuple[str, Any, str], ...]:
        found: list[tuple[str, Any, str]] = []
        for name, values in says.items():
            known = self.attributes.get(name) or self.attributes.get(name.partition(".")[0])
            if known is None and name not in MARKS:
                self.fault(index, f"`{name}` is no attribute")
                continue
            unit = getattr(known, "unit", "") or ""
            allowed = getattr(known, "values", ()) or ()
            for value in values if isinstance(values, list | tuple) else [values]:
                if isinstance(value, str) and value.startswith("{") and value.endswith("}"):
                    found.append((name, ("{", value[1:-1].strip()), unit))
                    continue
                if allowed and str(value) not in allowed and known is not None and known.kind in ("one", "many"):
                    self.fault(index, f"`{value}` is no value of `{name}`")
                found.append((name, value, unit))
        return tuple(found)

    def data(self, words: Mapping[str, str]) -> dict[str, Any]:
        """All of it as plain data."""
        together = _ordered([one for index, entry in self.togethers if (one := self._together(index, entry)) is not None])
        feeds = self._feeds()
        trie = _Trie()
        for number, every in enumerate(self.forms):
            for path in every:
                trie.insert(path, number)
        parts, slots = trie.parts()
        return {
            "trie": parts,
            "slots": slots,
            "entries": [
                (row.kind, row.name, row.says, feeds[number], row.extra) for number, row in enumerate(self.rows)
            ],
            "together": together,
            "nearby": _nearby(together),
            "words": trie.words,
            "common": _shelves(words.get("common", "")),
            "slips": dict(self.slips),
        }

    def _feeds(self) -> list[tuple[tuple[str, Any], ...]]:
        """For each entry the slots it can fill, and with what value."""
        fillers: set[str] = set(FIGURES)
        feeds: list[tuple[tuple[str, Any], ...]] = []
        for row in self.rows:
            own: dict[str, Any] = {}
            if row.kind == "idea":
                own[row.name] = row.name
            elif row.kind == "phrase":
                for attribute, value, _ in row.says:
                    own.setdefault(attribute, value)
                    own.setdefault(f"{attribute}={value}", value)
                if row.index >= 0:
                    own.setdefault(row.name, row.says[0][1] if row.says else row.name)
            fillers.update(own)
            feeds.append(tuple((slot, value) for slot, value in own.items() if slot in self.slots_used))
        fillers.update(str(entry["together"]) for _, entry in self.togethers)
        for slot, index in self.slots_used.items():
            if slot not in fillers:
                self.fault(index, f"`{{{slot}}}` is no idea, phrase, attribute or figure")
        return feeds

    def _together(self, index: int, entry: Mapping[str, Any]) -> tuple[Any, ...] | None:
        name = str(entry["together"])
        says = self._says(index, entry.get("says") or {})
        members = [self._member(index, name, str(member)) for member in entry.get("of") or ()]
        unless = [self._member(index, name, str(member)) for member in entry.get("unless") or ()]
        if not members:
            self.fault(index, "`of` names nothing")
            return None
        within = entry.get("within", "clause")
        if not isinstance(within, int) and within not in WINDOWS:
            if not str(within).split()[0].isdigit():
                self.fault(index, f"`within: {within}`: it is clause, sentence, message or a number of words")
                return None
            within = int(str(within).split()[0])
        scopes = ["asserted"] * len(members)
        given = entry.get("scope") or {}
        for key, scope in given.items() if isinstance(given, Mapping) else [(None, given)]:
            if not set(str(scope).split("|")) <= set(SCOPES):
                self.fault(index, f"`scope: {scope}`: it is one of {', '.join(SCOPES)}")
                continue
            bare = None if key is None else str(key).strip("{}")
            if bare is not None and bare not in members:
                self.fault(index, f"`scope` names `{key}`, which is not in `of`")
            scopes = [str(scope) if bare in (None, one) else old for one, old in zip(members, scopes, strict=True)]
        return (name, tuple(members), tuple(scopes), within, says, tuple(unless))

    def _member(self, index: int, name: str, form: str) -> str:
        """The slot that a member of a together is; a form of its own becomes an idea without a name."""
        every = self._paths(index, form)
        if len(every) == 1 and len(every[0]) == 1 and isinstance(every[0][0], tuple) and every[0][0][0] == "{":
            slot = str(every[0][0][1])
        else:
            slot = f"{name}: {form}"
            if not any(row.name == slot for row in self.rows):
                self._add(index, "idea", slot, (), ("",), [every])
        self.slots_used.setdefault(slot, index)
        return slot


def _plurals(steps: tuple[str, ...]) -> list[Path]:
    """A name with its last word in the plural; nothing for what already ends so."""
    last = steps[-1]
    if not last.isalpha() or len(last) < 3 or last.endswith("s"):
        return []
    ending = "es" if last.endswith(("ch", "sh", "x")) else "s"
    if last.endswith("y") and last[-2] not in "aeiou":
        return [(*steps[:-1], last[:-1] + "ies")]
    return [(*steps[:-1], last + ending)]


def _nearby(togethers: list[tuple[Any, ...]]) -> dict[str, tuple[int, ...]]:
    """Which togethers to try when a member is there."""
    nearby: dict[str, list[int]] = {}
    for number, one in enumerate(togethers):
        for member in dict.fromkeys(one[1]):
            nearby.setdefault(member, []).append(number)
    return {member: tuple(numbers) for member, numbers in sorted(nearby.items())}


def _ordered(togethers: list[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    """Togethers that others are made of come first."""
    names = {one[0] for one in togethers}
    placed: list[tuple[Any, ...]] = []
    waiting = togethers
    while waiting:
        done = {one[0] for one in placed}
        still = {one[0] for one in waiting}
        ready = [one for one in waiting if not any(m in names and m in still - done - {one[0]} for m in one[1])]
        if not ready:  # a circle; each of it is then tried once, in the order written
            ready = waiting
        placed += ready
        waiting = [one for one in waiting if one not in ready]
    return placed


class _Trie:
    """Nodes as nested dicts while they grow; equal ends are shared when they are packed."""

    def __init__(self) -> None:
        self.root: dict[Any, Any] = {}
        self.first: dict[str, dict[Any, Any]] = {}
        self.words: set[str] = set()

    def insert(self, path: Path, entry: int) -> None:
        step = path[0]
        if isinstance(step, tuple):
            node = self.first.setdefault(str(step[1]), {})
        else:
            node = self.root.setdefault(step, {})
            self.words.add(step)
        for step in path[1:]:
            if isinstance(step, str):
                self.words.add(step)
                node = node.setdefault(step, {})
            elif step[0] == "{":
                node = node.setdefault("{", {}).setdefault(str(step[1]), {})  # type: ignore[misc]
            elif step[0] == "~":
                node = node.setdefault(("~", step[1]), {})  # type: ignore[misc]
            else:
                node = node.setdefault(",", {})
        node.setdefault("", set()).add(entry)

    def parts(self) -> tuple[dict[str, bytes], dict[str, bytes]]:
        """The trie cut by first word, and by first slot; each part packed."""
        parts = {word: marshal.dumps(_plain(node, {})) for word, node in sorted(self.root.items())}
        slots = {slot: marshal.dumps(_plain(node, {})) for slot, node in sorted(self.first.items())}
        return parts, slots


def _plain(node: dict[Any, Any], seen: dict[Any, Any]) -> dict[Any, Any]:
    """A node as plain data; one that equals an earlier one is that one."""
    plain: dict[Any, Any] = {}
    gaps: list[tuple[int, dict[Any, Any]]] = []
    for key in sorted(node, key=str):
        child = node[key]
        if key == "":
            plain[""] = tuple(sorted(child))
        elif key == "{":
            plain["{"] = {slot: _plain(child[slot], seen) for slot in sorted(child)}
        elif isinstance(key, tuple):
            gaps.append((key[1], _plain(child, seen)))
        else:
            plain[key] = _plain(child, seen)
    if gaps:
        plain["~"] = tuple(gaps)
    return seen.setdefault(_print(plain), plain)  # type: ignore[no-any-return]


def _print(plain: dict[Any, Any]) -> str:
    """What makes a node equal to another: its entries, and which (already shared) nodes it leads to."""
    parts = []
    for key, value in plain.items():
        if key == "":
            parts.append(f"={value}")
        elif key == "{":
            parts += [f"{{{slot}:{id(child)}" for slot, child in value.items()]
        elif key == "~":
            parts += [f"~{most}:{id(child)}" for most, child in value]
        else:
            parts.append(f"{key}:{id(value)}")
    return " ".join(parts)


def _shelves(text: str) -> dict[str, str]:
    """Common words by their first two letters, each shelf one text: cheap to load, quick to look in."""
    shelves: dict[str, list[str]] = {}
    for line in text.splitlines():
        word = line.strip()
        if word and not word.startswith("#"):
            shelves.setdefault(word[:2], []).append(word)
    return {key: f" {' '.join(sorted(set(group)))} " for key, group in sorted(shelves.items())}


def _slips(text: str) -> dict[str, tuple[str, ...]]:
    """Known slips: `heard: meant words` a line."""
    slips: dict[str, tuple[str, ...]] = {}
    for line in text.splitlines():
        heard, colon, meant = line.partition(":")
        if colon and not line.startswith("#"):
            for one in heard.split(","):
                slips[one.strip()] = tuple(meant.split())
    return slips
