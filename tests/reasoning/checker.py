"""A checker of proofs that shares no code with their maker: every node is proven again from the rules as written.

    recheck(rules, measures, attributes, said, findings)    raises AssertionError at the first node that does not stand

A premise is believed only as far as it shows its facts. A rule's condition must follow from its premises alone: what
they do not speak of counts as unknown. Heights and assumptions are compared with those of a plain search.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from backstay.knowledge.base import Attribute, Measure, Node, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.reasoning.findings import Findings
from backstay.reasoning.proof import Absent, Firing, Held, Present

Value = str | float
Atom = tuple[str, Value]


class World(NamedTuple):
    """What a proof is checked against."""

    rules: Mapping[str, ParsedRule]
    measures: Mapping[str, Measure]
    attributes: Mapping[str, Attribute]
    said: frozenset[Fact]
    held: Mapping[Atom, str]  # what holds -> its standing

    def values(self, attribute: str) -> list[Value]:
        return [value for name, value in self.held if name == attribute]

    def single(self, attribute: str) -> bool:
        return attribute in self.measures or self.attributes[attribute].kind in ("one", "number")


def recheck(
    rules: Iterable[ParsedRule],
    measures: Iterable[Measure],
    attributes: Mapping[str, Attribute],
    said: Iterable[Fact],
    findings: Findings,
) -> int:
    """Checks the proofs of all findings; gives back how many nodes that were."""
    held = {(holding.attribute, holding.value): holding.standing for holding in findings.holdings()}
    world = World(
        {rule.id: rule for rule in rules},
        {measure.measure: measure for measure in measures},
        attributes,
        frozenset(said),
        held,
    )
    nodes = 0
    search = Search(world, findings.fired)
    for name in world.rules:
        proof = findings.proof(name)
        assert (proof is not None) == (name in findings.fired)
        if proof is not None:
            assert isinstance(proof, Firing)
            assert proof.rule == name
            nodes += _firing(world, proof, ())
            free = name in search.free
            taken = set(_assumptions(proof))
            assert set(findings.assumed_by(name)) == taken
            assert free == (not taken), f"{name}: {taken}"
            assert not free or proof.height == search.free[name], f"{name} is not of the least height"
    for atom in held:
        fact = findings.proof(atom)
        assert isinstance(fact, Held)
        assert (fact.attribute, fact.value) == atom
        nodes += _held(world, fact, ())
    return nodes


# The nodes


def _firing(world: World, proof: Firing, above: tuple[str, ...]) -> int:
    assert proof.rule not in above, f"{proof.rule} rests on itself"
    rule = world.rules[proof.rule]
    shown: dict[Node, bool] = {}
    nodes = 1
    for premise in proof.premises:
        shown[premise.test] = isinstance(premise, Present)
        if isinstance(premise, Present):
            _present(world, premise)
            for held in premise.facts:
                nodes += _held(world, held, (*above, proof.rule))
        else:
            _absent(world, premise)
        nodes += 1
    assert _follows(rule.when, shown) is True, f"{rule.id}: `when` does not follow"
    assert rule.unless is None or _follows(rule.unless, shown) is False, f"{rule.id}: `unless` is not excluded"
    below = [held.height for premise in proof.premises if isinstance(premise, Present) for held in premise.facts]
    assert proof.height == 1 + max(below, default=0)
    return nodes


def _held(world: World, fact: Held, above: tuple[str, ...]) -> int:
    atom = (fact.attribute, fact.value)
    assert world.held[atom] == fact.standing
    told = {other.attribute for other in world.said}
    if fact.standing == "said":
        assert Fact(*atom, fact.words) in world.said
        assert (fact.by, fact.of, fact.height) == (None, (), 0)
        return 1
    assert fact.words == ""
    if fact.standing == "measured":
        measure = world.measures[fact.attribute]
        assert tuple(operand.attribute for operand in fact.of) == measure.of
        assert all(operand.standing == "said" for operand in fact.of)
        one, other = (float(operand.value) for operand in fact.of)
        figure = {
            "ratio": lambda: one / other,
            "difference": lambda: one - other,
            "percent-of": lambda: 100 * one / other,
            "percent-apart": lambda: 100 * abs(one - other) / max(one, other),
        }[measure.how]()
        assert abs(figure - float(fact.value)) < 1e-6
        return 1 + sum(_held(world, operand, above) for operand in fact.of)
    assert fact.by is not None
    assert fact.height == fact.by.height
    rule = world.rules[fact.by.rule]
    if fact.standing == "concluded":
        assert atom in rule.concludes
        assert not (world.single(fact.attribute) and fact.attribute in told)
    else:
        assert atom in rule.assumes
        assert fact.attribute not in told
        assert all(world.held[fact.attribute, value] == "assumed" for value in world.values(fact.attribute))
    return 1 + _firing(world, fact.by, above)


def _present(world: World, premise: Present) -> None:
    test, facts = premise.test, premise.facts
    assert all(fact.attribute == test[1] for fact in facts)
    if test[0] == "count":
        assert sorted(map(str, (fact.value for fact in facts))) == sorted(map(str, world.values(test[1])))
        assert _passes(test, [fact.value for fact in facts])
    else:
        assert len(facts) == 1
        assert _passes(test, [facts[0].value])


def _absent(world: World, premise: Absent) -> None:
    test, attribute = premise.test, premise.test[1]
    assert not _passes(test, world.values(attribute))
    assert {fact.value for fact in premise.instead} == set(world.values(attribute))
    told = any(fact.attribute == attribute for fact in world.said) or attribute in (
        name for (name, _), standing in world.held.items() if standing == "measured"
    )
    makers = [
        rule.id
        for rule in world.rules.values()
        for name, value in (*rule.concludes, *rule.assumes)
        if name == attribute and (test[0] in ("known", "count") or _passes(test, [value]))
    ]
    if told and (world.single(attribute) or test[0] in ("number", "count")):
        assert premise.kind == "said otherwise"
    elif makers:
        assert premise.kind == "nothing concludes it"
    else:
        assert premise.kind == "not said"


def _passes(test: Node, values: list[Value]) -> bool:
    kind = test[0]
    if kind == "is":
        return test[2] in values
    if kind == "known":
        return bool(values)
    if kind == "count":
        return bool(values) and _compares(test[2], len(values), test[3])
    return any(_compares(test[2], value, test[3]) for value in values if not isinstance(value, str))


def _compares(op: str, one: float, other: float) -> bool:
    if op in ("at-least", "at-most"):
        return one == other or (one > other) == (op == "at-least")
    return one != other and (one > other) == (op == "above")


def _follows(node: Node, shown: Mapping[Node, bool]) -> bool | None:
    """True or False if that follows from what was shown, None if it says too little."""
    kind = node[0]
    if kind in ("is", "known", "number", "count"):
        return shown.get(node)
    if kind == "not":
        inner = _follows(node[1], shown)
        return None if inner is None else not inner
    parts = [_follows(child, shown) for child in node[-1]]
    least = _least(node)
    if sum(part is True for part in parts) >= least:
        return True
    return False if sum(part is not False for part in parts) < least else None


def _least(node: Node) -> int:
    """How many of its children a tree asks for."""
    if node[0] == "some":
        return int(node[1])
    return len(node[1]) if node[0] == "all" else 1


def _assumptions(proof: Firing) -> Iterable[Atom]:
    for premise in proof.premises:
        for fact in premise.facts if isinstance(premise, Present) else ():
            if fact.standing == "assumed":
                yield fact.attribute, fact.value
            if fact.by is not None:
                yield from _assumptions(fact.by)


# What can be had without assumptions, and how low


class Search:
    """Round by round, the rules that fire without anything taken for granted: `free`, each with its least height."""

    def __init__(self, world: World, fired: Iterable[str]) -> None:
        self.free: dict[str, int] = {}
        have = {atom for atom, standing in world.held.items() if standing in ("said", "measured")}
        height = 0
        while True:
            height += 1
            fresh = [name for name in fired if name not in self.free and self._had(world, world.rules[name], have)]
            if not fresh:
                return
            for name in fresh:
                self.free[name] = height
                have |= {atom for atom in world.rules[name].concludes if world.held.get(atom) == "concluded"}

    def _had(self, world: World, rule: ParsedRule, have: set[Atom]) -> bool:
        return self._holds(world, rule.when, True, have) and (
            rule.unless is None or self._holds(world, rule.unless, False, have)
        )

    def _holds(self, world: World, node: Node, wanted: bool, have: set[Atom]) -> bool:
        kind = node[0]
        if kind == "not":
            return self._holds(world, node[1], not wanted, have)
        if kind in ("all", "any", "some"):
            parts = [self._holds(world, child, wanted, have) for child in node[-1]]
            least = _least(node)
            return sum(parts) >= (least if wanted else len(parts) - least + 1)
        values = world.values(node[1])
        if kind == "count":
            return _passes(node, values) == wanted and all((node[1], value) in have for value in values)
        if not wanted:
            return not _passes(node, values)
        return _passes(node, [value for value in values if (node[1], value) in have])
