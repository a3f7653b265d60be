"""Program: the rules as plain data that reasoning runs without a further check.

compile_program(attributes, measures, rules) gives a dict that marshal can write:

    left     bytes: how many touches each gate still needs
    up       for each gate, the gates that it touches when it is satisfied
    marks    (q, s, r, a): gates below q are guarded claims, q to s rules with a guard, s to r other rules, r to a facts
    guards   for each gate below s: (level, deny, codes, open): from that level on it passes if no gate of `deny` is
             satisfied and all codes hold; an open one may come to pass later, within or after its level
    bare     gates satisfied before any fact, with a guard or without
    rules    the id of each rule gate from q on
    atoms    the (attribute, value) of each fact gate from r on
    claims   for each gate below q: (attribute, value, standing) it would make held
    rivals   attribute with one value -> what rules can claim of it, what would lead first: (gate, value, standing)
    plan     attribute -> (single, value gates, known gate or -1, lower bounds, upper bounds, gates blocked when it is
             said, cautious order); bounds are (figures in order, gates)
    measures first attribute -> ((measure, second attribute, how), …)
    derived  attribute -> the fact gates that rules can conclude or assume
    grounds  for each rule whose condition is nothing but facts that must all hold: those facts; for others None
    trees    for each rule, marshalled: (when, unless, concludes, assumes), for proofs
    makers   marshalled as a whole: standing -> (attribute, value) -> the rules that conclude or assume it

Laws 1 to 3 are settled here: strata, what is said against what is concluded, one value at a time. Names and units are
not checked here, and effects are not read.
"""

from __future__ import annotations

import marshal
import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any, Protocol

from backstay.knowledge.base import Measure, Node, ParsedRule
from backstay.knowledge.network import Code, Network, pure
from backstay.knowledge.strata import ASSUMED, CONCLUDED, Cycle, ProgramError, Step, Strata, stratify
from backstay.knowledge.trees import COMPARE, NEVER, Atom, Value, caution, simplify, value_order

__all__ = ["Cycle", "ParsedRule", "ProgramError", "Step", "compile_program"]

Guard = tuple[int, tuple[int, ...], tuple[Code, ...], bool]


class Described(Protocol):
    """What the program needs to know of an attribute; base.Attribute is one."""

    @property
    def kind(self) -> str:
        """One, many, number, map or records."""
        ...

    @property
    def cautious(self) -> tuple[str, ...]:
        """The most cautious value first; of a number, `lowest` if less is more cautious."""
        ...


def compile_program(
    attributes: Mapping[str, Described], measures: Iterable[Measure], rules: Iterable[ParsedRule]
) -> dict[str, Any]:
    """The rules as plain data; raises ProgramError where they have no one least model. Order changes nothing."""
    return _Compiler(attributes, measures, rules).program()


