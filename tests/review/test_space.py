"""The space: taken from attributes and thresholds, of a stated size, with what a club adds walked like all else."""

from __future__ import annotations

import pickle
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load
from backstay.knowledge.problems import errors
from backstay.reasoning.engine import conclude
from backstay.review.dimensions import Dimension, dimensions
from backstay.review.space import Covering, Space, space_of
from knowledge.small_bases import SMALL, compiled, write

CLUB = """
- {attribute: grip-width, kind: one, values: [narrow, wide, very-wide], cautious: [narrow, wide, very-wide]}
- {attribute: sleep-hours, kind: number, unit: hours, shown: facts}
"""
RULES = """
- rule: wide-grip
  when: {grip-width: very-wide, sleep-hours: {below: 6}}
  then: {need: {row-strength: 2}}
  because: A wide grip asks more of the back.
  source: common-practice
"""


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


@pytest.fixture(scope="module")
def space(base: Base) -> Space:
    return space_of([base])


def club(root: Path) -> Base:
    made = compiled(SMALL, write(root / "club", {"attributes/club.yaml": CLUB, "rules/club.yaml": RULES}))
    assert not errors(made.problems)
    return Base(made.sections)


def test_what_a_club_adds_is_a_dimension_with_a_figure_for_each_stretch(tmp_path: Path) -> None:
    found = {one.name: one for one in dimensions([club(tmp_path)])}
    assert found["grip-width"].values == (("grip-width", "narrow"), ("grip-width", "very-wide"))
    assert found["sleep-hours"] == Dimension("sleep-hours", (("sleep-hours", 5), ("sleep-hours", 6)))
    before = {one.name for one in dimensions([Base(compiled(SMALL).sections)])}
    assert found.keys() - before == {"grip-width", "sleep-hours"}


def test_thresholds_of_both_bases_are_walked_when_two_are_compared(tmp_path: Path) -> None:
    small, own = Base(compiled(SMALL).sections), club(tmp_path)
    assert {one.name: one for one in dimensions([small, own])} == {one.name: one for one in dimensions([own, small])}
    assert "sleep-hours" in {one.name for one in dimensions([small, own])}


def test_what_rules_alone_conclude_is_not_told(base: Base) -> None:
    names = {one.name for one in dimensions([base])}
    assert names.isdisjoint({"hurting", "screened", "at-hand", "want", "morning-rise"})
    assert {"pain", "fault", "phase", "level", "sign", "age", "kit", "condition", "limit"} <= names


def test_the_size_is_what_is_walked(space: Space) -> None:
    assert space.size == sum(walk.size for walk in space.walks)
    assert 200_000 <= space.size <= 400_000
    number = space.size - 7
    assert len(list(space.situations(number, space.size + 50))) == 7


def test_a_stretch_is_the_same_wherever_it_is_cut(space: Space) -> None:
    first = space.walks[0].size
    whole = list(space.situations(first - 5, first + 5))
    assert whole == [*space.situations(first - 5, first + 1), *space.situations(first + 1, first + 5)]


def test_a_space_can_be_handed_to_another_process(space: Space) -> None:
    assert pickle.loads(pickle.dumps(space)) == space


def test_the_same_base_has_the_same_space(base: Base, space: Space) -> None:
    assert space_of([base]) == space


def test_every_three_values_of_short_attributes_are_told_together(space: Space) -> None:
    """A sample of triples, looked for in the rows themselves."""
    walk = next(walk for walk in space.walks if walk.name == "triples")
    assert isinstance(walk, Covering)
    chance = Random(5)
    short = [one for one in walk.dimensions if len(one.values) <= 40]
    wanted = set()
    for _ in range(3000):
        three = sorted(chance.sample(short, 3), key=lambda one: one.name)
        wanted.add(frozenset(chance.choice(one.values) for one in three))
    told = {value for three in wanted for value in three}
    for number in range(walk.size):
        row = [value for value in walk.situation(number) if value in told]
        wanted.difference_update(map(frozenset, combinations(row, 3)))
    assert wanted == set()


def test_those_that_take_turns_are_all_told(space: Space) -> None:
    walk = next(walk for walk in space.walks if walk.name == "triples")
    assert isinstance(walk, Covering)
    left = {value for one in walk.dimensions for value in one.values}
    for number in range(0, walk.size, 3):
        left.difference_update(walk.situation(number))
    assert left == set()


def test_every_stop_sign_is_walked(base: Base, space: Space) -> None:
    walk = next(walk for walk in space.walks if walk.name == "signs")
    assert isinstance(walk, Covering)
    signs = {sign for group in walk.beside for sign in group}
    assert len(signs) == space.signs
    assert {("sign", "numb-saddle"), ("sign", "bladder"), ("leg-symptom", "numbness"), ("doubt", "saddle")} <= signs
    for group, members in enumerate(walk.beside):
        rows = range(group * walk.design.size, group * walk.design.size + 5 * len(members))
        assert {walk.situation(row)[0] for row in rows} == set(members)


def test_rules_are_reached_by_their_own_facts(base: Base, space: Space) -> None:
    """All but those that look for what is absent, which others situations hold."""
    fired: set[str] = set()
    own = space.walks[0]
    for number in range(own.size):
        situation = own.situation(number)
        facts = [Fact(*atom) for atom in situation]
        wanted = [] if any(fact.attribute == "want" for fact in facts) else [Fact("want", "recommend")]
        fired.update(conclude(base, [*facts, *wanted]).fired)
    never = {rule for rule in base.rules if rule not in fired}
    assert {base.rules[rule].room for rule in never} <= {"kit", "exercise", "rules"}
    assert never <= set(space.unreached)
    assert len([rule for rule in never if base.rules[rule].room == "rules"]) <= 3
