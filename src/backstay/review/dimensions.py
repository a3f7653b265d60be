"""Dimensions: what can be told of somebody, as far as the rules of some bases tell the answers apart.

    dimensions(bases) -> one Dimension for each attribute that can be told, the same for the same bases

All comes from the attributes and from what rules test: a number has one figure for each stretch between thresholds, a
word stands for itself, and where rules name only some words there is one for all others. An attribute that a club adds
is a dimension like any other. Of several bases the values of all are taken, so that a threshold in one is walked in
both.

Left out is what nobody tells: measures, and attributes that no question asks for and whose values rules conclude, or
assume where the attribute is the knowledge's own.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from backstay.knowledge.base import Base, Effect
from backstay.knowledge.trees import Atom, value_order
from backstay.reasoning.answers import possible
from backstay.reasoning.findings import ASSUMED, CONCLUDED

WANT = "want"


class Dimension(NamedTuple):
    """An attribute and what can be told of it, each by itself; not to be told is the first of all, and not listed."""

    name: str
    values: tuple[Atom, ...]


def dimensions(bases: Sequence[Base]) -> tuple[Dimension, ...]:
    """Return the dimensions of these bases together, by name."""
    found: dict[str, dict[Atom, None]] = {}
    for base in bases:
        concluded, made = _made(base)
        referred = frozenset(_referred(base))
        asked = frozenset(question.asks for question in base.questions.values())
        for name, described in base.attributes.items():
            if described.of or described.measure or name == WANT:
                continue
            atoms = _told(base, name, name in referred)
            by_rules = made if described.shown == "own" else concluded
            if atoms and (name in asked or not by_rules.issuperset(possible(base, name))):
                found.setdefault(name, {}).update(dict.fromkeys(atoms))
    return tuple(Dimension(name, _ordered(found[name])) for name in sorted(found))


def wants(bases: Sequence[Base]) -> tuple[str, ...]:
    """Return all that can be asked for, as far as rules tell it apart."""
    return tuple(sorted({str(value) for base in bases for _, value in possible(base, WANT)}))


def _told(base: Base, name: str, referred: bool) -> tuple[Atom, ...]:
    """What can be told of an attribute: what rules tell apart, and where words are left over one of them."""
    told = possible(base, name)
    described = base.attributes[name]
    if described.kind not in ("one", "many"):
        return told
    others = [value for value in described.values if (name, value) not in told]
    if not told and not referred:
        return ()
    return told + tuple((name, value) for value in (others if referred else others[:1]))


def _made(base: Base) -> tuple[frozenset[Atom], frozenset[Atom]]:
    """All that rules conclude, and all that they conclude or assume."""
    makers: dict[str, dict[Atom, list[str]]] = marshal.loads(base.program["makers"])
    concluded = frozenset(makers[CONCLUDED])
    return concluded, concluded.union(makers[ASSUMED])


def _referred(base: Base) -> Iterable[str]:
    """The attributes whose values effects take over as they are."""
    for rule in base.rules.values():
        for effect in rule.effects:
            fact = fact_of(effect)
            if fact:
                yield fact


def fact_of(effect: Effect) -> str:
    """Return the attribute whose value an effect takes over, or nothing."""
    if effect[0] == "need-each":
        return str(effect[1])
    if effect[0] == "limit" and isinstance(effect[2], tuple):
        return str(effect[2][1])
    if effect[0] == "side-first" and effect[2][0] in ("fact", "opposite-of"):
        return str(effect[2][1])
    return ""


def _ordered(atoms: Iterable[Atom]) -> tuple[Atom, ...]:
    return tuple(sorted(atoms, key=lambda atom: (atom[0], value_order(atom[1]))))
