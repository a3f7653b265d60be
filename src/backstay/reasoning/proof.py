"""Proof: why each finding holds, from the rules that fired and the facts that satisfied them.

    Firing   a rule, with a premise for each test that its condition rests on
    Held     a fact: said (with its words), measured (of said numbers), or made by a Firing
    Present  a premise that facts satisfy
    Absent   a premise that holds since something does not: SAID_OTHERWISE, NOT_SAID or NOT_CONCLUDED

One proof is given of each finding, and always the same one: a proof without assumptions before one that needs them; of
those the lowest; of equally low ones the first by the rule's id; inside a rule the alternative that stands first.

An absence is sound because all that could have made the fact present is complete by then (strata); it is a leaf, and
has no proof of its own. Does not put anything into words.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable
from typing import Any, NamedTuple

from backstay.knowledge.base import Node
from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import COMPARE, Atom, Value, value_order
from backstay.reasoning.engine import counted
from backstay.reasoning.ranks import ranks

SAID_OTHERWISE = "said otherwise"
NOT_SAID = "not said"
NOT_CONCLUDED = "nothing concludes it"


class Held(NamedTuple):
    """A fact that holds. Of `by` and `of`, at most one is there."""

    attribute: str
    value: Value
    standing: str
    words: str  # the asker's own, of what was said
    by: Firing | None  # the rule that concludes or assumes it
    of: tuple[Held, ...]  # the numbers that a measure was taken of
    height: int


class Present(NamedTuple):
    """A test that these facts pass."""

    test: Node
    facts: tuple[Held, ...]


class Absent(NamedTuple):
    """A test that nothing passes, and why not; `instead` is what does hold of its attribute."""

    test: Node
    kind: str
    instead: tuple[Held, ...]


class Firing(NamedTuple):
    """A rule that fires, with what its condition rests on."""

    rule: str
    premises: tuple[Present | Absent, ...]
    height: int


class _Premise(NamedTuple):
    """A premise before its facts are proven."""

    test: Node
    present: bool
    atoms: tuple[Atom, ...]


_Found = tuple[int, tuple[_Premise, ...]]


class Proofs:
    """All proofs of one case, each made when it is asked for."""

    def __init__(
        self,
        program: dict[str, Any],
        facts: tuple[Fact, ...],
        said: dict[str, dict[Value, None]],
        measured: tuple[str, ...],
        standing: dict[Atom, str],
        seeds: list[int],
        log: list[int],
        left: bytearray,
    ) -> None:
        self._program = program
        self._marks: tuple[int, int, int, int] = program["marks"]
        self._facts = {(fact.attribute, fact.value): fact for fact in facts}
        self._said = said
        self._measured = frozenset(measured)
        self._standing = standing
        self._own = {atom: atom for atom in standing}  # 3 may be tested as 3.0: what is shown is what was said
        self._values: dict[str, list[Value]] = {}
        for attribute, value in standing:
            self._values.setdefault(attribute, []).append(value)
        for values in self._values.values():
            values.sort(key=value_order)
        self._log = log
        self._ranks, self._taken_for_granted = ranks(program, said, seeds, log, left)
        self._gates = {self._name(gate): gate for gate in log if self._marks[0] <= gate < self._marks[2]}
        self._makers = self._find_makers()
        self._chosen: dict[int, tuple[_Premise, ...]] = {}
        self._made: dict[str | Atom, Firing | Held] = {}

    # What is asked

    def rule(self, rule: str) -> Firing | None:
        """The proof that a rule fires."""
        if rule not in self._gates:
            return None
        firing = self._prove(rule)
        assert isinstance(firing, Firing)
        return firing

    def fact(self, attribute: str, value: Value) -> Held | None:
        """The proof of a fact."""
        if (attribute, value) not in self._standing:
            return None
        held = self._prove((attribute, value))
        assert isinstance(held, Held)
        return held

    def assumed_by(self, rule: str) -> tuple[Atom, ...]:
        """What was taken for granted on the way to a rule's firing."""
        gate = self._gates.get(rule)
        if gate is None or self._ranks[gate] < self._taken_for_granted:
            return ()
        atoms = {node for node in self._below(rule) if isinstance(node, tuple) and self._standing[node] == "assumed"}
        return tuple(sorted(atoms, key=lambda atom: (atom[0], value_order(atom[1]))))

    def grounds(self, gate: int) -> tuple[Atom, ...]:
        """The facts that the premises of a rule rest on."""
        return tuple(dict.fromkeys(atom for premise in self._premises(gate) for atom in premise.atoms))

    # The order in which things can be proven

    def _find_makers(self) -> dict[Atom, list[tuple[int, str]]]:
        """The rules that make each fact in the standing that it has, as (rank, id)."""
        makers: dict[Atom, list[tuple[int, str]]] = {}
        up, atoms, claims = self._program["up"], self._program["atoms"], self._program["claims"]
        claimed, _, first, end = self._marks
        for rule, gate in self._gates.items():
            for head in up[gate]:
                # A rule touches its fact, or a claim that touches it.
                atom = atoms[(head if first <= head < end else up[head][0]) - first]
                if self._standing.get(atom) == (claims[head][2] if head < claimed else "concluded"):
                    makers.setdefault(atom, []).append((self._ranks[gate], rule))
        return makers

    def _rank(self, atom: Atom) -> int:
        if atom[0] in self._said:
            values = self._said[atom[0]]
            if atom[1] in values:
                return 0
        return self._ranks[self._program["plan"][atom[0]][1][atom[1]]]

    def _name(self, gate: int) -> str:
        name: str = self._program["rules"][gate - self._marks[0]]
        return name

    # What a finding rests on

    def _below(self, goal: str | Atom) -> set[str | Atom]:
        """The goal and all rules and facts in its proof."""
        seen: set[str | Atom] = {goal}
        stack: list[str | Atom] = [goal]
        while stack:
            for node in self._grounds(stack.pop()):
                if node not in seen:
                    seen.add(node)
                    stack.append(node)
        return seen

    def _grounds(self, goal: str | Atom) -> Iterable[str | Atom]:
        if isinstance(goal, str):
            return [atom for premise in self._premises(self._gates[goal]) for atom in premise.atoms]
        standing = self._standing[goal]
        if standing == "said":
            return []
        return self._operands(goal[0]) if standing == "measured" else [self._maker(goal)]

    def _operands(self, name: str) -> list[Atom]:
        for first, rows in self._program["measures"].items():
            for measure, second, _ in rows:
                if measure == name:
                    return [(attribute, next(iter(self._said[attribute]))) for attribute in (first, second)]
        raise KeyError(name)

    def _maker(self, atom: Atom) -> str:
        return min(self._makers[atom])[1]

    def _premises(self, gate: int) -> tuple[_Premise, ...]:
        chosen = self._chosen.get(gate)
        if chosen is None:
            facts = self._program["grounds"][gate - self._marks[0]]
            if facts is None:
                chosen = self._choose(gate)
            else:
                chosen = tuple([_Premise(("is", *atom), True, (self._own[atom],)) for atom in facts])
            self._chosen[gate] = chosen
        return chosen

    def _choose(self, gate: int) -> tuple[_Premise, ...]:
        when, unless, _, _ = marshal.loads(self._program["trees"][gate - self._marks[0]])
        rank = self._ranks[gate]
        for_it, against = self._shown(when, True, rank), self._shown(unless, False, rank)
        assert for_it is not None, f"{self._name(gate)} fired without a proof"
        assert against is not None, f"{self._name(gate)} fired against its guard"
        return tuple(dict.fromkeys((*for_it[1], *against[1])))

    def _shown(self, node: Node, wanted: bool, before: int) -> _Found | None:
        """What shows that a condition holds (or fails) by facts below a rank, after the highest rank of theirs."""
        kind = node[0]
        if kind == "is":
            own = self._own.get((node[1], node[2]))
            if own is None or not wanted:
                return None if wanted or own is not None else (0, (_Premise(node, False, ()),))
            rank = self._rank(own)
            return (rank, (_Premise(node, True, (own,)),)) if rank < before else None
        if kind == "not":
            return self._shown(node[1], not wanted, before)
        if (kind == "all" and wanted) or (kind == "any" and not wanted):
            return self._united([self._shown(child, wanted, before) for child in node[1]])
        if kind in ("all", "any", "some"):
            children = node[-1]
            least = {"all": len(children), "any": 1, "some": node[1]}[kind]
            if not wanted:
                least = len(children) - least + 1
            return self._least(least, [self._shown(child, wanted, before) for child in children])
        if kind == "count":
            atoms = tuple((node[1], value) for value in self._values.get(node[1], ()))
            if counted(node[2], len(atoms), node[3]) != wanted:
                return None
            return max(map(self._rank, atoms), default=0), (_Premise(node, wanted, atoms if wanted else ()),)
        passing = self._passing(node)
        if not wanted:
            return None if passing else (0, (_Premise(node, False, ()),))
        ranked = [(self._rank(atom), place) for place, atom in enumerate(passing)]
        rank, place = min(ranked, default=(before, 0))
        return (rank, (_Premise(node, True, (passing[place],)),)) if rank < before else None

    @staticmethod
    def _least(least: int, found: list[_Found | None]) -> _Found | None:
        """The lowest `least` of some, in their order."""
        places = sorted((item[0], place) for place, item in enumerate(found) if item is not None)
        if len(places) < least:
            return None
        return Proofs._united([found[place] for place in sorted(place for _, place in places[: max(0, least)])])

    @staticmethod
    def _united(found: list[_Found | None]) -> _Found | None:
        """All of some, in their order."""
        highest = 0
        premises: tuple[_Premise, ...] = ()
        for item in found:
            if item is None:
                return None
            highest = max(highest, item[0])
            premises += item[1]
        return highest, premises

    def _passing(self, test: Node) -> list[Atom]:
        """The facts that pass a known or number test, in order of value."""
        kind, attribute = test[0], test[1]
        values = self._values.get(attribute, [])
        if kind == "number":
            compare = COMPARE[test[2]]
            values = [value for value in values if not isinstance(value, str) and compare(value, test[3])]
        return [(attribute, value) for value in values]

    # The proof itself

    def _prove(self, goal: str | Atom) -> Firing | Held:
        if goal not in self._made:
            for node in sorted(self._below(goal) - self._made.keys(), key=self._proof_order):
                self._made[node] = self._firing(node) if isinstance(node, str) else self._fact(node)
        return self._made[goal]

    def _proof_order(self, node: str | Atom) -> tuple[int, int]:
        """What is said, then measures of it, then by rank a rule before the facts that it makes."""
        if isinstance(node, str):
            return self._ranks[self._gates[node]], 0
        return self._rank(node), 2 if node[0] in self._measured else 1

    def _firing(self, rule: str) -> Firing:
        premises = tuple(
            Present(test, tuple(self._made_fact(atom) for atom in atoms)) if present else self._absent(test)
            for test, present, atoms in self._premises(self._gates[rule])
        )
        below = (held.height for premise in premises if isinstance(premise, Present) for held in premise.facts)
        return Firing(rule, premises, 1 + max(below, default=0))

    def _fact(self, atom: Atom) -> Held:
        standing = self._standing[atom]
        if standing == "said":
            return Held(*atom, standing, self._facts[atom].words, None, (), 0)
        if standing == "measured":
            return Held(*atom, standing, "", None, tuple(map(self._made_fact, self._operands(atom[0]))), 0)
        firing = self._made[self._maker(atom)]
        assert isinstance(firing, Firing)
        return Held(*atom, standing, "", firing, (), firing.height)

    def _made_fact(self, atom: Atom) -> Held:
        held = self._made[atom]
        assert isinstance(held, Held)
        return held

    def _absent(self, test: Node) -> Absent:
        """Why a test fails. What holds instead has no proof here, since the absence does not rest on it."""
        attribute = test[1]
        instead = tuple(
            Held(attribute, value, self._standing[attribute, value], self._words((attribute, value)), None, (), 0)
            for value in self._values.get(attribute, ())
        )
        return Absent(test, self.absence(test), instead)

    def _words(self, atom: Atom) -> str:
        fact = self._facts.get(atom)
        return fact.words if fact is not None else ""

    def absence(self, test: Node) -> str:
        """Which of the three kinds of absence makes a test fail."""
        attribute = test[1]
        entry = self._program["plan"].get(attribute)
        one_value = entry is not None and entry[0]
        if attribute in self._said and (one_value or test[0] in ("number", "count")):
            return SAID_OTHERWISE
        return NOT_CONCLUDED if self.derivable(test) else NOT_SAID

    def derivable(self, test: Node) -> tuple[Atom, ...]:
        """What rules could conclude or assume that passes a test; of a known or count test all of its attribute."""
        atoms, first = self._program["atoms"], self._marks[2]
        derived: list[Atom] = [atoms[gate - first] for gate in self._program["derived"].get(test[1], ())]
        if test[0] == "is":
            return tuple(atom for atom in derived if atom[1] == test[2])
        if test[0] == "number":
            compare = COMPARE[test[2]]
            return tuple(atom for atom in derived if not isinstance(atom[1], str) and compare(atom[1], test[3]))
        return tuple(derived)
