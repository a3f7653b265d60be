"""Why: reasons level by level, of what has words."""

from __future__ import annotations

from backstay.knowledge.base import Base, Measure, ParsedRule
from backstay.reasoning.engine import conclude
from backstay.reasoning.why import Ground, Reason, why
from reasoning.worlds import base_of, facts_of, rule, when

RULES = [
    rule("damp", when(soil="wet"), conclude=[("plants", "moss")]),
    rule("slugs", when(plants="moss"), unless=when(tools="net"), conclude=[("pests", "slug")]),
    rule("guard", when(pests="slug", plants="moss", height="at-least 2")),
]
SAID = facts_of(("soil", "wet"), ("height", 3))


def reason(base: Base, goal: str | tuple[str, str | float], levels: int = 2) -> Reason:
    found = why(base, conclude(base, SAID), goal, levels)
    assert found is not None
    return found


def silent(base: Base, *names: str) -> Base:
    """The base with these rules left without words."""
    base.rules = {**base.rules, **{name: base.rules[name]._replace(because="") for name in names}}
    return base


def test_a_reason_has_its_words_sources_and_grounds() -> None:
    found = reason(base_of(RULES), "guard")
    assert (found.rule, found.because, found.sources, found.level) == ("guard", "since guard", ("common-practice",), 1)
    assert [
        (ground.attribute, ground.value, ground.standing, ground.words, ground.rule) for ground in found.grounds
    ] == [
        ("pests", "slug", "concluded", "", "slugs"),
        ("plants", "moss", "concluded", "", "damp"),
        ("height", 3, "said", "height is 3", ""),
    ]
    assert found.grounds[2].test == ("number", "height", "at-least", 2.0)


def test_two_levels_are_shown_and_the_rest_is_cut() -> None:
    found = reason(base_of(RULES), "guard")
    assert [(one.rule, one.level, one.cut) for one in found.deeper] == [("slugs", 2, True), ("damp", 2, False)]
    assert not found.cut
    assert reason(base_of(RULES), "guard", levels=1).cut


def test_what_was_shown_is_named_again_and_not_opened() -> None:
    found = reason(base_of(RULES), "guard", levels=9)
    slugs, again = found.deeper
    assert [one.rule for one in slugs.deeper] == ["damp"]
    assert again == Reason("damp", "since damp", ("common-practice",), 2, (), (), (), again=True, cut=False)


def test_an_absence_is_told_with_its_kind() -> None:
    (absence,) = reason(base_of(RULES), ("pests", "slug")).absences
    assert (absence.test, absence.kind) == (("is", "tools", "net"), "not said")


def test_a_rule_without_words_is_left_out_and_its_grounds_move_up() -> None:
    found = reason(silent(base_of(RULES), "slugs"), "guard")
    assert [(ground.attribute, ground.rule) for ground in found.grounds] == [("plants", "damp"), ("height", "")]
    assert [absence.test[1] for absence in found.absences] == ["tools"]
    assert [one.rule for one in found.deeper] == ["damp"]
    bare = reason(silent(base_of(RULES), "slugs", "damp"), "guard")
    assert [ground.attribute for ground in bare.grounds] == ["soil", "height"]
    assert bare.deeper == ()


def test_an_assumption_stays_one_even_where_its_rule_has_no_words() -> None:
    rules = [rule("guess", assume=[("season", "spring")]), rule("sow", when(season="spring"))]
    (ground,) = reason(silent(base_of(rules), "guess"), "sow").grounds
    assert ground[1:6] == ("season", "spring", "assumed", "", "guess")


def test_a_measure_shows_its_figures() -> None:
    rules: list[ParsedRule] = [rule("uneven", when(lean="above 5"))]
    base = base_of(rules, [Measure("lean", ("yield.east", "yield.west"), "difference")])
    found = why(base, conclude(base, facts_of(("yield.east", 9), ("yield.west", 2))), "uneven")
    assert found is not None
    (ground,) = found.grounds
    assert (ground.value, ground.standing) == (7, "measured")
    assert [(one.attribute, one.value, one.words) for one in ground.of] == [
        ("yield.east", 9, "yield.east is 9"),
        ("yield.west", 2, "yield.west is 2"),
    ]
    assert isinstance(ground, Ground)


def test_what_was_said_or_does_not_hold_has_no_reason() -> None:
    base = base_of(RULES)
    findings = conclude(base, SAID)
    assert why(base, findings, ("soil", "wet")) is None
    assert why(base, findings, ("pests", "aphid")) is None
