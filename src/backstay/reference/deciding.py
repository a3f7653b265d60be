"""Deciding: the situations in which a rule makes the answer, or an exercise is given, the plainest first.

Walked are the facts with which each rule fires, in every phase, without pain and with it. A rule decides where the
answer would be another without it; it is taken out of the program, and both are run.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from typing import NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.program import compile_program
from backstay.knowledge.trees import Atom
from backstay.reasoning.engine import conclude
from backstay.review.comparing import differing
from backstay.review.dimensions import dimensions
from backstay.review.rules import parsed_rules
from backstay.review.solving import NONE_LEFT, Answer, Solver
from backstay.review.witnesses import witnesses

Situation = tuple[Atom, ...]
MOST_SHOWN = 3
MOST_TRIED = 600
PAIN: Atom = ("pain", "present")


class Decided(NamedTuple):
    """A situation, and what is answered in it; of a rule, what would be answered without it too."""

    situation: Situation
    answer: Answer
    without: Answer | None
    differs: tuple[str, ...]


class Deciding(NamedTuple):
    """How many situations were walked, in how many it has a say, how many of these were answered, which it decides."""

    walked: int
    fires: int
    tried: int
    decides: int
    plainest: tuple[Decided, ...]


def decided_by_rule(base: Base, rule: str) -> Deciding:
    """Return the situations that a rule decides, among the plainest in which it fires."""
    walked = _situations(base)
    fires = [situation for situation in walked if rule in conclude(base, _facts(situation)).fired]
    before, after = Solver(base), Solver(without(base, rule))
    found: list[Decided] = []
    for situation in fires[:MOST_TRIED]:
        one, other = before.answer(situation).answer, after.answer(situation).answer
        differs = tuple(differing(other, one))
        if differs:
            found.append(Decided(situation, one, other, differs))
    return Deciding(len(walked), len(fires), len(fires[:MOST_TRIED]), len(found), _plainest(found))


def deciding_for_exercise(base: Base, exercise: str) -> Deciding:
    """Return the situations in which an exercise is given, among the plainest."""
    walked = _situations(base)
    found: list[Decided] = []
    solver = Solver(base)
    for situation in walked[:MOST_TRIED]:
        answer = solver.answer(situation).answer
        if any(given.exercise == exercise for given in answer.given):
            found.append(Decided(situation, answer, None, ()))
    return Deciding(len(walked), len(found), len(walked[:MOST_TRIED]), len(found), _plainest(found))


def emptied(base: Base, rules: Iterable[str]) -> Iterator[tuple[str, Decided]]:
    """Yield rules that leave nothing to give where there was something, each with the plainest situation."""
    walked = [(situation, frozenset(conclude(base, _facts(situation)).fired)) for situation in _situations(base)]
    after = Solver(base)
    for rule in rules:
        before = Solver(without(base, rule))
        fires = [situation for situation, fired in walked if rule in fired][:MOST_TRIED]
        for situation in fires:
            one = after.answer(situation).answer
            if one.given or one.outcome not in ("advice", NONE_LEFT):
                continue  # something is left, or a stop is what is meant
            other = before.answer(situation).answer
            if other.given:
                yield rule, Decided(situation, one, other, tuple(differing(other, one)))
                break


def without(base: Base, rule: str) -> Base:
    """Return a base in which a rule never fires."""
    left = [other for other in parsed_rules(base) if other.id != rule]
    return base.but(program=compile_program(base.attributes, list(base.measures.values()), left))


def _situations(base: Base) -> list[Situation]:
    """The situations of the walk, those in which least is told first."""
    return sorted(_all_situations(base), key=lambda situation: (len(situation), str(situation)))


def _all_situations(base: Base) -> Iterator[Situation]:
    own, _ = witnesses([base], dimensions([base]))
    phases = ((), *((("phase", phase),) for phase in base.phases))
    pain: tuple[Situation, ...] = ((), (PAIN,)) if "pain" in base.attributes else ((),)
    seen: set[frozenset[Atom]] = set()
    for parts in product(own, phases, pain):
        situation: dict[str, list[Atom]] = {}
        for atom in (atom for part in parts for atom in part):
            situation.setdefault(atom[0], []).append(atom)
        atoms = tuple(atom for name in situation for atom in dict.fromkeys(situation[name]))
        if frozenset(atoms) not in seen and not _clashing(base, atoms):
            seen.add(frozenset(atoms))
            yield atoms


def _clashing(base: Base, atoms: Iterable[Atom]) -> bool:
    """Whether two values are told of an attribute that holds one."""
    names = [name for name, _ in atoms if base.attributes[name].kind in ("one", "number")]
    return len(names) > len(set(names))


def _facts(situation: Situation) -> list[Fact]:
    facts = [Fact(*atom) for atom in situation]
    if not any(fact.attribute == "want" for fact in facts):
        facts.append(Fact("want", "recommend"))
    return facts


def _plainest(found: list[Decided]) -> tuple[Decided, ...]:
    """The situations of which least is told; of as plain ones those that differ in something else first."""
    shown: list[Decided] = []
    for one in sorted(found, key=lambda one: (len(one.situation), len(one.differs), str(one.situation))):
        if len(shown) < MOST_SHOWN and not any(set(other.situation) <= set(one.situation) for other in shown):
            shown.append(one)
    return tuple(shown)
