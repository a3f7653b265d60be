"""Condition trees: what a tree is made of, and its simplest equal form.

    ("all", nodes)  ("any", nodes)  ("some", n, nodes)  ("not", node)
    ("is", attribute, value)  ("known", attribute)  ("number", attribute, op, figure)  ("count", attribute, op, n)

`op` is at-least, at-most, above or below. ("all", ()) always holds and ("any", ()) never does. A test of an attribute
that nothing is known of fails, whatever it asks: also `count: {at-most: 3}` (law 1).

Does not read YAML and does not check names; knowledge/conditions.py does both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from types import MappingProxyType
from typing import Any

from backstay.knowledge.base import Node

Value = str | float
Atom = tuple[str, Value]

ALWAYS: Node = ("all", ())
NEVER: Node = ("any", ())

COMPARE: MappingProxyType[str, Callable[[Any, Any], bool]] = MappingProxyType(
    {
        "at-least": lambda figure, bound: bool(figure >= bound),
        "at-most": lambda figure, bound: bool(figure <= bound),
        "above": lambda figure, bound: bool(figure > bound),
        "below": lambda figure, bound: bool(figure < bound),
    }
)


def value_order(value: Value) -> tuple[int, Value]:
    """Numbers before words, each in their own order: the one order in which values are listed."""
    return (1, value) if isinstance(value, str) else (0, value)


def caution(cautious: tuple[str, ...], value: Value) -> tuple[int, Value]:
    """Orders values by which leads: those listed as cautious, then by alphabet; figures from the highest.

    Of an attribute whose `cautious` names `lowest`, figures lead from the lowest.
    """
    if not isinstance(value, str):
        return (0, value if "lowest" in cautious else -value)
    return (1, cautious.index(value)) if value in cautious else (2, value)


def leaves(node: Node, way: str = "") -> Iterator[tuple[Node, str]]:
    """Each test in a tree with the word that sets it below the rest: "not", "count", or what is handed in; else ""."""
    kind = node[0]
    if kind == "not":
        yield from leaves(node[1], way or "not")
    elif kind == "count":
        yield node, way or "count"
    elif kind in ("all", "any", "some"):
        for child in node[-1]:
            yield from leaves(child, way)
    else:
        yield node, way


def simplify(node: Node) -> Node:
    """The same condition without constants, without an all in an all, and with `not any` told as all the nots."""
    kind = node[0]
    if kind in ("all", "any"):
        return _joined(kind, tuple(simplify(child) for child in node[1]))
    if kind == "some":
        return _some(node[1], tuple(simplify(child) for child in node[2]))
    if kind == "not":
        return _opposite(simplify(node[1]))
    return node


def _joined(kind: str, children: tuple[Node, ...]) -> Node:
    idle, settling = (ALWAYS, NEVER) if kind == "all" else (NEVER, ALWAYS)
    flat: dict[Node, None] = {}
    for child in children:
        if child == settling:
            return settling
        if child[0] == kind:
            flat.update(dict.fromkeys(child[1]))
        elif child != idle:
            flat[child] = None
    return next(iter(flat)) if len(flat) == 1 else (kind, tuple(flat))


def _some(least: int, children: tuple[Node, ...]) -> Node:
    # A condition named twice counts twice, so nothing is united here.
    least -= sum(child == ALWAYS for child in children)
    open_ones = tuple(child for child in children if child not in (ALWAYS, NEVER))
    if least <= 0:
        return ALWAYS
    if least > len(open_ones):
        return NEVER
    if least == len(open_ones):
        return _joined("all", open_ones)
    return _joined("any", open_ones) if least == 1 else ("some", least, open_ones)


def _opposite(node: Node) -> Node:
    if node == ALWAYS:
        return NEVER
    if node == NEVER:
        return ALWAYS
    if node[0] == "any":
        return ("all", tuple(_opposite(child) for child in node[1]))
    return ("not", node)
