"""The laws of reasoning, each by its name: rules and a case in, what holds and which rules fire out."""

from __future__ import annotations

from collections.abc import Mapping, Set
from types import MappingProxyType
from typing import Any, NamedTuple

import pytest

from backstay.knowledge.base import Measure, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude
from backstay.reasoning.findings import ASSUMED, CONCLUDED, MEASURED, SAID, Conflict
from reasoning.worlds import Value, base_of, either, every, facts_of, no, rule, run, some, when


class Law(NamedTuple):
    name: str
    rules: list[ParsedRule]
    said: list[tuple[str, Value]]
    fires: Set[str] = frozenset()
    holds: Mapping[str, tuple[Value, ...]] = MappingProxyType({})
    standing: str = ""


GOAL = "goal"
RAIN = ("soil", "wet")

LAWS = [
    # 1: sets of values, one value that passes is enough, the unknown passes nothing
    Law(
        "a test passes if one value does",
        [rule(GOAL, when(plants="rose"))],
        [("plants", "oak"), ("plants", "rose")],
        {GOAL},
    ),
    Law("a list is any of its values", [rule(GOAL, when(plants=["rose", "fern"]))], [("plants", "fern")], {GOAL}),
    Law(
        "a list of the values of one attribute",
        [rule(GOAL, when(soil=["wet", "dry"], plants="oak"))],
        [("soil", "dry"), ("plants", "oak")],
        {GOAL},
    ),
    Law(
        "two values that pass a list are one touch",
        [rule(GOAL, every(when(plants=["rose", "fern"]), when(soil="wet")))],
        [("plants", "fern"), ("plants", "rose")],
    ),
    Law(
        "every is all of its values",
        [rule(GOAL, every(when(plants="rose"), when(plants="fern")))],
        [("plants", "rose")],
    ),
    Law("the unknown passes nothing", [rule(GOAL, when(height="at-most 100"))], []),
    Law("the unknown passes no count", [rule(GOAL, when(plants="count at-most 5"))], []),
    Law("the unknown passes a negation", [rule(GOAL, no(when(height="at-most 100")))], [], {GOAL}),
    Law("unless is absence", [rule(GOAL, when(plants="rose"), unless=when(soil="wet"))], [("plants", "rose")], {GOAL}),
    Law(
        "unless holds a rule back",
        [rule(GOAL, when(plants="rose"), unless=when(soil="wet"))],
        [("plants", "rose"), RAIN],
    ),
    Law("unless any of two", [rule(GOAL, unless=either(when(soil="wet"), when(plants="rose")))], [("plants", "rose")]),
    Law("unless all of two", [rule(GOAL, unless=when(soil="wet", plants="rose"))], [("plants", "rose")], {GOAL}),
    Law(
        "a not within an unless",
        [rule(GOAL, unless=every(when(soil="wet"), no(when(tools="hoe"))))],
        [RAIN, ("tools", "hoe")],
        {GOAL},
    ),
    Law("known is any value", [rule(GOAL, when(plants="known"))], [("plants", "a plant no rule names")], {GOAL}),
    Law("known: false is no value", [rule(GOAL, no(when(plants="known")))], [("plants", "a plant no rule names")]),
    Law("known of a figure", [rule(GOAL, when(height="known"))], [("height", 3)], {GOAL}),
    Law(
        "an attribute nobody described is a set",
        [rule(GOAL, when(pond="deep"))],
        [("pond", "deep"), ("pond", "wide")],
        {GOAL},
    ),
    Law("at-least keeps its bound", [rule(GOAL, when(height="at-least 3"))], [("height", 3)], {GOAL}),
    Law("at-most keeps its bound", [rule(GOAL, when(height="at-most 3"))], [("height", 3.0)], {GOAL}),
    Law("above leaves its bound out", [rule(GOAL, when(height="above 3"))], [("height", 3)]),
    Law("below leaves its bound out", [rule(GOAL, when(height="below 3"))], [("height", 3)]),
    Law("above takes the least bit more", [rule(GOAL, when(height="above 3"))], [("height", 3.0000001)], {GOAL}),
    Law(
        "a range is two bounds",
        [rule(GOAL, when(height="above 3", nights="below 9"))],
        [("height", 4), ("nights", 8)],
        {GOAL},
    ),
    Law(
        "a figure outside one of two bounds",
        [rule(GOAL, every(when(height="above 3"), when(height="below 9")))],
        [("height", 10)],
    ),
    Law("a figure named outright", [rule(GOAL, when(height=3))], [("height", 3.0)], {GOAL}),
    Law("a word passes no bound", [rule(GOAL, when(height="at-least 3"))], [("height", "tall")]),
    Law(
        "a count of values",
        [rule(GOAL, when(plants="count at-least 2"))],
        [("plants", "oak"), ("plants", "fern")],
        {GOAL},
    ),
    Law(
        "a thing said twice counts once",
        [rule(GOAL, when(plants="count at-least 2"))],
        [("plants", "oak"), ("plants", "oak")],
    ),
    Law(
        "a count of concluded values",
        [rule(GOAL, when(pests="count above 1")), rule("slugs", conclude=[("pests", "slug")])],
        [("pests", "aphid"), ("pests", "slug")],
        {GOAL, "slugs"},
    ),
    Law(
        "some of several",
        [rule(GOAL, some(2, when(soil="wet"), when(plants="oak"), when(tools="hoe")))],
        [RAIN, ("tools", "hoe")],
        {GOAL},
    ),
    Law("too few of several", [rule(GOAL, some(2, when(soil="wet"), when(plants="oak"), when(tools="hoe")))], [RAIN]),
    Law(
        "a condition named twice counts twice",
        [rule(GOAL, some(2, when(soil="wet"), when(soil="wet"), when(plants="oak")))],
        [RAIN],
        {GOAL},
    ),
    Law(
        "some of lists",
        [rule(GOAL, some(2, when(plants=["rose", "fern"]), when(soil="wet")))],
        [("plants", "rose"), ("plants", "fern")],
    ),
    Law("some none is always so", [rule(GOAL, some(0, when(soil="wet")))], [], {GOAL}),
    Law(
        "more than there are is never so",
        [rule(GOAL, some(3, when(soil="wet"), when(plants="oak")))],
        [RAIN, ("plants", "oak")],
    ),
    Law("a rule without conditions fires", [rule(GOAL)], [], {GOAL}),
    Law("any of nothing never holds", [rule(GOAL, either())], []),
    Law(
        "an alternative that is an absence", [rule(GOAL, either(when(soil="wet"), no(when(plants="oak"))))], [], {GOAL}
    ),
    Law(
        "an alternative beside an absence",
        [rule(GOAL, either(when(soil="wet"), no(when(plants="oak"))))],
        [RAIN, ("plants", "oak")],
        {GOAL},
    ),
    # 2: who makes facts, and who is believed
    Law(
        "what is concluded is tested",
        [rule("slugs", when(soil="wet"), conclude=[("pests", "slug")]), rule(GOAL, when(pests="slug"))],
        [RAIN],
        {"slugs", GOAL},
        {"pests": ("slug",)},
        CONCLUDED,
    ),
    Law(
        "concluded figures are tested",
        [rule("tall", when(soil="wet"), conclude=[("height", 9)]), rule(GOAL, when(height="at-least 8"))],
        [RAIN],
        {"tall", GOAL},
        {"height": (9,)},
        CONCLUDED,
    ),
    Law(
        "said beats concluded for one value",
        [rule("freeze", when(soil="wet"), conclude=[("frost", "hard")]), rule(GOAL, when(frost="hard"))],
        [RAIN, ("frost", "light")],
        {"freeze"},
        {"frost": ("light",)},
        SAID,
    ),
    Law(
        "said beats concluded for a figure",
        [rule("tall", conclude=[("height", 9)]), rule(GOAL, when(height="at-least 8"))],
        [("height", 2)],
        {"tall"},
        {"height": (2,)},
        SAID,
    ),
    Law(
        "said and concluded unite for sets",
        [rule("slugs", conclude=[("pests", "slug")])],
        [("pests", "aphid")],
        {"slugs"},
        {"pests": ("aphid", "slug")},
    ),
    Law(
        "said stays said when it is concluded too",
        [rule("slugs", conclude=[("pests", "slug")])],
        [("pests", "slug")],
        {"slugs"},
        {"pests": ("slug",)},
        SAID,
    ),
    Law(
        "what nobody knows is assumed",
        [rule("guess", assume=[("season", "spring")]), rule(GOAL, when(season="spring"))],
        [],
        {"guess", GOAL},
        {"season": ("spring",)},
        ASSUMED,
    ),
    Law(
        "said beats assumed",
        [rule("guess", assume=[("season", "spring")]), rule(GOAL, when(season="spring"))],
        [("season", "winter")],
        {"guess"},
        {"season": ("winter",)},
        SAID,
    ),
    Law(
        "concluded beats assumed",
        [
            rule("guess", assume=[("season", "spring")]),
            rule("cold", when(frost="hard"), conclude=[("season", "winter")]),
        ],
        [("frost", "hard")],
        {"guess", "cold"},
        {"season": ("winter",)},
        CONCLUDED,
    ),
    Law(
        "a set is assumed only if all of it is unknown",
        [rule("guess", assume=[("pests", "slug")])],
        [("pests", "aphid")],
        {"guess"},
        {"pests": ("aphid",)},
        SAID,
    ),
    Law(
        "a set is not assumed beside a conclusion",
        [rule("guess", assume=[("pests", "slug")]), rule("lice", conclude=[("pests", "aphid")])],
        [],
        {"guess", "lice"},
        {"pests": ("aphid",)},
        CONCLUDED,
    ),
    Law(
        "assumptions of a set unite",
        [rule("one", assume=[("pests", "slug")]), rule("two", assume=[("pests", "aphid")])],
        [],
        {"one", "two"},
        {"pests": ("aphid", "slug")},
        ASSUMED,
    ),
    Law(
        "an assumption may rest on another",
        [rule("guess", assume=[("season", "winter")]), rule("cold", when(season="winter"), assume=[("frost", "hard")])],
        [],
        {"guess", "cold"},
        {"frost": ("hard",)},
        ASSUMED,
    ),
    # 3: strata
    Law(
        "not looks at what is complete",
        [
            rule("a", unless=when(pests="slug"), conclude=[("tools", "rake")]),
            rule("b", when(soil="wet"), conclude=[("plants", "moss")]),
            rule("c", when(plants="moss"), conclude=[("pests", "slug")]),
        ],
        [RAIN],
        {"b", "c"},
    ),
    Law(
        "an alternative that comes late",
        [
            rule("a", either(when(pests="slug"), no(when(tools="net"))), conclude=[("plants", "moss")]),
            rule("b", when(plants="fern"), unless=when(tools="hoe"), conclude=[("pests", "slug")]),
            rule("c", when(plants="moss"), conclude=[("pests", "slug")]),
        ],
        [("tools", "net"), ("plants", "fern")],
        {"a", "b", "c"},
        {"pests": ("slug",)},
        CONCLUDED,
    ),
    Law(
        "values of one attribute may stand on different strata",
        [rule("a", when(plants="oak"), unless=when(pests="slug"), conclude=[("pests", "aphid")])],
        [("plants", "oak")],
        {"a"},
        {"pests": ("aphid",)},
    ),
    Law(
        "of claimed values the cautious one leads",
        [
            rule("a", conclude=[("frost", "light")]),
            rule("b", conclude=[("frost", "hard")]),
            rule(GOAL, when(frost="light")),
            rule("other", when(frost="hard")),
        ],
        [],
        {"a", "b", "other"},
        {"frost": ("hard",)},
        CONCLUDED,
    ),
    Law(
        "of values with no order the alphabet leads",
        [rule("a", conclude=[("season", "winter")]), rule("b", conclude=[("season", "summer")])],
        [],
        {"a", "b"},
        {"season": ("summer",)},
        CONCLUDED,
    ),
    Law(
        "a cautious value leads one that is not listed",
        [rule("a", conclude=[("soil", "chalk")]), rule("b", conclude=[("soil", "dry")])],
        [],
        {"a", "b"},
        {"soil": ("dry",)},
        CONCLUDED,
    ),
    Law(
        "of said values the cautious one leads",
        [rule(GOAL, when(frost="light"))],
        [("frost", "light"), ("frost", "hard")],
        set(),
        {"frost": ("hard",)},
        SAID,
    ),
    Law(
        "of figures the highest leads",
        [rule(GOAL, when(height="below 3"))],
        [("height", 2), ("height", 5)],
        set(),
        {"height": (5,)},
        SAID,
    ),
    Law(
        "of figures with a cautious low end the lowest leads",
        [rule(GOAL, when(nights="above 3"))],
        [("nights", 5), ("nights", 2)],
        set(),
        {"nights": (2,)},
        SAID,
    ),
    Law(
        "of assumed values the cautious one leads",
        [rule("a", assume=[("frost", "light")]), rule("b", assume=[("frost", "hard")])],
        [],
        {"a", "b"},
        {"frost": ("hard",)},
        ASSUMED,
    ),
    Law(
        "a claim that is beaten is absent",
        [
            rule("a", conclude=[("frost", "light")]),
            rule("b", conclude=[("frost", "hard")]),
            rule(GOAL, unless=when(frost="light")),
        ],
        [],
        {"a", "b", GOAL},
    ),
]


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.name)
def test_law(law: Law) -> None:
    findings = run(law.rules, law.said)
    assert set(findings.fired) == law.fires
    for attribute, values in law.holds.items():
        assert findings.values(attribute) == values
        if law.standing:
            assert {findings.standing(attribute, value) for value in values} == {law.standing}


