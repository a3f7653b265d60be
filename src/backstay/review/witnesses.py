"""Witnesses: for each rule the plainest facts with which it fires.

What a rule's condition asks for is put together from what can be told, through other rules where only these conclude
it; the fewest facts come first, and none is given that was not run. Of what must be absent nothing is told. A handful
of ways is tried of each part, not all there are: a rule that is not reached so may still fire in a walk.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, product

from backstay.knowledge.base import Base, Node
from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import COMPARE, Atom, Value, simplify
from backstay.reasoning.answers import possible
from backstay.reasoning.engine import conclude, measure
from backstay.review.dimensions import Dimension
from backstay.review.rules import parsed_rules

WANT = "want"
USUAL = Fact(WANT, "recommend")
EACH = 8  # ways kept of each part of a condition
TRIED = 64  # ways put together of all parts, and run
DEPTH = 4  # rules upon rules
FIGURES = (0, 1, 5, 10, 30, 50, 60, 90, 100, 120, 180)  # of what a measure is taken of
Told = tuple[Atom, ...]


def witnesses(bases: Sequence[Base], dimensions: Iterable[Dimension]) -> tuple[tuple[Told, ...], tuple[str, ...]]:
    """Return the facts, each once, with those of nothing told first, and the rules for which none were found."""
    told = frozenset({WANT, *(name for one in dimensions for name, _ in one.values)})
    found: dict[Told, None] = {(): None}
    unreached: dict[str, None] = {}
    for base in bases:
        search = _Search(base, told)
        for rule in base.rules:
            facts = search.facts_for(rule)
            if facts is None:
                unreached[rule] = None
            else:
                found[facts] = None
    return tuple(found), tuple(unreached)


class _Search:
    def __init__(self, base: Base, told: frozenset[str]) -> None:
        self._base = base
        self._told = told
        self._makers: dict[str, dict[Atom, list[str]]] = marshal.loads(base.program["makers"])
        self._conditions = {
            rule.id: simplify(("all", (rule.when, ("not", rule.unless or ("any", ()))))) for rule in parsed_rules(base)
        }
        self._known: dict[tuple[Node, int], list[Told]] = {}

    def facts_for(self, rule: str) -> Told | None:
        for facts in self._ways(self._conditions[rule], DEPTH, TRIED):
            said = [Fact(*atom) for atom in facts]
            if not any(fact.attribute == WANT for fact in said):
                said.append(USUAL)
            if rule in conclude(self._base, said).fired:
                return facts
        return None

    def _ways(self, node: Node, depth: int, most: int = EACH) -> list[Told]:
        """Facts with which a condition may hold, the fewest first."""
        known = self._known.get((node, depth)) if most == EACH else None
        if known is None:
            ways = dict.fromkeys(tuple(dict.fromkeys(way)) for way in islice(self._found(node, depth), 4 * most))
            known = sorted(ways, key=len)[:most]
            if most == EACH:
                self._known[node, depth] = known
        return known

    def _found(self, node: Node, depth: int) -> Iterator[Told]:
        kind = node[0]
        if kind == "not":
            yield ()
        elif kind == "all":
            yield from self._together([self._ways(part, depth) for part in node[1]])
        elif kind == "any":
            for part in node[1]:
                yield from self._ways(part, depth)
        elif kind == "some":
            parts = sorted((self._ways(part, depth) for part in node[2]), key=lambda ways: len(ways[0]) if ways else 99)
            yield from self._together(parts[: node[1]])
            yield from self._together(parts[-node[1] :])
        else:
            yield from self._passing(node, depth)

    def _together(self, parts: Sequence[list[Told]]) -> Iterator[Told]:
        for ways in product(*parts):
            yield tuple(atom for way in ways for atom in way)

    def _passing(self, test: Node, depth: int) -> Iterator[Told]:
        """Ways to make one test pass."""
        kind, attribute = test[0], test[1]
        if attribute in self._told and attribute in self._base.attributes:
            if kind == "count":
                wanted = int(test[3]) + (test[2] == "above")
                yield tuple((attribute, value) for value in self._base.attributes[attribute].values[:wanted])
            else:
                yield from (((attribute, value),) for value in self._values(test))
        for made in self._base.measures.values():
            if made.measure == attribute and kind == "number":
                yield from self._measured(test, made.of, made.how)
        if depth and kind != "count":
            for standing in self._makers.values():
                for atom, rules in standing.items():
                    if atom[0] == attribute and _passes(test, atom[1]):
                        for rule in rules:
                            yield from self._ways(self._conditions[rule], depth - 1)

    def _values(self, test: Node) -> Iterator[Value]:
        if test[0] == "is":
            yield test[2]
        elif test[0] == "known":
            yield from (value for _, value in possible(self._base, test[1])[:EACH])
        else:
            bound = test[3]
            yield from (figure for figure in (bound, bound + 1, bound - 1) if _passes(test, figure))

    def _measured(self, test: Node, of: tuple[str, str], how: str) -> Iterator[Told]:
        for one, other in product(FIGURES, FIGURES):
            figure = measure(how, one, other)
            if figure is not None and _passes(test, figure):
                yield (of[0], one), (of[1], other)


def _passes(test: Node, value: Value) -> bool:
    if test[0] == "known":
        return True
    if test[0] == "is":
        return bool(test[2] == value)
    return not isinstance(value, str) and COMPARE[test[2]](value, test[3])
