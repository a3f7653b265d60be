"""Net: all forms of all phrases as one net of numbered points, and the deterministic one that messages are read with.

Forms are woven in as they are written, so that an alternative costs one point, not one path. What is packed is made of
the sets of points that can be reached by the same words: a node for each such set, and nodes from which all is equal
are one.

A node is a dict: word -> place of a node, "" -> entries that end here, "{" -> {slot: place},
"~" -> ((most words, place), …), "," -> place of the node after a comma.
"""

from __future__ import annotations

import marshal
from collections.abc import Mapping
from typing import Any

from backstay.knowledge.forms import FormError, Tree

MOST_NODES = 90_000  # forms can be written whose nodes double with every word; the built-in ones come to two thirds


class Net:
    """Points, the steps between them, and the entries that end at each."""

    def __init__(self, slips: Mapping[str, tuple[str, ...]]) -> None:
        self.slips = slips
        self.steps: list[dict[Any, set[int]]] = [{}]
        self.ends: list[set[int]] = [set()]
        self.gapped: set[int] = set()
        self.begun: set[Any] = set()  # gaps and commas that a form begins with
        self.words: set[str] = set()

    def add(self, tree: Tree, entry: int) -> set[str]:
        """Weave a form in; returns the slots it uses."""
        slots: set[str] = set()
        last = self._weave(tree, {0}, slots)
        if 0 in last:
            raise FormError("it needs at least one word that may not be left out")
        if self.begun:
            for label in self.begun:
                del self.steps[0][label]
            self.begun.clear()
            raise FormError("a form cannot begin with a gap or a comma")
        if last & self.gapped:
            raise FormError("a form cannot end with a gap or a comma")
        for point in last:
            self.ends[point].add(entry)
        return slots

    def size(self) -> int:
        """How many nodes its forms come to; MOST_NODES where they are too many."""
        nodes = _Nodes(self, Packed())
        try:
            for points in self.steps[0].values():
                nodes.place(frozenset(points))
        except FormError:
            return MOST_NODES
        return len(nodes.places)

    def _weave(self, tree: Tree, points: set[int], slots: set[str]) -> set[int]:
        for part in tree.parts:
            if isinstance(part, tuple) and part[0] == "|":
                found: set[int] = set()
                for one in part[1]:
                    found |= self._weave(one, points, slots)
                points = found
            elif isinstance(part, str):
                for word in self.slips.get(part, (part,)):
                    self.words.add(word)
                    points = self._step(points, word)
            else:
                if part[0] == "{":
                    slots.add(str(part[1]))
                points = self._step(points, part)
        return points

    def _step(self, points: set[int], label: Any) -> set[int]:
        new = len(self.steps)
        self.steps.append({})
        self.ends.append(set())
        for point in points:
            self.steps[point].setdefault(label, set()).add(new)
        if label.__class__ is tuple and label[0] != "{":
            self.gapped.add(new)
            if 0 in points:
                self.begun.add(label)
        return {new}

    def pack(self, packed: Packed) -> tuple[dict[str, int], dict[str, int]]:
        """Pack the nodes that messages are read with; the places of those to begin with, by letters and by slot.

        What is equal from some node on is kept once. First words stand in nodes by their first two letters.
        """
        nodes = _Nodes(self, packed)
        shelves: dict[str, dict[Any, Any]] = {}
        slots: dict[str, int] = {}
        for label, points in sorted(self.steps[0].items(), key=lambda item: str(item[0])):
            place = nodes.place(frozenset(points))
            if isinstance(label, str):
                shelves.setdefault(label[:2], {})[label] = place
            else:
                slots[label[1]] = place
        return {letters: packed.add(shelf) for letters, shelf in shelves.items()}, slots


class Packed:
    """Values marshalled one after the other, each named by where its bytes begin, so that it can be read alone."""

    def __init__(self) -> None:
        self._blocks: list[bytes] = []
        self._size = 0

    def add(self, value: Any) -> int:
        """Add a value; returns its place."""
        place = self._size
        self._blocks.append(marshal.dumps(value))
        self._size += len(self._blocks[-1])
        return place

    def whole(self) -> bytes:
        """All values."""
        return b"".join(self._blocks)


class _Nodes:
    """Makes nodes of sets of points."""

    def __init__(self, net: Net, packed: Packed) -> None:
        self.net = net
        self.packed = packed
        self.known: dict[tuple[Any, ...], int] = {}
        self.places: dict[frozenset[int], int] = {}

    def place(self, points: frozenset[int]) -> int:
        known = self.places.get(points)
        if known is None:
            if len(self.places) >= MOST_NODES:
                raise FormError(f"the forms together come to more than {MOST_NODES:,} steps")
            node = self._node(points)
            key = tuple((label, tuple(to.items()) if isinstance(to, dict) else to) for label, to in node.items())
            if key not in self.known:
                self.known[key] = self.packed.add(node)
            known = self.places[points] = self.known[key]
        return known

    def _node(self, points: frozenset[int]) -> dict[Any, Any]:
        node: dict[Any, Any] = {}
        ends = sorted({entry for point in points for entry in self.net.ends[point]})
        if ends:
            node[""] = tuple(ends)
        onward: dict[Any, set[int]] = {}
        for point in points:
            for label, to in self.net.steps[point].items():
                onward.setdefault(label, set()).update(to)
        gaps = []
        inner: dict[str, int] = {}
        for label in sorted(onward, key=str):
            child = self.place(frozenset(onward[label]))
            if isinstance(label, str):
                node[label] = child
            elif label[0] == "{":
                inner[label[1]] = child
            elif label[0] == "~":
                gaps.append((label[1], child))
            else:
                node[","] = child
        if inner:
            node["{"] = inner
        if gaps:
            node["~"] = tuple(gaps)
        return node