class _Compiler:
    def __init__(
        self, attributes: Mapping[str, Described], measures: Iterable[Measure], rules: Iterable[ParsedRule]
    ) -> None:
        self.attributes = attributes
        self.measures = sorted(measures)
        self.measured = frozenset(measure.measure for measure in self.measures)
        self.rules = tuple(sorted(rules, key=lambda rule: rule.id))
        self.conditions = [simplify(("all", (rule.when, ("not", rule.unless or NEVER)))) for rule in self.rules]
        self.strata: Strata = stratify(zip(self.rules, self.conditions, strict=True), self.single, self.caution)
        self.net = Network(self.single)
        self.guards: dict[int, Guard] = {}
        self.bare: list[int] = []
        self.claims: dict[int, tuple[str, Value, str]] = {}

    def single(self, attribute: str) -> bool:
        described = self.attributes.get(attribute)
        return described.kind in ("one", "number") if described is not None else attribute in self.measured

    def caution(self, atom: Atom) -> tuple[int, Value]:
        described = self.attributes.get(atom[0])
        return caution(described.cautious if described is not None else (), atom[1])

    def program(self) -> dict[str, Any]:
        net = self.net
        gates = [self._rule(condition) for condition in self.conditions]
        heads = self._heads()
        for rule, gate in zip(self.rules, gates, strict=True):
            for atom in rule.concludes:
                net.up[gate].append(heads[CONCLUDED, atom])
            for atom in rule.assumes:
                net.up[gate].append(heads[ASSUMED, atom])
        for rule in self.rules:  # every fact has a gate, also one that no condition tests
            for atom in (*rule.concludes, *rule.assumes):
                net.atom(atom)
        for (attribute, value), gate in net.atoms.items():
            net.up[gate] += self._wider(attribute, value)
        return self._numbered(gates, heads)

    def _rule(self, condition: Node) -> int:
        """The gate of a rule's condition: what must hold counts, what must not is looked at when the rest holds."""
        if condition == NEVER:
            return self.net.gate(1)
        parts = condition[1] if condition[0] == "all" else (condition,)
        counted = [part for part in parts if pure(part)]
        others = [part for part in parts if not pure(part)]
        gate = self.net.together([self.net.group(part) for part in counted])
        if not counted:
            self.bare.append(gate)
        if others:
            self.guards[gate] = self._guard(others, bare=not counted)
        return gate

    def _guard(self, parts: Iterable[Node], bare: bool) -> Guard:
        deny: list[int] = []
        codes: list[Code] = []
        level, latest = 0, -1
        for part in parts:
            for leaf, below, strict in _tested(part):
                if strict:
                    level = max(level, self.strata.after(leaf))
                elif below:
                    latest = max(latest, self.strata.during(leaf))
            inner = part[1] if part[0] == "not" else None
            # A guard that is always looked at is better counted along than read anew each time.
            if inner is not None and pure(inner) and (bare or inner[0] in ("is", "known", "number")):
                deny.append(self.net.of(inner))
            else:
                codes.append(self.net.code(part))
        return level, tuple(deny), tuple(codes), latest >= level

    def _heads(self) -> dict[tuple[str, Atom], int]:
        """The gate that a rule touches to conclude or assume a fact."""
        net, strata = self.net, self.strata
        heads: dict[tuple[str, Atom], int] = {}
        for attribute, atoms in strata.derived.items():
            concluded = [atom for atom in atoms if atom in strata.concluded]
            assumed = [atom for atom in atoms if atom in strata.assumed]
            single = self.single(attribute)
            for atom in concluded:
                if not single and not assumed:
                    heads[CONCLUDED, atom] = net.atom(atom)
                else:
                    heads[CONCLUDED, atom] = net.gate(1)
                    net.up[heads[CONCLUDED, atom]].append(net.atom(atom))
            for atom in assumed:
                heads[ASSUMED, atom] = net.gate(1)
                net.up[heads[ASSUMED, atom]].append(net.atom(atom))
            above = tuple(heads[CONCLUDED, atom] for atom in concluded)
            for standing, group, levels in (
                (CONCLUDED, concluded, strata.concluded),
                (ASSUMED, assumed, strata.assumed),
            ):
                for atom in group:
                    rivals = [rival for rival in group if single and self.caution(rival) < self.caution(atom)]
                    if rivals or standing == ASSUMED:
                        gate = heads[standing, atom]
                        level = max((levels[rival] + 1 for rival in rivals), default=0)
                        deny = tuple(heads[standing, rival] for rival in rivals)
                        if standing == ASSUMED:
                            level = max([level, *(strata.concluded[other] + 1 for other in concluded)])
                            deny += above
                        self.guards[gate] = (level, deny, (), False)
                        self.claims[gate] = (*atom, standing)
        return heads

    def _wider(self, attribute: str, value: Value) -> list[int]:
        """The gates of tests that this value passes without being named in them."""
        wider = [gate for (name, op, figure), gate in self.net.bounds.items()
                 if name == attribute and not isinstance(value, str) and COMPARE[op](value, figure)]  # fmt: skip
        return [*wider, self.net.known[attribute]] if attribute in self.net.known else wider

    def _numbered(self, gates: list[int], heads: Mapping[tuple[str, Atom], int]) -> dict[str, Any]:
        """The program, with the gates renumbered by kind, so that a number alone tells what a gate is."""
        net = self.net
        claims = sorted(self.claims, key=lambda gate: _claim_order(self.claims[gate]))
        ids = dict(zip(gates, (rule.id for rule in self.rules), strict=True))
        guarded = [gate for gate in gates if gate in self.guards]
        plain = [gate for gate in gates if gate not in self.guards]
        atoms = sorted(net.atoms, key=lambda atom: (atom[0], value_order(atom[1])))
        order = [*claims, *guarded, *plain, *(net.atoms[atom] for atom in atoms)]
        same = {atom: atom for atom in atoms}  # so that marshal writes each fact once
        placed = frozenset(order)
        order += [gate for gate in range(len(net.need)) if gate not in placed]
        new = {old: number for number, old in enumerate(order)}
        by_id = {rule.id: rule for rule in self.rules}
        conditions = {rule.id: condition for rule, condition in zip(self.rules, self.conditions, strict=True)}
        names = tuple(ids[gate] for gate in (*guarded, *plain))
        s = len(claims) + len(guarded)
        return {
            "left": bytes(net.need[gate] for gate in order),
            "up": tuple(tuple(new[above] for above in net.up[gate]) for gate in order),
            "marks": (len(claims), s, s + len(plain), s + len(plain) + len(atoms)),
            "guards": tuple(_renumbered(self.guards[gate], new) for gate in order[:s]),
            "bare": tuple(sorted(new[gate] for gate in self.bare)),
            "rules": names,
            "atoms": tuple(atoms),
            "claims": tuple(self.claims[gate] for gate in claims),
            "rivals": self._rivals(heads, new),
            "plan": self._plan(heads, new),
            "measures": self._measures(),
            "derived": {
                attribute: tuple(new[net.atoms[atom]] for atom in group)
                for attribute, group in sorted(self.strata.derived.items())
            },
            "grounds": tuple(_grounds(conditions[name], same) for name in names),
            "trees": tuple(marshal.dumps(_tree(by_id[name])) for name in names),
            "makers": marshal.dumps(self._makers()),
        }

    def _makers(self) -> dict[str, dict[Atom, list[str]]]:
        makers: dict[str, dict[Atom, list[str]]] = {CONCLUDED: {}, ASSUMED: {}}
        for rule in self.rules:
            for standing, atoms in ((CONCLUDED, rule.concludes), (ASSUMED, rule.assumes)):
                for atom in dict.fromkeys(atoms):
                    makers[standing].setdefault(atom, []).append(rule.id)
        return makers

    def _rivals(
        self, heads: Mapping[tuple[str, Atom], int], new: Mapping[int, int]
    ) -> dict[str, tuple[tuple[int, Value, str], ...]]:
        """For each attribute with one value and more than one claim: the claims, those that lead first."""
        found: dict[str, tuple[tuple[int, Value, str], ...]] = {}
        for attribute, atoms in sorted(self.strata.derived.items()):
            if self.single(attribute) and len(atoms) > 1:
                ordered = sorted(atoms, key=self.caution)
                found[attribute] = tuple(
                    (new[heads[standing, atom]], atom[1], standing)
                    for standing in (CONCLUDED, ASSUMED)
                    for atom in ordered
                    if (standing, atom) in heads
                )
        return found

    def _plan(self, heads: Mapping[tuple[str, Atom], int], new: Mapping[int, int]) -> dict[str, tuple[Any, ...]]:
        net = self.net
        values: dict[str, dict[Value, int]] = {}
        for (attribute, value), gate in sorted(net.atoms.items(), key=lambda item: item[1]):
            values.setdefault(attribute, {})[value] = new[gate]
        bounds: dict[str, tuple[list[tuple[float, int]], list[tuple[float, int]]]] = {}
        for (attribute, op, figure), gate in net.bounds.items():
            lower, upper = bounds.setdefault(attribute, ([], []))
            # A strict bound is the next float's bound that is not strict.
            if op in ("at-least", "above"):
                lower.append((figure if op == "at-least" else math.nextafter(figure, math.inf), new[gate]))
            else:
                upper.append((figure if op == "at-most" else math.nextafter(figure, -math.inf), new[gate]))
        blocked: dict[str, list[int]] = {}
        for (standing, (attribute, _)), gate in heads.items():
            if standing == ASSUMED or self.single(attribute):
                blocked.setdefault(attribute, []).append(new[gate])
        plan: dict[str, tuple[Any, ...]] = {}
        for attribute in sorted({*self.attributes, *self.measured, *values, *bounds, *net.known, *blocked}):
            described = self.attributes.get(attribute)
            lower, upper = bounds.get(attribute, ([], []))
            plan[attribute] = (
                self.single(attribute),
                values.get(attribute, {}),
                new[net.known[attribute]] if attribute in net.known else -1,
                _columns(lower),
                _columns(upper),
                tuple(sorted(blocked.get(attribute, ()))),
                described.cautious if described is not None else (),
            )
        return plan

    def _measures(self) -> dict[str, tuple[tuple[str, str, str], ...]]:
        found: dict[str, list[tuple[str, str, str]]] = {}
        for measure in self.measures:
            found.setdefault(measure.of[0], []).append((measure.measure, measure.of[1], measure.how))
        return {first: tuple(rest) for first, rest in found.items()}


