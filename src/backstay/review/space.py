"""Space: the situations that a review walks, in four walks, each of a stated size.

    own        for each rule the plainest facts with which it fires, in every phase, with and without pain
    common     exhaustive: every complaint in every phase with everything told of what most rules look at
    triples    every three things that can be told of somebody, together; see covering.py
    signs      every stop sign with every two things that screening looks at

A complaint is a value that by itself makes some rule need something, a stop sign one that by itself or with pain keeps
all exercises back. In `triples` there is no stop sign: it would hide what it stands beside. With `quick` every two
things are walked together instead of three, and every stop sign with every one.

Where an attribute has more values than a design has symbols, several take turns at one of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import prod
from typing import NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import Atom, leaves
from backstay.reasoning.engine import conclude
from backstay.review.covering import PAIRS, TRIPLES, Design, covering
from backstay.review.dimensions import WANT, Dimension, dimensions
from backstay.review.rules import follow_screening, parsed_rules
from backstay.review.witnesses import witnesses

PHASE = "phase"
PAIN: Atom = ("pain", "present")
USUAL: Atom = (WANT, "recommend")
COMMON_WAYS = 80  # in which what most rules look at is told beside each complaint in each phase
MOST_LEVELS = 40  # values of an attribute that a design holds apart; of longer ones several take turns
KEEPS_BACK = frozenset({"stop", "refer", "hold"})
Situation = tuple[Atom, ...]


class Product(NamedTuple):
    """Every combination of one choice from each of these; each choice is some facts told together."""

    name: str
    choices: tuple[tuple[Situation, ...], ...]

    @property
    def size(self) -> int:
        """How many situations there are."""
        return prod(len(choice) for choice in self.choices)

    def situation(self, number: int) -> Situation:
        """Return one of them."""
        told: Situation = ()
        for choice in reversed(self.choices):
            number, at = divmod(number, len(choice))
            told = choice[at] + told
        return tuple(dict.fromkeys(told))


class Covering(NamedTuple):
    """A covering design over dimensions, `beside` each of some facts that are told with every row."""

    name: str
    dimensions: tuple[Dimension, ...]
    design: Design
    beside: tuple[tuple[Atom, ...], ...] = ()  # in each several that take turns

    @property
    def size(self) -> int:
        """How many situations there are."""
        return self.design.size * max(1, len(self.beside))

    def situation(self, number: int) -> Situation:
        """Return one of them."""
        group, row = divmod(number, self.design.size)
        told: dict[Atom, None] = {}
        if self.beside:
            group_of = self.beside[group]
            told[group_of[row % len(group_of)]] = None
        levels = self.design.sizes
        for column, level in self.design.row(row):
            values = self.dimensions[column].values
            turns = -(-len(values) // levels[column])
            # Those that share a level take turns by the row's place among the rows that hold it.
            place = level - 1 + levels[column] * ((row // self.design.prime + row) % turns)
            told[values[place if place < len(values) else level - 1]] = None
        return tuple(told)


class Space(NamedTuple):
    """All walks one after the other. A value: it can be handed to other processes."""

    walks: tuple[Product | Covering, ...]
    dimensions: tuple[Dimension, ...]
    complaints: tuple[Atom, ...]
    phases: tuple[str, ...]
    signs: int
    unreached: tuple[str, ...]  # rules for which no facts were found with which they fire

    @property
    def size(self) -> int:
        """How many situations there are."""
        return sum(walk.size for walk in self.walks)

    def situations(self, start: int, end: int) -> Iterator[Situation]:
        """Return those from one number up to another."""
        first = 0
        for walk in self.walks:
            for number in range(max(start, first), min(end, first + walk.size)):
                yield walk.situation(number - first)
            first += walk.size


def space_of(bases: Sequence[Base], quick: bool = False) -> Space:
    """Lay out the space of some bases together; the same bases always have the same."""
    found = dimensions(bases)
    phases = tuple(dict.fromkeys(phase for base in bases for phase in base.phases))
    signs = _signs(bases, found)
    complaints = _complaints(bases, found, signs)
    strength = PAIRS if quick else TRIPLES
    plain = tuple(
        Dimension(one.name, left)
        for one in found
        if (left := tuple(value for value in one.values if value not in signs))
    )
    in_phases = ((), *(((PHASE, phase),) for phase in phases))
    in_pain: tuple[Situation, ...] = ((), (PAIN,)) if _has(bases, PAIN) else ((),)
    own, unreached = witnesses(bases, found)
    walks: list[Product | Covering] = [Product("own", (own, in_phases, in_pain))]
    walks.append(Product("common", (((), *((one,) for one in complaints)), in_phases, *_common(bases, plain, quick))))
    walks.append(_covering("triples", plain, strength))
    if signs:
        looked_at = frozenset(name for base in bases for name in follow_screening(base).attribute_names())
        screened = tuple(one for one in found if any(value[0] in looked_at for value in one.values))
        if screened:
            alike = _alike(bases[0], signs)
            singly = tuple((value,) for one in screened for value in one.values)
            first = tuple((group[0],) for group in alike)
            walks.append(
                Product("signs", (first, ((), *singly))) if quick else _covering("signs", screened, PAIRS, alike)
            )
    return Space(tuple(walks), found, complaints, phases, len(signs), unreached)


def _covering(
    name: str, dimensions: tuple[Dimension, ...], strength: int, beside: tuple[tuple[Atom, ...], ...] = ()
) -> Covering:
    sizes = [_levels(len(one.values)) for one in dimensions]
    return Covering(name, dimensions, covering(sizes, strength), beside)


def _levels(values: int) -> int:
    """How many levels so many values take: all, or as few as make them take turns evenly."""
    turns = -(-values // MOST_LEVELS)
    return -(-values // turns)


def _has(bases: Sequence[Base], atom: Atom) -> bool:
    return any(atom[0] in base.attributes and atom[1] in base.attributes[atom[0]].values for base in bases)


def _signs(bases: Sequence[Base], found: Iterable[Dimension]) -> frozenset[Atom]:
    """What keeps all exercises back, by itself or with pain."""
    pain = [PAIN] if _has(bases, PAIN) else []
    return frozenset(
        value
        for one in found
        for value in one.values
        if value != PAIN and any(_kept_back(base, [value]) or _kept_back(base, [value, *pain]) for base in bases)
    )


def _kept_back(base: Base, told: Iterable[Atom]) -> tuple[tuple[object, ...], ...]:
    """What keeps exercises back with these facts."""
    known = [Fact(*atom) for atom in (USUAL, *told) if atom[0] in base.attributes]
    return tuple(sorted({effect for _, effect in conclude(base, known).effects if effect[0] in KEEPS_BACK}))


def _alike(base: Base, signs: Iterable[Atom]) -> tuple[tuple[Atom, ...], ...]:
    """The stop signs, those together that come to the same alone and with pain: they take turns."""
    alike: dict[object, list[Atom]] = {}
    for sign in sorted(signs, key=lambda atom: (atom[0], str(atom[1]))):
        alike.setdefault((sign[0], _kept_back(base, [sign]), _kept_back(base, [sign, PAIN])), []).append(sign)
    return tuple(tuple(group) for group in alike.values())


def _complaints(bases: Sequence[Base], found: Iterable[Dimension], signs: frozenset[Atom]) -> tuple[Atom, ...]:
    """What by itself makes some rule need something that is not needed anyway; the parts of the season are not."""
    complaints: dict[Atom, None] = {}
    for base in bases:
        anyway = _needing(base, [])
        for one in found:
            for value in one.values:
                if value in signs or one.name == PHASE or value[0] not in base.attributes or value in complaints:
                    continue
                if isinstance(value[1], str) and not anyway.issuperset(_needing(base, [value])):
                    complaints[value] = None
    return tuple(complaints)


def _needing(base: Base, told: Iterable[Atom]) -> frozenset[str]:
    findings = conclude(base, [Fact(*atom) for atom in (USUAL, *told)])
    return frozenset(rule for rule, effect in findings.effects if effect[0] in ("need", "need-each"))


def _common(bases: Sequence[Base], plain: Iterable[Dimension], quick: bool) -> tuple[tuple[Situation, ...], ...]:
    """What most rules look at besides complaints and phases, told in every way, as far as there is room."""
    looked_at = _looked_at(bases)
    room = COMMON_WAYS // 8 if quick else COMMON_WAYS
    chosen = []
    for one in sorted(plain, key=lambda one: (-looked_at.get(one.name, 0), one.name)):
        ways = len(one.values) + 1
        if one.name != PHASE and len(one.values) <= 5 and ways <= room:
            chosen.append(((), *((value,) for value in one.values)))
            room //= ways
    return tuple(chosen)


def _looked_at(bases: Sequence[Base]) -> Mapping[str, int]:
    """How many written rules look at each attribute."""
    counts: dict[str, int] = {}
    for base in bases:
        for rule in parsed_rules(base):
            if base.rules[rule.id].room in ("rules", "screening"):
                for name in {test[1] for node in (rule.when, rule.unless) if node for test, _ in leaves(node)}:
                    counts[name] = counts.get(name, 0) + 1
    return counts