CONFLICTS: list[tuple[str, list[ParsedRule], list[tuple[str, Value]], Conflict]] = [
    (
        "of rules",
        [
            rule("a", conclude=[("frost", "light")]),
            rule("b", when(soil="wet"), conclude=[("frost", "hard")]),
            rule("c", when(soil="dry"), conclude=[("frost", "none")]),
        ],
        [RAIN],
        Conflict("frost", "hard", ("light",), CONCLUDED, ("a", "b")),
    ),
    (
        "of assumptions",
        [rule("a", assume=[("season", "winter")]), rule("b", assume=[("season", "autumn")])],
        [],
        Conflict("season", "autumn", ("winter",), ASSUMED, ("a", "b")),
    ),
    ("of what was said", [], [("height", 3), ("height", 7), ("height", 5)], Conflict("height", 7, (5, 3), SAID, ())),
]


@pytest.mark.parametrize(("name", "rules", "said", "conflict"), CONFLICTS, ids=[case[0] for case in CONFLICTS])
def test_a_conflict_is_reported(
    name: str, rules: list[ParsedRule], said: list[tuple[str, Value]], conflict: Conflict
) -> None:
    assert run(rules, said).conflicts == (conflict,)


def test_no_conflict_where_something_said_settles_it() -> None:
    rules = [rule("a", conclude=[("frost", "light")]), rule("b", conclude=[("frost", "hard")])]
    assert run(rules, [("frost", "light")]).conflicts == ()
    assert run(rules[:1], []).conflicts == ()


