"""Why not: the nearest rules, what each lacked, and a change that was run."""

from __future__ import annotations

from random import Random
from typing import Any, NamedTuple

import pytest

from backstay.knowledge.base import Node, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.reasoning.changes import Change
from backstay.reasoning.engine import conclude
from backstay.reasoning.findings import Findings
from backstay.reasoning.lacking import Failed
from backstay.reasoning.why_not import WhyNot, lifting, why_none, why_not
from reasoning import wild
from reasoning.test_least_model import stratified
from reasoning.worlds import GARDEN, Value, base_of, either, every, facts_of, no, rule, some, when

GOAL = rule("goal", when(soil="wet"))


class Case(NamedTuple):
    name: str
    condition: Node
    said: list[tuple[str, Value]]
    failed: list[tuple[str, str]]  # (attribute, kind)
    say: tuple[tuple[str, Value], ...]
    take_back: tuple[tuple[str, Value], ...] = ()


CASES = [
    Case("not said", when(soil="wet"), [], [("soil", "not said")], (("soil", "wet"),)),
    Case("said otherwise", when(soil="wet"), [("soil", "dry")], [("soil", "said otherwise")], (("soil", "wet"),)),
    Case("below the bound", when(height="at-least 3"), [("height", 1)], [("height", "out of range")], (("height", 3),)),
    Case("at the bound", when(height="above 3"), [("height", 3)], [("height", "out of range")], (("height", 4),)),
    Case("too much", when(height="below 3"), [("height", 9)], [("height", "out of range")], (("height", 2),)),
    Case("no figure", when(height="at-most 3"), [], [("height", "not said")], (("height", 3),)),
    Case("held back", every(when(soil="wet"), no(when(plants="rose"))), [("soil", "wet"), ("plants", "rose")],
         [("plants", "in the way")], (), (("plants", "rose"),)),
    Case("held back by a figure", no(when(height="at-least 3")), [("height", 5)], [("height", "in the way")],
         (("height", 2),)),
    Case("the fewest of several", either(when(soil="wet", plants="rose"), when(tools="hoe")), [],
         [("tools", "not said")], (("tools", "hoe"),)),
    Case("those still lacking of some", some(2, when(soil="wet"), when(plants="rose"), when(tools="hoe")),
         [("plants", "rose")], [("soil", "not said")], (("soil", "wet"),)),
    Case("all that is lacking", when(soil="wet", plants="rose", tools="hoe"), [("tools", "hoe")],
         [("soil", "not said"), ("plants", "not said")], (("soil", "wet"), ("plants", "rose"))),
    Case("through a rule", when(pests="slug"), [], [("pests", "nothing concludes it")], (("season", "winter"),)),
    Case("through a rule that is held back", every(no(when(frost="light"))), [("nights", 9)],
         [("frost", "in the way")], (("nights", 7),)),
]  # fmt: skip
OWN = {**GARDEN, "pests": GARDEN["pests"]._replace(shown="own"), "frost": GARDEN["frost"]._replace(shown="own")}
OTHERS = {**{name: one._replace(shown="facts") for name, one in GARDEN.items() if name not in ("pests", "frost")}}
ATTRIBUTES = {**OWN, **OTHERS}
AROUND = [
    rule("slugs", when(season="winter"), conclude=[("pests", "slug")]),
    rule("freezes", when(nights="at-least 8"), conclude=[("frost", "light")]),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_failed_and_what_would_change_it(case: Case) -> None:
    rules = [rule("goal", case.condition), *AROUND]
    base = base_of(rules, (), ATTRIBUTES)
    findings = conclude(base, facts_of(*case.said))
    answer = why_none(base, findings, ["goal"])
    assert answer is not None
    (near,) = answer.near
    assert (near.rule, near.because, near.sources) == ("goal", "since goal", ("common-practice",))
    assert [(failed.test[1], failed.kind) for failed in near.failed] == case.failed
    assert near.change == Change(case.say, case.take_back)


def test_nearest_rules_come_first_and_at_most_three() -> None:
    rules = [
        rule("d-three", when(soil="wet", plants="rose", tools="hoe"), conclude=[("pests", "slug")]),
        rule("c-two", when(soil="wet", plants="rose"), conclude=[("pests", "slug")]),
        rule("b-one", when(soil="wet"), conclude=[("pests", "slug")]),
        rule("a-two", when(soil="wet", tools="hoe"), conclude=[("pests", "slug")]),
    ]
    base = base_of(rules, (), ATTRIBUTES)
    answer = why_not(base, conclude(base, ()), "pests", "slug")
    assert answer is not None
    assert [(near.rule, len(near.failed)) for near in answer.near] == [("b-one", 1), ("a-two", 2), ("c-two", 2)]
    assert answer.rules == 4


def test_what_holds_needs_no_why_not() -> None:
    base = base_of([GOAL], (), ATTRIBUTES)
    findings = conclude(base, facts_of(("soil", "wet")))
    assert why_none(base, findings, ["goal"]) is None
    assert why_not(base, findings, "soil", "wet") is None


def test_a_conclusion_that_something_said_beats() -> None:
    base = base_of([rule("freezes", when(soil="wet"), conclude=[("frost", "hard")])], (), ATTRIBUTES)
    findings = conclude(base, facts_of(("soil", "wet"), ("frost", "light")))
    answer = why_not(base, findings, "frost", "hard")
    assert answer is not None
    assert [(held.value, held.standing) for held in answer.beaten] == [("light", "said")]
    assert (answer.near, answer.change) == ((), Change((), (("frost", "light"),)))


def test_what_no_rule_concludes_can_only_be_said() -> None:
    base = base_of([], (), ATTRIBUTES)
    assert why_not(base, conclude(base, ()), "plants", "rose") == WhyNot((), 0, (), Change((("plants", "rose"),), ()))


def test_a_rule_that_can_never_fire_has_nothing_to_change() -> None:
    base = base_of([rule("goal", either())], (), ATTRIBUTES)
    assert why_none(base, conclude(base, ()), ["goal"]) == WhyNot((), 1, (), None)


@pytest.mark.parametrize(
    ("rules", "said", "change"),
    [
        ([GOAL], [("soil", "wet")], Change((), (("soil", "wet"),))),
        ([rule("goal", when(height="at-least 3"))], [("height", 5)], Change((("height", 2),), ())),
        ([rule("goal", unless=when(plants="rose"))], [], Change((("plants", "rose"),), ())),
        ([rule("goal", when(pests="slug")), *AROUND], [("season", "winter")], Change((), (("season", "winter"),))),
        ([rule("goal")], [], None),
    ],
    ids=["a fact", "a figure", "an absence", "through a rule", "nothing"],
)
def test_what_would_lift_a_rule(rules: list[ParsedRule], said: list[tuple[str, Value]], change: Change | None) -> None:
    base = base_of(rules, (), ATTRIBUTES)
    assert lifting(base, conclude(base, facts_of(*said)), "goal") == change


def test_nothing_fixed_is_changed() -> None:
    rules = [rule("goal", when(soil="wet"), unless=when(plants="rose", tools="hoe")), *AROUND]
    base = base_of(rules, (), ATTRIBUTES)
    findings = conclude(base, facts_of(("soil", "wet"), ("plants", "rose"), ("tools", "hoe")))
    for fixed, take_back in (((), "plants"), (("plants",), "tools"), (("plants", "tools"), None)):
        answer = why_none(base, findings, ["goal"], fixed)
        assert answer is not None
        change = answer.near[0].change
        assert (change and change.take_back[0][0]) == take_back
    assert lifting(base, conclude(base, facts_of(("soil", "wet"))), "goal", ["soil"]) == Change(
        (("plants", "rose"), ("tools", "hoe")), ()
    )


def after(base: Any, said: tuple[Fact, ...], change: Change, one_valued: set[str]) -> Findings:
    """The case with a change, put together without the code under test."""
    gone = {name for name, _ in change.say if name in one_valued}
    kept = [fact for fact in said if fact.attribute not in gone and fact[:2] not in change.take_back]
    return conclude(base, [*kept, *facts_of(*change.say)])


def fails(findings: Findings, failed: Failed) -> bool:
    """Whether a failed test is as it is told, read off a rule made for it."""
    kind, attribute = failed.test[0], failed.test[1]
    values = findings.values(attribute)
    if kind == "is":
        holds = failed.test[2] in values
    elif kind == "known":
        holds = bool(values)
    else:
        figures = [len(values)] if kind == "count" and values else [one for one in values if not isinstance(one, str)]
        bound, op = failed.test[3], failed.test[2]
        above, equal = any(one > bound for one in figures), any(one == bound for one in figures)
        below = any(one < bound for one in figures)
        holds = {"at-least": above or equal, "at-most": below or equal, "above": above, "below": below}[op]
    return holds != failed.wanted


@pytest.mark.parametrize("batch", range(4))
def test_every_change_of_wild_rules_was_run(batch: int) -> None:
    chance = Random(f"why not {batch}")
    one_valued = {name for name, described in wild.WILD.items() if described.kind in ("one", "number")} | {"gap"}
    changes = lifted = 0
    for _ in range(20):
        rules, measures = stratified(chance), wild.measures(chance)
        base = base_of(rules, measures, wild.WILD)
        said = facts_of(*wild.case(chance))
        findings = conclude(base, said)
        for one in rules:
            if one.id in findings.fired:
                change = lifting(base, findings, one.id)
                if change is not None:
                    lifted += 1
                    assert one.id not in after(base, said, change, one_valued).fired
                continue
            answer = why_none(base, findings, [one.id])
            assert answer is not None
            for near in answer.near:
                assert near.failed
                assert all(fails(findings, failed) for failed in near.failed)
                if near.change is not None:
                    changes += 1
                    assert one.id in after(base, said, near.change, one_valued).fired
    assert changes > 50
    assert lifted > 10
