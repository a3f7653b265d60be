"""Proofs: every node of every proof stands when it is checked again, and there is one proof, always the same."""

from __future__ import annotations

from random import Random

import pytest

from backstay.reasoning.engine import conclude
from backstay.reasoning.proof import Absent, Firing, Held, Present
from reasoning import wild
from reasoning.checker import recheck
from reasoning.test_least_model import stratified
from reasoning.worlds import GARDEN, base_of, either, every, facts_of, no, rule, run, some, when


@pytest.mark.parametrize("batch", range(8))
def test_every_node_of_every_proof_stands(batch: int) -> None:
    chance = Random(f"proofs {batch}")
    nodes = 0
    for _ in range(24):
        rules, measures = stratified(chance), wild.measures(chance)
        base = base_of(rules, measures, wild.WILD)
        for _ in range(4):
            said = facts_of(*wild.case(chance))
            nodes += recheck(rules, measures, wild.WILD, said, conclude(base, said))
    assert nodes > 500


def firing(goal: Firing | Held | None) -> Firing:
    assert isinstance(goal, Firing)
    return goal


def test_a_rule_shows_the_facts_and_words_that_satisfy_it() -> None:
    rules = [
        rule("slugs", when(soil="wet"), conclude=[("pests", "slug")]),
        rule("net", when(pests="slug", height="at-least 3")),
    ]
    proof = firing(run(rules, [("soil", "wet"), ("height", 4)]).proof("net"))
    slug = Held("pests", "slug", "concluded", "", firing(proof.premises[0].facts[0].by), (), 1)  # type: ignore[union-attr]
    assert proof == Firing(
        "net",
        (
            Present(("is", "pests", "slug"), (slug,)),
            Present(("number", "height", "at-least", 3.0), (Held("height", 4, "said", "height is 4", None, (), 0),)),
        ),
        2,
    )
    assert slug.by == Firing(
        "slugs", (Present(("is", "soil", "wet"), (Held("soil", "wet", "said", "soil is wet", None, (), 0),)),), 1
    )


def test_the_lowest_proof_is_given_even_where_strata_reach_it_last() -> None:
    rules = [
        rule("a-long-1", when(soil="wet"), conclude=[("tools", "fork")]),
        rule("a-long-2", when(tools="fork"), conclude=[("tools", "hoe")]),
        rule("a-long-3", when(tools="hoe"), conclude=[("pests", "slug")]),
        rule("b-short", when(soil="wet"), unless=when(frost="light"), conclude=[("pests", "slug")]),
        rule("frosty", when(season="winter"), conclude=[("frost", "light")]),
        rule("net", when(pests="slug")),
    ]
    proof = firing(run(rules, [("soil", "wet")]).proof("net"))
    assert proof.height == 2
    assert proof.premises[0].facts[0].by.rule == "b-short"  # type: ignore[union-attr]


def test_of_equally_low_proofs_the_first_id_is_given() -> None:
    rules = [
        rule("c", when(soil="wet"), conclude=[("pests", "slug")]),
        rule("b", when(season="autumn"), conclude=[("pests", "slug")]),
        rule("net", when(pests="slug")),
    ]
    proof = firing(run(rules, [("season", "autumn"), ("soil", "wet")]).proof("net"))
    assert proof.premises[0].facts[0].by.rule == "b"  # type: ignore[union-attr]


def test_a_proof_without_assumptions_goes_before_a_lower_one_with_them() -> None:
    rules = [
        rule("guess", assume=[("season", "autumn")]),
        rule("a-guessed", when(season="autumn"), conclude=[("pests", "slug")]),
        rule("b-long", when(soil="wet"), conclude=[("tools", "fork")]),
        rule("b-longer", when(tools="fork"), conclude=[("tools", "hoe")]),
        rule("b-longest", when(tools="hoe"), conclude=[("pests", "slug")]),
        rule("net", when(pests="slug")),
        rule("rake", when(season="autumn")),
    ]
    firm, guessed = run(rules, [("soil", "wet")]), run(rules, [])
    assert firm.assumed_by("net") == ()
    assert firing(firm.proof("net")).height == 4
    assert firm.assumed_by("rake") == (("season", "autumn"),)
    assert guessed.assumed_by("net") == (("season", "autumn"),)