# Measures: percent-apart is the difference as a part of the larger; percent-of the first as a part of the second


@pytest.mark.parametrize(
    ("how", "east", "west", "figure"),
    [
        ("ratio", 30, 40, 0.75),
        ("difference", 30, 40, -10),
        ("percent-apart", 30, 40, 25),
        ("percent-apart", 40, 30, 25),
        ("percent-of", 30, 40, 75),
        ("percent-of", 0.3, 0.1, 300),
        ("difference", 0.3, 0.1, 0.2),
    ],
)
def test_a_measure_is_computed_before_rules(how: str, east: float, west: float, figure: float) -> None:
    measure = Measure("lean", ("yield.east", "yield.west"), how)
    rules = [rule("at", when(lean=f"at-least {figure}")), rule("over", when(lean=f"above {figure}"))]
    findings = run(rules, [("yield.east", east), ("yield.west", west)], [measure])
    assert findings.number("lean") == figure
    assert findings.standing("lean", figure) == MEASURED
    assert findings.fired == ("at",)


@pytest.mark.parametrize("how", ["ratio", "percent-of", "percent-apart"])
def test_a_measure_of_nothing_is_unknown(how: str) -> None:
    measure = Measure("lean", ("yield.east", "yield.west"), how)
    assert run([], [("yield.east", 0), ("yield.west", 0)], [measure]).values("lean") == ()
    assert run([], [("yield.east", 5)], [measure]).values("lean") == ()
    assert run([], [("yield.east", "much"), ("yield.west", 2)], [measure]).values("lean") == ()


