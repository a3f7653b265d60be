"""Matching: all phrases found in one walk over the message, from its last word to its first.

At each place the trie is followed as far as the words go. What ends is a span; a span that fills a slot opens the
forms that begin with this slot at the same place, so phrases are built of phrases in the same walk.
"""

import marshal
from typing import Any, NamedTuple

from backstay.language.cleaning import COMMA, SENTENCE, Words

Capture = tuple[str, int, int, Any]
MOST_STEPS = 400  # states followed from one place, against forms that multiply


class Span(NamedTuple):
    """An entry found: words `start` to before `end`, and what filled its slots."""

    start: int
    end: int
    entry: int
    captures: tuple[Capture, ...]


class Unpacked(dict[int, Any]):
    """What is packed, by its places: each is unpacked when a message first comes to it."""

    __slots__ = ("_packed",)

    def __init__(self, packed: bytes | memoryview) -> None:
        self._packed = memoryview(packed)

    def __missing__(self, place: int) -> Any:
        value = self[place] = marshal.loads(self._packed[place:])
        return value


class Entries(dict[int, tuple[Any, ...]]):
    """The entries by their numbers."""

    __slots__ = ("_places", "_unpacked")

    def __init__(self, places: list[int], unpacked: Unpacked) -> None:
        self._places = places
        self._unpacked = unpacked

    def __missing__(self, number: int) -> tuple[Any, ...]:
        entry: tuple[Any, ...] = self._unpacked[self._places[number]]
        self[number] = entry
        return entry


class Shelf:
    """Words kept by their first two letters."""

    __slots__ = ("_places", "_unpacked")

    def __init__(self, places: dict[str, int], unpacked: Unpacked) -> None:
        self._places = places
        self._unpacked = unpacked

    def __contains__(self, word: object) -> bool:
        place = self._places.get(word[:2]) if isinstance(word, str) else None
        return place is not None and f" {word} " in self._unpacked[place]


class Automaton:
    """The compiled phrases."""

    __slots__ = ("_first", "_nodes", "_slots", "common", "entries", "nearby", "sizes", "slips", "together", "words")

    def __init__(self, data: dict[str, Any]) -> None:
        unpacked = data["packed"]
        if not isinstance(unpacked, Unpacked):
            unpacked = data["packed"] = Unpacked(unpacked)
            data["entries"] = Entries(data["entries"], unpacked)
        self._nodes: Unpacked = unpacked
        self._first: dict[str, int] = data["first"]
        self._slots: dict[str, int] = data["slots"]
        self.entries: Entries = data["entries"]
        self.together: list[tuple[Any, ...]] = data["together"]
        self.nearby: dict[str, tuple[int, ...]] = data["nearby"]
        self.words = Shelf(data["words"], unpacked)
        self.sizes: dict[int, str] = data["sizes"]
        self.common = Shelf(data["common"], unpacked)
        self.slips: dict[str, tuple[str, ...]] = data["slips"]

    def spans(self, words: Words, figures: list[list[tuple[str, int, Any]] | None]) -> list[Span]:
        """Every span of every entry, overlaps included, in no particular order."""
        text, breaks, size = words.words, words.breaks, len(words.words)
        nodes, first, slots, entries = self._nodes, self._first, self._slots, self.entries
        filled: list[dict[str, list[tuple[int, Any]]] | None] = [None] * (size + 1)
        found: list[Span] = []
        for at in range(size - 1, -1, -1):
            here: dict[str, list[tuple[int, Any]]] = {}
            filled[at] = here
            todo: list[tuple[int, int, tuple[Capture, ...]]] = []
            shelf = first.get(text[at][:2])
            place = None if shelf is None else nodes[shelf].get(text[at])
            if place is not None:
                todo.append((place, at + 1, ()))
            there = figures[at]
            if there is not None:
                for slot, end, value in there:
                    here.setdefault(slot, []).append((end, value))
                    place = slots.get(slot)
                    if place is not None:
                        todo.append((place, end, ((slot, at, end, value),)))
            seen: set[tuple[int, int]] = set()
            steps = 0
            while todo:
                steps += 1
                if steps > MOST_STEPS:
                    break
                place, end, captures = todo.pop()
                node = nodes[place]
                ending = node.get("")
                if ending is not None:
                    for entry in ending:
                        if (entry, end) in seen and not captures:
                            continue
                        if (entry, end) not in seen:
                            seen.add((entry, end))
                        elif any(
                            s.entry == entry and s.end == end and s.start == at and s.captures == captures
                            for s in found
                        ):
                            continue
                        found.append(Span(at, end, entry, captures))
                        for slot, value in entries[entry][3]:
                            if value.__class__ is tuple:
                                value = next((c[3] for c in captures if c[0] == value[1]), None)
                            pair = (end, value)
                            fillers = here.setdefault(slot, [])
                            if pair in fillers:
                                continue
                            fillers.append(pair)
                            place = slots.get(slot)
                            if place is not None:
                                todo.append((place, end, ((slot, at, end, value),)))
                if end >= size:
                    continue
                pause = breaks[end]
                if pause == SENTENCE:
                    continue
                after = node.get(",")
                if pause != COMMA:
                    _step(node, end, captures, text, filled, todo)
                if after is not None:
                    _step(nodes[after], end, captures, text, filled, todo)
                for most, beyond in node.get("~", ()):
                    for gap in range(most + 1):
                        stop = end + gap
                        if stop >= size or breaks[stop] == SENTENCE:
                            break
                        held = (*captures, ("~", end, stop, None)) if gap else captures
                        _step(nodes[beyond], stop, held, text, filled, todo)
        return found


def _step(
    node: dict[Any, Any],
    at: int,
    captures: tuple[Capture, ...],
    text: list[str],
    filled: list[dict[str, list[tuple[int, Any]]] | None],
    todo: list[tuple[int, int, tuple[Capture, ...]]],
) -> None:
    """Go on from a node with the word there, and with what fills a slot there."""
    place = node.get(text[at])
    if place is not None:
        todo.append((place, at + 1, captures))
    slots = node.get("{")
    if slots is not None:
        there = filled[at]
        if there:
            for slot, place in slots.items():
                for end, value in there.get(slot, ()):
                    todo.append((place, end, (*captures, (slot, at, end, value))))
