"""Strata: rules that wait for their own absence are refused, with the cycle, its places and what closes it."""

from __future__ import annotations

from random import Random

import pytest

from backstay.knowledge.base import ParsedRule
from backstay.knowledge.program import Cycle, ProgramError
from reasoning import wild
from reasoning.worlds import base_of, either, no, rule, when


def cycles_of(rules: list[ParsedRule]) -> tuple[Cycle, ...]:
    with pytest.raises(ProgramError) as error:
        base_of(rules)
    return error.value.cycles


CYCLES = {
    "through its own unless": ([rule("a", unless=when(pests="slug"), conclude=[("pests", "slug")])], ["a"], "unless"),
    "through a not": ([rule("a", no(when(pests="slug")), conclude=[("pests", "slug")])], ["a"], "not"),
    "through a not in an alternative": (
        [rule("a", either(when(soil="wet"), no(when(pests="slug"))), conclude=[("pests", "slug")])],
        ["a"],
        "not",
    ),
    "through a count": ([rule("a", when(pests="count at-least 1"), conclude=[("pests", "slug")])], ["a"], "count"),
    "through known: false": ([rule("a", no(when(pests="known")), conclude=[("pests", "slug")])], ["a"], "not"),
    "through a bound of a concluded figure": (
        [rule("a", no(when(height="at-least 3")), conclude=[("height", 4)])],
        ["a"],
        "not",
    ),
    "through three rules": (
        [
            rule("c", when(plants="moss"), conclude=[("pests", "slug")]),
            rule("a", unless=when(pests="slug"), conclude=[("tools", "rake")]),
            rule("b", when(tools="rake"), conclude=[("plants", "moss")]),
            rule("beside", when(plants="moss"), conclude=[("plants", "fern")]),
        ],
        ["a", "b", "c"],
        "unless",
    ),
    "through an assumption": (
        [
            rule("guess", assume=[("season", "spring")]),
            rule("set", when(season="spring"), conclude=[("season", "summer")]),
        ],
        ["guess", "set"],
        "assume",
    ),
    "through the one value that leads": (
        [
            rule("light", when(soil="wet"), conclude=[("frost", "light")]),
            rule("worse", when(frost="light"), conclude=[("frost", "hard")]),
        ],
        ["worse"],
        "one-value",
    ),
}


@pytest.mark.parametrize("name", CYCLES)
def test_a_cycle_is_named(name: str) -> None:
    rules, ids, way = CYCLES[name]
    (cycle,) = cycles_of(rules)
    assert sorted(cycle.rules) == ids
    assert [step.way for step in cycle.steps if step.way] == [way]
    assert cycle.steps[0].way == way


def test_a_cycle_names_its_places_and_what_waits_for_what() -> None:
    rules = [
        rule("a", unless=when(pests="slug"), conclude=[("tools", "rake")], place=("one.yaml", 3, 1)),
        rule("b", when(tools="rake"), conclude=[("pests", "slug")], place=("two.yaml", 8, 1)),
    ]
    (cycle,) = cycles_of(rules)
    assert [tuple(step) for step in cycle.steps] == [
        ("a", ("one.yaml", 3, 1), "unless", ("pests", "slug"), ("tools", "rake")),
        ("b", ("two.yaml", 8, 1), "", ("tools", "rake"), ("pests", "slug")),
    ]


def test_each_knot_is_told_once_by_its_shortest_cycle() -> None:
    rules = [
        rule("a", unless=when(pests="slug"), conclude=[("pests", "aphid")]),
        rule("b", when(pests="aphid"), conclude=[("pests", "slug")]),
        rule("c", when(pests="aphid"), conclude=[("plants", "moss")]),
        rule("d", when(plants="moss"), conclude=[("pests", "slug")]),
        rule("z", unless=when(tools="hoe"), conclude=[("tools", "hoe")]),
    ]
    assert [sorted(cycle.rules) for cycle in cycles_of(rules)] == [["z"], ["a", "b"]]


@pytest.mark.parametrize(
    "rules",
    [
        [rule("a", when(plants="moss"), conclude=[("plants", "moss")])],
        [rule("a", when(pests="known"), conclude=[("pests", "slug")])],
        [rule("a", no(when(pests="slug")), conclude=[("pests", "aphid")])],
        [rule("a", no(when(height="above 5")), conclude=[("height", 3)])],
        [rule("a", unless=when(pests="slug"), assume=[("pests", "aphid")])],
        [rule("a", when(frost="hard"), conclude=[("frost", "light")]), rule("b", conclude=[("frost", "hard")])],
        [rule("a", unless=when(soil="wet"))],
    ],
    ids=["itself", "known", "another value", "another figure", "assumed", "the leader concludes", "no conclusion"],
)
def test_what_can_be_laid_in_strata_is_accepted(rules: list[ParsedRule]) -> None:
    base_of(rules)


def test_every_cycle_of_wild_rules_is_one() -> None:
    """Each step really waits as it says, the steps join, and one of them is closed by absence."""
    chance = Random("cycles")
    refused = 0
    for _ in range(400):
        rules = wild.rules(chance)
        by_id = {one.id: one for one in rules}
        try:
            base_of(rules, (), wild.WILD)
        except ProgramError as error:
            refused += 1
            for cycle in error.cycles:
                assert any(step.way for step in cycle.steps)
                for step, after in zip(cycle.steps, (*cycle.steps[1:], cycle.steps[0]), strict=True):
                    assert step.gives == after.needs
                    if not step.rule:
                        assert step.way == "one-value"
                        assert step.needs[0] == step.gives[0]
                    elif step.way == "assume":
                        assert step.gives in by_id[step.rule].assumes
                        assert step.needs[0] == step.gives[0]
                    else:
                        heads = (*by_id[step.rule].concludes, *by_id[step.rule].assumes)
                        assert step.gives in heads
                        assert step.needs[0] in repr((by_id[step.rule].when, by_id[step.rule].unless))
    assert refused > 50