def test_a_measure_is_never_taken_of_concluded_figures_and_never_beats_what_was_said() -> None:
    measure = Measure("lean", ("yield.east", "yield.west"), "difference")
    rules = [rule("a", conclude=[("yield.west", 3)])]
    assert run(rules, [("yield.east", 5)], [measure]).values("lean") == ()
    said: list[tuple[str, Value]] = [("yield.east", 5), ("yield.west", 1), ("lean", 9)]
    assert run(rules, said, [measure]).values("lean") == (9,)


# What is asked of findings


def test_findings_answer_plainly() -> None:
    findings = run([rule("a", conclude=[("pests", "slug"), ("pests", "aphid")])], [RAIN, ("height", 3), ("height", 4)])
    assert findings.values("pests") == ("aphid", "slug")
    assert (findings.value("soil"), findings.value("season")) == ("wet", None)
    assert findings.has("pests", "slug")
    assert not findings.has("pests", "worm")
    assert (findings.known("pests"), findings.known("tools")) == (True, False)
    assert (findings.number("height"), findings.number("soil"), findings.number("nights")) == (4, None, None)
    assert findings.standing("pests", "worm") == ""
    assert findings.effects == (("a", ("tell", "a")),)
    assert [holding[:2] for holding in findings.holdings(SAID)] == [("height", 4), ("soil", "wet")]


