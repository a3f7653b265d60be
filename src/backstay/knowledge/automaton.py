"""Automaton: phrase entries made into plain data that language reads messages with.

All forms of all entries share one net of words (net.py). Its nodes, the entries and shelves of words are packed one by
one, so that a message unpacks only those it comes to: its cost grows with its own length, not with the number of
phrases. `packed` holds them, all else their places in it. An entry is

    (kind, name, says, feeds, extra)    kind: idea | phrase | want | trigger
    says   ((attribute, value or ("{", slot), unit), …)
    feeds  slots of other forms, and members of togethers, that the entry's words can fill
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from backstay.knowledge.forms import FormError, form_tree, plain_words
from backstay.knowledge.net import Net, Packed
from backstay.knowledge.slips import derived_slips, known_slips
from backstay.knowledge.slots import FIGURES, GUEST, MARKS, SAFETY, TOOLS, VITAL

KINDS = ("idea", "phrase", "want", "trigger", "together", "hint", "lean", "tendency")
SHAPES = frozenset({
    "asks", "tells", "ends-open", "brief", "two-exercises", "test", "has", "lacks", "refuses", "skipped",
})  # fmt: skip
"""What leans may ask of a sentence besides ideas, facts and figures: its shape, and triggers by their name."""

REACHES = ("forward", "back", "both", "clause", "sentence", "message")
WINDOWS = ("clause", "sentence", "message")
SCOPES = ("asserted", "denied", "past", "supposed", "other", "asked", "planned", "any")
PLACES = ("", "start", "alone", "end", "piece")


class Fault(NamedTuple):
    """What is wrong with one entry, by its place in the sequence handed in."""

    entry: int
    what: str


class Guests(NamedTuple):
    """What comes from folders laid over the built-in one, which may add what is heard and silence nothing vital."""

    entries: frozenset[int] = frozenset()
    names: frozenset[tuple[str, str]] = frozenset()  # (attribute, value)
    vital: frozenset[str] = frozenset()  # attributes that screening looks at


def compile_phrases(
    entries: Sequence[Mapping[str, Any]],
    attributes: Mapping[str, Any],
    names: Iterable[tuple[str, str, Sequence[str]]] = (),
    words: Mapping[str, str] | None = None,
    guests: Guests = Guests(),  # noqa: B008
) -> tuple[dict[str, Any], list[Fault]]:
    """Compile phrase entries; `names` are (attribute, value, words that name it), `words` the texts of words/.

    Returns the data and the faults found; data with faults is still usable for what is right in it.
    """
    compiler = _Compiler(attributes, known_slips((words or {}).get("slips", "")), guests)
    for index, entry in enumerate(entries):
        compiler.read(index, entry)
    for attribute, value, forms in names:
        compiler.name(attribute, value, forms)
    return compiler.data(words or {}), compiler.faults


class _Row(NamedTuple):
    place: int  # of the entry, -1 for a name
    kind: str
    name: str
    says: tuple[tuple[str, Any, str], ...]
    extra: tuple[Any, ...]
    guest: bool


class _Compiler:
    def __init__(self, attributes: Mapping[str, Any], slips: Mapping[str, tuple[str, ...]], guests: Guests) -> None:
        self.guests = guests
        self.attributes = attributes
        self.slips = slips
        self.faults: list[Fault] = []
        self.rows: list[_Row] = []
        self.used: list[set[str]] = []  # the slots in the forms of each row
        self.forms: list[list[str]] = []  # those that could be read
        self.net = Net(slips)
        self.togethers: list[tuple[int, Mapping[str, Any]]] = []
        self.leans: list[tuple[Any, ...]] = []
        self.tendencies: dict[str, list[tuple[str, float]]] = {}
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
        if kind == "lean":
            self._lean(index, name, entry)
            return
        if kind == "tendency":
            for title, head in (("seen", "seen"), ("words", "word"), ("last", "last")):
                for feature, weight in (entry.get(title) or {}).items():
                    self.tendencies.setdefault(f"{head} {feature}", []).append((name, weight))
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
        forms = entry.get("forms") or ()
        self._add(
            index, kind, name, says, extra, [str(form) for form in (forms if isinstance(forms, list) else [forms])]
        )

    def name(self, attribute: str, value: str, forms: Sequence[str]) -> None:
        every = []
        for form in (*forms, value.replace("-", " ")):
            words = plain_words(form)
            every += [" ".join(words), *_plurals(words)]
        plain = list(filter(None, dict.fromkeys(every)))
        self._add(-1, "phrase", value, ((attribute, value, ""),), ("", attribute in TOOLS), plain)

    def _add(
        self,
        index: int,
        kind: str,
        name: str,
        says: tuple[tuple[str, Any, str], ...],
        extra: tuple[Any, ...],
        forms: Sequence[str],
    ) -> None:
        number = len(self.rows)
        guest = index in self.guests.entries or (index < 0 and (says[0][0], name) in self.guests.names)
        self.rows.append(_Row(index, kind, name, says, extra, guest))
        used: set[str] = set()
        self.forms.append([])
        for form in forms:
            try:
                used |= self.net.add(form_tree(form), number)
                self.forms[-1].append(form)
            except FormError as error:
                self.fault(index, f"the form `{form}`: {error}")
        self.used.append(used)
        for slot in used:
            self.slots_used.setdefault(slot, index)
        for attribute, value, _ in says:
            wanted = [value[1]] if isinstance(value, tuple) else []
            if "{" in attribute:
                wanted.append(attribute[attribute.index("{") + 1 : attribute.index("}")])
            for slot in wanted:
                if slot not in used:
                    self.fault(index, f"`{{{slot}}}` is said, but no form holds it")

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
        together = _ordered(
            [one for index, entry in self.togethers if (one := self._together(index, entry)) is not None]
        )
        feeds = self._feeds()
        heard = self._always_heard(together, SAFETY)
        vital = self._always_heard(together, SAFETY | self.guests.vital) if self.guests.vital else heard
        packed = Packed()
        first, slots = self._woven(packed)
        common = _listed(words.get("common", ""))
        plain = {*common, *self.net.words}
        slips = {**derived_slips(_listed(words.get("frequent", "")), plain, self.slips), **self.slips}
        data = {
            "first": first,
            "slots": slots,
            "entries": [
                packed.add((row.kind, row.name, row.says, feeds[number], self._extra(row, feeds[number], heard, vital)))
                for number, row in enumerate(self.rows)
            ],
            "together": together,
            "nearby": _nearby(together),
            "leans": self.leans,
            "leaning": _leaning(self.leans),
            "tendencies": {feature: tuple(every) for feature, every in self.tendencies.items()},
            "words": _shelves(self.net.words, packed),
            "sizes": _by_size(self.net.words),
            "common": _shelves(common, packed),
            "slips": slips,
        }
        return {**data, "packed": packed.whole()}

    def _extra(
        self, row: _Row, feeds: tuple[tuple[str, Any], ...], heard: set[str], made_of: set[str]
    ) -> tuple[Any, ...]:
        """What matching needs of a row besides: of ideas whether signs are made of them, of phrases their standing."""
        if row.kind == "idea":
            return (*row.extra, row.name in heard, VITAL if row.name in made_of else "")
        if row.kind != "phrase":
            return row.extra
        said = {attribute.partition(".")[0] for attribute, _, _ in row.says}
        vital = not said <= TOOLS and (bool(said & self.guests.vital) or any(slot in made_of for slot, _ in feeds))
        return (*row.extra, GUEST if row.guest else VITAL if vital else "")

    def _woven(self, packed: Packed) -> tuple[dict[str, int], dict[str, int]]:
        """The net packed; where its forms multiply, the entry whose own forms do so most is at fault."""
        try:
            return self.net.pack(packed)
        except FormError as error:
            sizes: dict[int, int] = {}
            for row, forms in zip(self.rows, self.forms, strict=True):
                net = Net(self.slips)
                for form in forms:
                    net.add(form_tree(form), 0)
                sizes[row.place] = max(sizes.get(row.place, 0), net.size())
            self.fault(max(sizes, key=lambda place: sizes[place]), f"{error}; write them with fewer choices")
            return {}, {}

    def _always_heard(self, together: Sequence[tuple[Any, ...]], attributes: frozenset[str]) -> set[str]:
        """The ideas that what says one of these attributes is made of, through other togethers and slots."""
        parts: dict[str, set[str]] = {}
        heard: set[str] = set()
        for name, members, _, _, says, unless in together:
            parts.setdefault(name, set()).update(members)
            if any(attribute in attributes for attribute, _, _ in says):
                heard |= {name, *members, *unless}
        for row, slots in zip(self.rows, self.used, strict=True):
            if row.kind == "idea":
                parts.setdefault(row.name, set()).update(slots)
        waiting = list(heard)
        while waiting:
            new = parts.get(waiting.pop(), set()) - heard
            heard |= new
            waiting += new
        return heard

    def _feeds(self) -> list[tuple[tuple[str, Any], ...]]:
        """For each entry the slots it can fill, and with what value."""
        fillers: set[str] = set(FIGURES)
        feeds: list[tuple[tuple[str, Any], ...]] = []
        for row in self.rows:
            own: dict[str, Any] = {}
            if row.kind in ("idea", "hint"):
                own[row.name] = row.name
            elif row.kind == "phrase":
                for attribute, value, _ in row.says:
                    own.setdefault(attribute, value)
                    own.setdefault(f"{attribute}={value}", value)
                if row.place >= 0:
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

    def _lean(self, index: int, name: str, entry: Mapping[str, Any]) -> None:
        """A lean: each member is one or more slots, any of which will do: `{exercise|lift}`."""
        sides = []
        for key in ("of", "unless"):
            members = []
            for form in entry.get(key) or ():
                slots = tuple(slot.strip() for slot in str(form).strip().removeprefix("{").removesuffix("}").split("|"))
                members.append(slots)
                for slot in slots:
                    if slot not in SHAPES:
                        self.slots_used.setdefault(slot, index)
            sides.append(tuple(members))
        if not sides[0]:
            self.fault(index, "`of` names nothing")
            return
        wide = entry.get("within", "sentence") == "message"
        self.leans.append((name, entry.get("weight", 2), sides[0], sides[1], wide))

    def _member(self, index: int, name: str, form: str) -> str:
        """The slot that a member of a together is; a form of its own becomes an idea without a name."""
        if form.startswith("{") and form.endswith("}") and form.count("{") == 1:
            slot = form[1:-1].strip()
        else:
            slot = f"{name}: {form}"
            if not any(row.name == slot for row in self.rows):
                self._add(index, "idea", slot, (), ("",), [form])
        self.slots_used.setdefault(slot, index)
        return slot


def _plurals(words: list[str]) -> list[str]:
    """A name with its last word in the plural; nothing for what already ends so."""
    last = words[-1] if words else ""
    if not last.isalpha() or len(last) < 3 or last.endswith("s"):
        return []
    if last.endswith("y") and last[-2] not in "aeiou":
        return [" ".join([*words[:-1], last[:-1] + "ies"])]
    return [" ".join(words) + ("es" if last.endswith(("ch", "sh", "x")) else "s")]


def _nearby(togethers: list[tuple[Any, ...]]) -> dict[str, tuple[int, ...]]:
    """Which togethers to try when a member is there."""
    nearby: dict[str, list[int]] = {}
    for number, one in enumerate(togethers):
        for member in dict.fromkeys(one[1]):
            nearby.setdefault(member, []).append(number)
    return {member: tuple(numbers) for member, numbers in sorted(nearby.items())}


def _leaning(leans: list[tuple[Any, ...]]) -> dict[str, tuple[int, ...]]:
    """Which leans to try when one of the slots of their first member is there."""
    leaning: dict[str, list[int]] = {}
    for number, one in enumerate(leans):
        for slot in one[2][0]:
            leaning.setdefault(slot, []).append(number)
    return {slot: tuple(numbers) for slot, numbers in sorted(leaning.items())}


def _ordered(togethers: list[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    """Togethers that others are made of come first."""
    placed: list[tuple[Any, ...]] = []
    placed_names: set[str] = set()
    waiting = togethers
    while waiting:
        open_ones = {one[0] for one in waiting} - placed_names
        ready = [not any(member in open_ones and member != one[0] for member in one[1]) for one in waiting]
        if not any(ready):  # a circle; each of it is then tried once, in the order written
            ready = [True] * len(waiting)
        placed += [one for one, is_ready in zip(waiting, ready, strict=True) if is_ready]
        placed_names.update(one[0] for one, is_ready in zip(waiting, ready, strict=True) if is_ready)
        waiting = [one for one, is_ready in zip(waiting, ready, strict=True) if not is_ready]
    return placed


def _by_size(words: Iterable[str]) -> dict[int, str]:
    """Words that may be meant by a misspelt one, by their number of letters, each size one text."""
    sizes: dict[int, list[str]] = {}
    for word in sorted(words):
        if len(word) >= 4 and word.isalpha():
            sizes.setdefault(len(word), []).append(word)
    return {size: " ".join(group) for size, group in sorted(sizes.items())}


def _shelves(words: Iterable[str], packed: Packed) -> dict[str, int]:
    """Words by their first two letters, each shelf one text: cheap to load, quick to look in."""
    shelves: dict[str, list[str]] = {}
    for word in sorted(set(words)):
        shelves.setdefault(word[:2], []).append(word)
    return {key: packed.add(f" {' '.join(group)} ") for key, group in shelves.items()}


def _listed(text: str) -> list[str]:
    """The words of a list, one a line."""
    lines = (line.strip() for line in text.splitlines())
    return [line for line in lines if line and not line.startswith("#")]
