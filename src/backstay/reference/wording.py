"""Wording: conditions and effects as people read them, in the names that stand in YAML.

wording = Wording(base)
wording.condition(tree) -> text        wording.lines(tree) -> (depth, text), …     wording.effect(effect) -> text
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from backstay.knowledge.base import Base, Effect, Node
from backstay.reply.words import Words, figure

MOST_NAMED = 8
Line = tuple[int, str]


class Wording:
    """The words for what rules of one base test and do."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.words = Words(base)

    def condition(self, node: Node) -> str:
        """Return a condition in one line; what stands inside another is put in parentheses."""
        return self._whole(node, inside=False)

    def lines(self, node: Node) -> tuple[Line, ...]:
        """Return a condition as an outline: what must hold on a line each, ways to choose from below it."""
        found: list[Line] = []
        for part in _apart(node, "all"):
            ways = self._joined_values(_apart(part, "any"))
            if len(ways) > 1:
                found.append((0, self.words.say("test-any-of")))
                found += [(1, self.condition(way)) for way in ways]
            else:
                found.append((0, self.condition(part)))
        return tuple(found)

    def effect(self, effect: Effect) -> str:
        """Return what an effect does."""
        name, *rest = effect
        say, words = self.words.say, self.words
        if name == "need":
            return say("effect-need", quality=self.quality(rest[0]), points=words.count("points", rest[1]))
        if name == "need-each":
            return say("effect-need-each", attribute=rest[0], points=words.count("points", rest[1]))
        if name in ("favour", "avoid"):
            return say(f"effect-{name}", exercises=self.exercises(rest[0]), points=words.count("points", rest[1]))
        if name == "forbid":
            return say("effect-forbid", exercises=self.exercises(rest[0]))
        if name == "dose-use":
            return say("effect-dose-use", exercises=self.exercises(rest[0]), dose=rest[1])
        if name == "dose":
            ids, quantity, bound, number = rest
            named = self.exercises(ids)
            return say(f"effect-dose-{bound}", exercises=named, quantity=quantity, number=_number(number))
        if name in ("notice", "tell"):
            return say("effect-tells", message=rest[0], text=self.base.messages[rest[0]].strip())
        if name == "ask":
            return say("effect-ask", attribute=rest[0])
        if name == "side-first":
            return say("effect-side-first", exercises=self.exercises(rest[0]), side=self._side(rest[1]))
        if name == "limit":
            most = rest[1]
            number = say("effect-value-of", attribute=most[1]) if isinstance(most, tuple) else _number(most)
            return say("effect-limit", what=rest[0], number=number)
        if name == "days":
            days = words.join(figure(day) for day in rest[1])
            return say("effect-days", exercises=self.exercises(rest[0]), days=days, of=rest[2])
        if name == "spacing":
            message = "effect-spacing-before" if rest[2] else "effect-spacing"
            return say(message, exercises=self.exercises(rest[0]), hours=rest[1], load=rest[2])
        if name == "times-a-week":
            return say("effect-times-a-week", exercises=self.exercises(rest[0]), count=rest[1])
        if name == "way":
            return say("effect-way", exercise=words.exercise(rest[0]), number=rest[1])
        if name in ("stop", "refer"):
            return say(f"effect-{name}", when=say(f"effect-when-{rest[0]}"))
        return say("effect-hold")

    def fact(self, attribute: str, value: Any) -> str:
        """Return a fact in the names of the files."""
        return self.words.say("test-is", attribute=attribute, values=_number(value))

    def exercises(self, ids: Iterable[str]) -> str:
        """Return some exercises by their names: all of few, the first of many, with their number."""
        named = [self.words.exercise(id_) for id_ in ids]
        if named and len(named) == len(self.base.exercises):
            return self.words.say("exercises-all")
        if len(named) > MOST_NAMED:
            return self.words.say("exercises-many", names=", ".join(named[: MOST_NAMED - 2]), count=len(named))
        return self.words.join(named) or self.words.say("nothing")

    def quality(self, id_: str) -> str:
        """Return the name of a quality or muscle."""
        known = self.base.qualities.get(id_) or self.base.muscles.get(id_)
        return str(known.name) if known is not None else id_

    def _side(self, side: tuple[str, str]) -> str:
        how, what = side
        return (
            what
            if how == "is"
            else self.words.say(f"effect-{'opposite' if how != 'fact' else 'value'}-of", attribute=what)
        )

    def _whole(self, node: Node, inside: bool) -> str:
        kind, say = node[0], self.words.say
        if kind in ("all", "any"):
            if not node[1]:
                return say("test-always" if kind == "all" else "test-never")
            parts = self._joined_values(_apart(node, "any")) if kind == "any" else list(node[1])
            if len(parts) == 1:
                return self._whole(parts[0], inside)
            text = self.words.join(
                (self._whole(part, True) for part in parts), "list-and" if kind == "all" else "list-or"
            )
            return say("test-group", text=text) if inside else text
        if kind == "some":
            return say("test-some", count=node[1], tests="; ".join(self._whole(part, True) for part in node[2]))
        if kind == "not":
            if node[1][0] == "known":
                return say("test-unknown", attribute=node[1][1])
            return say("test-not", text=self._whole(node[1], True))
        if kind == "values":
            return say("test-is", attribute=node[1], values=self.words.join(map(_number, node[2]), "list-or"))
        if kind == "is":
            return self.fact(node[1], node[2])
        if kind == "known":
            return say("test-known", attribute=node[1])
        unit = self.base.attributes[node[1]].unit if kind == "number" else ""
        number = f"{_number(node[3])} {unit}".strip()
        return say(f"test-{kind}", attribute=node[1], how=say(f"test-{node[2]}"), number=number)

    def _joined_values(self, nodes: Iterable[Node]) -> list[Node]:
        """Several values of one attribute as one test of any of them."""
        values: dict[str, list[Any]] = {}
        found: list[Node] = []
        for node in nodes:
            if node[0] != "is":
                found.append(node)
            elif node[1] in values:
                values[node[1]].append(node[2])
            else:
                values[node[1]] = [node[2]]
                found.append(("values", node[1], values[node[1]]))
        return found


def _apart(node: Node, kind: str) -> Iterator[Node]:
    """The parts of a tree of one kind, however they are nested."""
    if node[0] != kind:
        yield node
        return
    for below in node[1]:
        yield from _apart(below, kind)


def _number(value: Any) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)