def test_findings_keep_the_words() -> None:
    heard = [*facts_of(RAIN), *facts_of(("plants", "oak"))]
    findings = conclude(base_of([]), [*heard, Fact("soil", "wet"), Fact("soil", "wet", "a swamp")])
    assert findings.facts == (Fact("plants", "oak", "plants is oak"), Fact("soil", "wet", "a swamp"))


def test_a_figure_is_one_however_it_is_written() -> None:
    whole, point = Fact("plants", 3, "three"), Fact("plants", 3.0, "three")
    for facts in ([whole, point], [point, whole]):
        findings = conclude(base_of([rule(GOAL, when(plants="count at-most 1"))]), facts)
        assert findings.fired == (GOAL,)
        assert repr((findings.values("plants"), findings.facts)) == repr(((3,), (whole,)))


def test_a_rule_may_have_more_conditions_than_fit_a_byte() -> None:
    plants: list[tuple[str, Value]] = [("plants", f"p{number}") for number in range(700)]
    tests: list[Any] = [("is", *plant) for plant in plants]
    rules = [rule("all", every(*tests)), rule("most", some(650, *tests)), rule("one", either(*tests))]
    assert run(rules, plants).fired == ("all", "most", "one")
    assert run(rules, plants[:-1]).fired == ("most", "one")
    assert run(rules, plants[:649]).fired == ("one",)
