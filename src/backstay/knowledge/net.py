"""Net: all forms of all phrases as one net of numbered points, and the deterministic one that messages are read with.

Forms are woven in as they are written, so that an alternative costs one point, not one path. What is packed is made of
the sets of points that can be reached by the same words: a node for each such set, equal ones shared.
"""

from __future__ import annotations

import marshal
from collections.abc import Mapping
from typing import Any

from backstay.knowledge.forms import FormError, Tree


class Net:
    """Points, the steps between them, and the entries that end at each."""

    def __init__(self, slips: Mapping[str, tuple[str, ...]]) -> None:
        self.slips = slips
        self.steps: list[dict[Any, set[int]]] = [{}]
        self.ends: list[set[int]] = [set()]
        self.gapped: set[int] = set()
        self.words: set[str] = set()

    def add(self, tree: Tree, entry: int) -> set[str]:
        """Weave a form in; returns the slots it uses."""
        slots: set[str] = set()
        last = self._weave(tree, {0}, slots)
        if 0 in last:
            raise FormError("it needs at least one word that may not be left out")
        if any(label.__class__ is tuple and label[0] != "{" for label in self.steps[0]):
            self.steps[0] = {key: to for key, to in self.steps[0].items() if key.__class__ is str or key[0] == "{"}
            raise FormError("a form cannot begin with a gap or a comma")
        if last & self.gapped:
            raise FormError("a form cannot end with a gap or a comma")
        for point in last:
            self.ends[point].add(entry)
        return slots

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
        return {new}

    def parts(self) -> tuple[dict[str, bytes], dict[str, bytes]]:
        """The net cut by first word, and by first slot; each part packed."""
        made: dict[frozenset[int], dict[Any, Any]] = {}
        parts: dict[str, bytes] = {}
        slots: dict[str, bytes] = {}
        for label, points in sorted(self.steps[0].items(), key=lambda item: str(item[0])):
            packed = marshal.dumps(self._node(frozenset(points), made))
            if isinstance(label, str):
                parts[label] = packed
            else:
                slots[label[1]] = packed
        return parts, slots

    def _node(self, points: frozenset[int], made: dict[frozenset[int], dict[Any, Any]]) -> dict[Any, Any]:
        known = made.get(points)
        if known is not None:
            return known
        node: dict[Any, Any] = {}
        made[points] = node
        ends = sorted({entry for point in points for entry in self.ends[point]})
        if ends:
            node[""] = tuple(ends)
        onward: dict[Any, set[int]] = {}
        for point in points:
            for label, to in self.steps[point].items():
                onward.setdefault(label, set()).update(to)
        gaps = []
        inner: dict[str, Any] = {}
        for label in sorted(onward, key=str):
            child = self._node(frozenset(onward[label]), made)
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