@pytest.mark.parametrize(
    ("said", "test", "kind"),
    [
        ([("soil", "dry")], when(soil="wet"), "said otherwise"),
        ([("height", 2)], when(height="at-least 3"), "said otherwise"),
        ([("plants", "oak")], when(plants="count at-least 2"), "said otherwise"),
        ([], when(soil="wet"), "not said"),
        ([("plants", "oak")], when(plants="rose"), "not said"),
        ([], when(height="known"), "not said"),
        ([], when(pests="slug"), "nothing concludes it"),
        ([], when(nights="below 2"), "nothing concludes it"),
        ([], when(nights="above 2"), "not said"),
        ([("season", "winter")], when(frost="light"), "nothing concludes it"),
    ],
)
def test_absence_is_of_three_kinds(said: list[tuple[str, str | float]], test: tuple[object, ...], kind: str) -> None:
    rules = [
        rule("slugs", when(plants="lettuce"), conclude=[("pests", "slug"), ("nights", 1)]),
        rule("freezes", when(season="winter"), conclude=[("frost", "hard")]),
        rule("thaws", when(season="spring"), conclude=[("frost", "light")]),
        rule("goal", unless=test),
    ]
    (premise,) = firing(run(rules, said).proof("goal")).premises
    assert isinstance(premise, Absent)
    assert premise.kind == kind


def test_an_absence_names_what_holds_instead() -> None:
    rules = [rule("guess", assume=[("season", "spring")]), rule("goal", unless=when(season="autumn"))]
    (premise,) = firing(run(rules).proof("goal")).premises
    assert isinstance(premise, Absent)
    assert [(fact.value, fact.standing) for fact in premise.instead] == [("spring", "assumed")]


def test_each_kind_of_condition_leaves_its_premises() -> None:
    condition = every(
        some(2, when(soil="wet"), when(plants="rose"), when(tools="hoe")),
        either(when(pests="slug"), no(every(when(soil="wet"), when(season="winter")))),
        when(plants="count at-least 2", height="above 1", tools="known"),
    )
    said: list[tuple[str, str | float]] = [("soil", "wet"), ("plants", "rose"), ("plants", "fern"), ("height", 2)]
    said.append(("tools", "rake"))
    shown = [
        (type(premise), premise.test) for premise in firing(run([rule("goal", condition)], said).proof("goal")).premises
    ]
    assert shown == [
        (Present, ("is", "soil", "wet")),
        (Present, ("is", "plants", "rose")),
        (Absent, ("is", "season", "winter")),
        (Present, ("count", "plants", "at-least", 2)),
        (Present, ("number", "height", "above", 1.0)),
        (Present, ("known", "tools")),
    ]


def test_a_measure_shows_the_figures_it_was_taken_of() -> None:
    from backstay.knowledge.base import Measure

    rules = [rule("uneven", when(lean="at-least 10"))]
    attributes = {**GARDEN}
    base = base_of(rules, [Measure("lean", ("yield.east", "yield.west"), "percent-apart")], attributes)
    findings = conclude(base, facts_of(("yield.east", 50), ("yield.west", 40)))
    (premise,) = firing(findings.proof("uneven")).premises
    assert isinstance(premise, Present)
    (lean,) = premise.facts
    assert (lean.value, lean.standing) == (20, "measured")
    assert [(held.attribute, held.words) for held in lean.of] == [
        ("yield.east", "yield.east is 50"),
        ("yield.west", "yield.west is 40"),
    ]


def test_what_does_not_hold_has_no_proof() -> None:
    findings = run([rule("goal", when(soil="wet"))], [("soil", "dry")])
    assert findings.proof("goal") is None
    assert findings.proof(("soil", "wet")) is None
    assert findings.assumed_by("goal") == ()


def test_a_proof_of_a_thousand_steps_is_given() -> None:
    rules = [rule(f"r{n:04}", when(plants=f"p{n}"), conclude=[("plants", f"p{n + 1}")]) for n in range(3000)]
    assert firing(run(rules, [("plants", "p0")]).proof("r2999")).height == 3000