def _claim_order(claim: tuple[str, Value, str]) -> tuple[str, tuple[int, Value], str]:
    return claim[0], value_order(claim[1]), claim[2]


def _columns(bounds: list[tuple[float, int]]) -> tuple[tuple[float, ...], tuple[int, ...]]:
    bounds = sorted(bounds)
    return tuple(figure for figure, _ in bounds), tuple(gate for _, gate in bounds)


def _tested(node: Node, strict: bool = False) -> Iterable[tuple[Node, bool, bool]]:
    """(test, whether it stands outside every negation, whether it needs a complete level below) for each test."""
    kind = node[0]
    if kind == "not":
        yield from _tested(node[1], True)
    elif kind in ("all", "any", "some"):
        for child in node[-1]:
            yield from _tested(child, strict)
    else:
        strict = strict or kind == "count"
        yield node, not strict, strict


def _renumbered(guard: Guard, new: Mapping[int, int]) -> Guard:
    level, deny, codes, unsure = guard
    denied = tuple(sorted(new[gate] for gate in deny))
    return level, denied, tuple(_recoded(code, new.__getitem__) for code in codes), unsure


def _recoded(code: Code, new: Callable[[int], int]) -> Code:
    if isinstance(code, int):
        return new(code) if code >= 0 else ~new(~code)
    if isinstance(code[0], int):
        return code[0], tuple(_recoded(part, new) for part in code[1])
    return code


def _grounds(condition: Node, same: Mapping[Atom, Atom]) -> tuple[Atom, ...] | None:
    parts = condition[1] if condition[0] == "all" else (condition,)
    return tuple(same[part[1], part[2]] for part in parts) if all(part[0] == "is" for part in parts) else None


def _tree(rule: ParsedRule) -> tuple[Any, ...]:
    return rule.when, rule.unless or NEVER, rule.concludes, rule.assumes
