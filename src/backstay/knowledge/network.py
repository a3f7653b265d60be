"""Network: conditions as gates that count.

A gate has a number of touches that it still needs, and a list of gates that it touches when it needs none any more:
`all` needs each of its inputs, `any` one, `some` n. A fact is a gate as well, which touches the conditions that test
it. Equal conditions share one gate. A list of values of an attribute that holds only one value needs no gate of its
own, since at most one of the values can touch.

Negation is no gate. It becomes a code that reasoning reads when all below it is complete:

    gate >= 0                     the gate has been satisfied
    ~gate (< 0)                   it has not
    (n, codes)                    at least n of these codes hold
    (attribute, op, n, wanted)    a count of values passes, or, if not wanted, fails
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from backstay.knowledge.base import Node
from backstay.knowledge.trees import Atom

Code = int | tuple[Any, ...]
MOST = 255  # a gate's need is kept in one byte


def pure(node: Node) -> bool:
    """Whether a simplified tree can be made of gates alone: no negation, no count, no need above a byte."""
    kind = node[0]
    if kind == "some":
        return node[1] <= MOST and all(pure(child) for child in node[2])
    if kind in ("all", "any"):
        return all(pure(child) for child in node[1])
    return kind not in ("not", "count")


class Network:
    """Gates under construction, numbered as they are made; program.py gives them their final numbers."""

    def __init__(self, single: Callable[[str], bool]) -> None:
        self.single = single
        self.need: list[int] = []
        self.up: list[list[int]] = []
        self.atoms: dict[Atom, int] = {}
        self.known: dict[str, int] = {}
        self.bounds: dict[tuple[str, str, float], int] = {}
        self._shared: dict[tuple[Any, ...], int] = {}

    def gate(self, need: int, inputs: Iterable[Iterable[int]] = ()) -> int:
        """A new gate; each input is a group of gates of which at most one touches it."""
        number = len(self.need)
        self.need.append(need)
        self.up.append([])
        for group in inputs:
            for source in group:
                self.up[source].append(number)
        return number

    def atom(self, atom: Atom) -> int:
        """The gate of a fact."""
        found = self.atoms.get(atom)
        if found is None:
            found = self.atoms[atom] = self.gate(1)
        return found

    def together(self, groups: list[tuple[int, ...]]) -> int:
        """A new gate that needs all the groups, each once."""
        unique = list(dict.fromkeys(groups))
        while len(unique) > MOST:
            part, unique = unique[:MOST], unique[MOST:]
            unique.append((self._share("all", MOST, part),))
        return self.gate(len(unique), unique)

    def group(self, node: Node) -> tuple[int, ...]:
        """What touches for a pure tree: one gate, or the values of a one-valued attribute of which only one can."""
        kind = node[0]
        if kind == "any":
            tested = {child[1] if child[0] == "is" else None for child in node[1]}
            if None not in tested and len(tested) == 1 and self.single(next(iter(tested)) or ""):
                return tuple(sorted(self.atom((child[1], child[2])) for child in node[1]))
        return (self.of(node),)

    def of(self, node: Node) -> int:
        """The one gate that is satisfied when a pure tree holds."""
        kind = node[0]
        if kind == "is":
            return self.atom((node[1], node[2]))
        if kind == "known":
            return self._once(self.known, node[1])
        if kind == "number":
            return self._once(self.bounds, (node[1], node[2], float(node[3])))
        groups = [self.group(child) for child in node[-1]]
        if kind == "all":
            unique = sorted(set(groups))
            return self._share("all", len(unique), unique) if len(unique) <= MOST else self.together(unique)
        return self._share(kind, 1 if kind == "any" else node[1], sorted(groups))

    def _once(self, table: dict[Any, int], key: Any) -> int:
        if key not in table:
            table[key] = self.gate(1)
        return table[key]

    def _share(self, kind: str, need: int, groups: list[tuple[int, ...]]) -> int:
        key = (kind, need, tuple(groups))
        found = self._shared.get(key)
        if found is None:
            found = self._shared[key] = self.gate(need, groups)
        return found

    def code(self, node: Node, wanted: bool = True) -> Code:
        """What reasoning reads to tell whether a tree holds (or, not `wanted`, fails)."""
        kind = node[0]
        if kind == "not":
            return self.code(node[1], not wanted)
        if kind == "count":
            return (node[1], node[2], node[3], wanted)
        if kind in ("all", "any", "some"):
            children = node[-1]
            least = {"all": len(children), "any": 1, "some": node[1]}[kind]
            if not wanted:
                least = len(children) - least + 1
            return (least, tuple(self.code(child, wanted) for child in children))
        gate = self.of(node)
        return gate if wanted else ~gate
