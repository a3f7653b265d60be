"""Strata: what must be complete before what, and the cycles that make that impossible.

Each (attribute, value) that some rule concludes or assumes passes three stations, and each gets a level:

    concluded   some rule concludes it
    assumed     some rule assumes it; strictly above everything that concludes its attribute
    held        it counts for conditions; of an attribute with one value, strictly above every more cautious claim,
                because only the most cautious one is held

A test below `not`, `unless` or `count` (`known: false` is a `not`) stands strictly above what it tests; every other
merely not below it. What no rule concludes or assumes is complete before the first rule and has no level.

Does not run rules. A cycle through a strict step has no one least model: it is a ProgramError.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain, islice
from typing import NamedTuple

from backstay.knowledge.base import Node, ParsedRule
from backstay.knowledge.trees import COMPARE, Atom, leaves, value_order

MOST_EDGES = 2_000_000
CONCLUDED, ASSUMED, HELD = "concluded", "assumed", "held"
Station = tuple[str, Atom]


class Step(NamedTuple):
    """One step of a cycle: `gives` waits for `needs`, by a rule, or (rule == "") since an attribute holds one value."""

    rule: str
    place: tuple[str, int, int]
    way: str  # "" | unless | not | count | assume | one-value: anything but "" closes the cycle
    needs: Atom
    gives: Atom


class Cycle(NamedTuple):
    """Facts that wait for their own absence, step by step; the first step is one that closes it."""

    steps: tuple[Step, ...]

    @property
    def rules(self) -> tuple[str, ...]:
        """The ids of the rules in it, each once, in the order of the steps."""
        return tuple(dict.fromkeys(step.rule for step in self.steps if step.rule))


class ProgramError(ValueError):
    """The rules have no one least model; `cycles` says which of them wait for each other, one cycle for each knot.

    Without a cycle: more of them look at what others conclude than can be put in order.
    """

    def __init__(self, cycles: Iterable[Cycle]) -> None:
        self.cycles = tuple(cycles)
        super().__init__("; ".join(" -> ".join(cycle.rules) for cycle in self.cycles))


class Strata(NamedTuple):
    """The level of each station; what is not in here is complete before the first rule."""

    held: dict[Atom, int]
    concluded: dict[Atom, int]
    assumed: dict[Atom, int]
    derived: dict[str, tuple[Atom, ...]]  # attribute -> what rules can conclude or assume of it, in order of value

    def tested(self, leaf: Node) -> Iterator[Atom]:
        """What rules can derive that this test looks at."""
        kind, attribute = leaf[0], leaf[1]
        atoms = self.derived.get(attribute, ())
        if kind == "is":
            return (atom for atom in atoms if atom[1] == leaf[2])
        if kind == "number":
            passes = COMPARE[leaf[2]]
            return (atom for atom in atoms if not isinstance(atom[1], str) and passes(atom[1], leaf[3]))
        return iter(atoms)

    def after(self, leaf: Node) -> int:
        """The first level on which all that this test looks at is complete."""
        return max((self.held[atom] + 1 for atom in self.tested(leaf)), default=0)

    def during(self, leaf: Node) -> int:
        """The level by whose end all that this test looks at is complete; -1: before the first rule."""
        return max((self.held[atom] for atom in self.tested(leaf)), default=-1)


class _Edge(NamedTuple):
    needs: Station
    gives: Station
    rule: ParsedRule | None
    way: str


def stratify(
    rules: Iterable[tuple[ParsedRule, Node]], single: Callable[[str], bool], caution: Callable[[Atom], object]
) -> Strata:
    """The levels of rules, each given with its simplified condition; `caution` orders values by which leads."""
    rules = tuple(rules)
    claims: dict[str, dict[Station, None]] = {}
    for rule, _ in rules:
        for atom in rule.concludes:
            claims.setdefault(atom[0], {})[CONCLUDED, atom] = None
        for atom in rule.assumes:
            claims.setdefault(atom[0], {})[ASSUMED, atom] = None
    derived = {
        attribute: tuple(sorted({atom for _, atom in stations}, key=lambda atom: value_order(atom[1])))
        for attribute, stations in claims.items()
    }
    strata = Strata({}, {}, {}, derived)
    every = chain(_edges_of_rules(rules, strata), _edges_of_claims(rules, claims, single, caution))
    edges = list(islice(every, MOST_EDGES))
    if next(every, None) is not None:
        raise ProgramError(())
    stations = [station for group in claims.values() for station in group]
    stations += [(HELD, atom) for atoms in derived.values() for atom in atoms]
    levels = _levels(sorted(stations, key=_station_order), edges)
    tables = {HELD: strata.held, CONCLUDED: strata.concluded, ASSUMED: strata.assumed}
    for (name, atom), level in levels.items():
        tables[name][atom] = level
    return strata


def _station_order(station: Station) -> tuple[str, tuple[int, object], str]:
    name, (attribute, value) = station
    return attribute, value_order(value), name


def _edges_of_rules(rules: Iterable[tuple[ParsedRule, Node]], strata: Strata) -> Iterator[_Edge]:
    for rule, condition in rules:
        heads: list[Station] = [(CONCLUDED, atom) for atom in rule.concludes]
        heads += [(ASSUMED, atom) for atom in rule.assumes]
        if not heads:
            continue
        unless = frozenset() if rule.unless is None else frozenset(leaf for leaf, _ in leaves(rule.unless))
        for leaf, way in leaves(condition):
            word = "unless" if way == "not" and leaf in unless else way
            for atom in strata.tested(leaf):
                for head in heads:
                    yield _Edge((HELD, atom), head, rule, word)


def _edges_of_claims(
    rules: Iterable[tuple[ParsedRule, Node]],
    claims: Mapping[str, Mapping[Station, None]],
    single: Callable[[str], bool],
    caution: Callable[[Atom], object],
) -> Iterator[_Edge]:
    for attribute, stations in claims.items():
        for station in stations:
            name, atom = station
            yield _Edge(station, (HELD, atom), None, "")
            if not single(attribute):
                continue
            for rival in stations:
                if rival[0] == name and caution(rival[1]) < caution(atom):  # type: ignore[operator]
                    yield _Edge(rival, (HELD, atom), None, "one-value")
    for rule, _ in rules:
        for atom in rule.assumes:
            for station in claims[atom[0]]:
                if station[0] == CONCLUDED:
                    yield _Edge(station, (ASSUMED, atom), rule, "assume")


def _levels(stations: list[Station], edges: list[_Edge]) -> dict[Station, int]:
    forward: dict[Station, list[_Edge]] = {station: [] for station in stations}
    backward: dict[Station, list[_Edge]] = {station: [] for station in stations}
    for edge in edges:
        forward[edge.needs].append(edge)
        backward[edge.gives].append(edge)
    knots = _knots(stations, forward)
    knot_of = {station: number for number, knot in enumerate(knots) for station in knot}
    cycles = []
    levels: dict[Station, int] = {}
    for number, knot in enumerate(knots):
        inner = [edge for station in knot for edge in backward[station] if knot_of[edge.needs] == number]
        if any(edge.way for edge in inner):
            cycles.append(_shortest(inner))
        level = max(
            (
                levels[edge.needs] + bool(edge.way)
                for station in knot
                for edge in backward[station]
                if knot_of[edge.needs] != number
            ),
            default=0,
        )
        levels.update(dict.fromkeys(knot, level))
    if cycles:
        raise ProgramError(sorted(cycles, key=lambda cycle: (len(cycle.steps), cycle.rules)))
    return levels


def _knots(stations: list[Station], forward: Mapping[Station, list[_Edge]]) -> list[list[Station]]:
    """Strongly connected parts, each after all that it waits for (Tarjan's method, with a stack of its own)."""
    found: list[list[Station]] = []
    index: dict[Station, int] = {}
    low: dict[Station, int] = {}
    stack: list[Station] = []
    on_stack: set[Station] = set()
    for root in stations:
        if root in index:
            continue
        work = [(root, iter(forward[root]))]
        index[root] = low[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        while work:
            station, rest = work[-1]
            for edge in rest:
                after = edge.gives
                if after not in index:
                    index[after] = low[after] = len(index)
                    stack.append(after)
                    on_stack.add(after)
                    work.append((after, iter(forward[after])))
                    break
                if after in on_stack:
                    low[station] = min(low[station], index[after])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[station])
                if low[station] == index[station]:
                    knot = [stack.pop()]
                    while knot[-1] != station:
                        knot.append(stack.pop())
                    on_stack.difference_update(knot)
                    found.append(knot)
    found.reverse()
    return found


def _shortest(inner: list[_Edge]) -> Cycle:
    """The shortest cycle through a strict edge of a knot; of equal ones the first by its rules' ids."""
    forward: dict[Station, list[_Edge]] = {}
    for edge in sorted(inner, key=_edge_order):
        forward.setdefault(edge.needs, []).append(edge)
    best: tuple[tuple[int, tuple[str, ...]], Cycle] | None = None
    for closing in sorted((edge for edge in inner if edge.way), key=_edge_order):
        cycle = Cycle(tuple(_steps([closing, *_path(closing.gives, closing.needs, forward)])))
        order = (len(cycle.steps), cycle.rules)
        if best is None or order < best[0]:
            best = (order, cycle)
    assert best is not None
    return best[1]


def _edge_order(edge: _Edge) -> tuple[str, str, object, object]:
    return edge.rule.id if edge.rule else "", edge.way, _station_order(edge.needs), _station_order(edge.gives)


def _path(start: Station, goal: Station, forward: Mapping[Station, list[_Edge]]) -> list[_Edge]:
    came: dict[Station, _Edge | None] = {start: None}
    queue = deque([start])
    while goal not in came:
        for edge in forward[queue[0]]:
            if edge.gives not in came:
                came[edge.gives] = edge
                queue.append(edge.gives)
        queue.popleft()
    path: list[_Edge] = []
    while (edge_back := came[goal]) is not None:
        path.append(edge_back)
        goal = edge_back.needs
    path.reverse()
    return path


def _steps(edges: Iterable[_Edge]) -> Iterator[Step]:
    for edge in edges:
        if edge.rule is not None or edge.way:
            name, place = (edge.rule.id, edge.rule.place) if edge.rule is not None else ("", ("", 0, 0))
            yield Step(name, place, edge.way, edge.needs[1], edge.gives[1])
