"""What a change changes: found where it was planted, put down to what causes it, and nothing else."""

from __future__ import annotations

import pytest

from backstay.knowledge.base import Base, ParsedRule
from backstay.knowledge.loading import load
from backstay.review.comparing import Comparison, changes, differing
from backstay.review.report import report
from backstay.review.solving import Answer, Given
from backstay.review.space import Space
from backstay.review.walking import walk_space

from .narrow import changed, each, narrow, without

SPACE = narrow(
    each("fault", "rounds", "twists"),
    each("phase", "general-preparation", "peaking"),
    each("pain", "present"),
    each("sign", "numb-saddle"),
    each("age", 14),
    each("level", "beginner"),
)
PLACE = ("club/rules/club.yaml", 1, 3)


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


def compared(before: Base, after: Base, space: Space = SPACE) -> Comparison:
    comparison = walk_space([after, before], space).comparison
    assert comparison is not None
    assert comparison.situations == space.size
    return comparison


def test_nothing_changed_where_nothing_was(base: Base) -> None:
    found = compared(base, base)
    assert (found.differing, found.groups, found.errors) == (0, {}, {})
    assert list(changes(base, base)) == []


def test_another_order_or_reason_is_no_change(base: Base) -> None:
    again = changed(base, lambda rule: rule._replace(place=PLACE))
    assert compared(base, again).differing == 0


def test_a_rule_that_is_gone_causes_what_it_caused(base: Base) -> None:
    found = compared(base, without(base, "rounding-needs-a-stronger-hold"))
    assert found.groups.keys() == {("rule", "rounding-needs-a-stronger-hold")}
    group = found.groups["rule", "rounding-needs-a-stronger-hold"]
    assert group.example == (("fault", "rounds"),), "the fewest facts"
    assert group.count == group.case.count == found.differing > 0
    assert "picks" in found.kinds
    assert not found.errors


def test_two_changes_are_told_apart(base: Base) -> None:
    after = without(base, "rounding-needs-a-stronger-hold", "twist-starts-in-the-pull")
    found = compared(base, after)
    assert found.groups.keys() == {("rule", "rounding-needs-a-stronger-hold"), ("rule", "twist-starts-in-the-pull")}
    for (_, rule), group in found.groups.items():
        fault = "rounds" if rule.startswith("rounding") else "twists"
        assert group.example == (("fault", fault),)
        assert group.others.count == 0


def test_a_new_rule_causes_what_it_causes(base: Base) -> None:
    new = ParsedRule("club-less", ("is", "level", "beginner"), None, (), (), (("limit", "items", 1),), PLACE)
    found = compared(base, changed(base, lambda rule: rule, new))
    assert found.groups.keys() == {("rule", "club-less")}
    assert found.groups["rule", "club-less"].example == (("level", "beginner"),)


def test_a_stop_that_disappears_is_an_error(base: Base) -> None:
    silent = changed(base, lambda rule: rule._replace(effects=_but(rule, "stop")))
    found = compared(base, silent)
    assert found.errors["stop-gone"].count > 0
    example = found.errors["stop-gone"].example
    assert example is not None
    assert ("sign", "numb-saddle") in example[1]
    assert example[0] <= 2


def test_a_notice_that_disappears_is_an_error(base: Base) -> None:
    silent = changed(base, lambda rule: rule._replace(effects=_but(rule, "notice")))
    found = compared(base, silent)
    assert found.errors["notice-gone"].count > SPACE.size / 4
    example = found.errors["notice-gone"].example
    assert example is not None
    assert example[0] == 1, "one fact is enough to see it"
    assert "stop-gone" not in found.errors


def test_the_other_way_round_it_is_none(base: Base) -> None:
    silent = changed(base, lambda rule: rule._replace(effects=_but(rule, "notice")))
    found = compared(silent, base)
    assert not found.errors
    assert found.kinds["notice-new"] > 0


def _but(rule: ParsedRule, kind: str) -> tuple[tuple[object, ...], ...]:
    return tuple(effect for effect in rule.effects if effect[0] != kind)


def test_an_exercise_written_otherwise_is_the_cause_and_no_rule(base: Base) -> None:
    hold = base.exercises["side-bridge"]
    doses = {use: {**dose, "sets": 2} for use, dose in hold.doses.items()}
    again = Base({**base._sections, "exercises": {**base.exercises, "side-bridge": hold._replace(doses=doses)}})
    found = compared(base, again)
    assert found.groups.keys() == {("exercise", "side-bridge")}
    assert found.kinds.keys() <= {"doses", "picks"}
    assert found.kinds["doses"] > 0


def given(name: str, sets: int = 3, **but: object) -> Given:
    one = Given(name, ("usual", sets, None, None, None), None, (), None, ())
    return one._replace(**but)  # type: ignore[arg-type]


def answer(outcome: str = "advice", within: str | None = None, **but: object) -> Answer:
    return Answer(outcome, within, (), (), (), ())._replace(**but)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("before", "after", "kinds"),
    [
        (answer("stop", "now"), answer("stop", "today"), ["stop-later"]),
        (answer("stop", "days"), answer("refer", "days"), ["stop-later"]),
        (answer("refer", "weeks"), answer("question"), ["stop-later"]),
        (answer("question"), answer(), ["stop-gone"]),
        (answer("stop", "today"), answer(), ["stop-gone"]),
        (answer("refer", "weeks"), answer("refer", "days"), ["stop-sooner"]),
        (answer("refer", "weeks"), answer("stop", "now"), ["stop-sooner"]),
        (answer(), answer("question"), ["stop-new"]),
        (answer("none-left", "weeks"), answer(), ["outcome"]),
        (answer("stop", "now"), answer("none-left", "weeks"), ["stop-gone"]),
        (answer(notices=("a", "b")), answer(notices=("b",)), ["notice-gone"]),
        (answer(notices=("b",)), answer(notices=("a", "b")), ["notice-new"]),
        (answer(notices=("a",)), answer(notices=("b",)), ["notice-gone", "notice-new"]),
        (answer(given=(given("x"),)), answer(given=(given("y"),)), ["picks"]),
        (answer(given=(given("x"),)), answer(given=(given("x", 2),)), ["doses"]),
        (answer(given=(given("x"),)), answer(given=(given("x", side="left"),)), ["doses"]),
        (answer(given=(given("x"),)), answer(given=(given("x", load=("bar", 20)),)), ["doses"]),
        (answer(given=(given("x"), given("y"))), answer(given=(given("x", 2),)), ["picks", "doses"]),
        (answer(tells=("a",)), answer(), ["said"]),
        (answer(asks=("a",)), answer(asks=("b",)), ["asked"]),
        (answer(), answer(), []),
    ],
)
def test_each_difference_has_its_name(before: Answer, after: Answer, kinds: list[str]) -> None:
    assert list(differing(before, after)) == kinds


def test_a_report_of_a_change_shows_before_and_after(base: Base) -> None:
    review = walk_space([without(base, "rounding-needs-a-stronger-hold"), base], SPACE)
    found = report(review)["against"]
    assert (found["situations"], found["differing"]) == (SPACE.size, found["groups"][0]["situations"])
    group = found["groups"][0]
    assert (group["cause"], group["how"]) == (["rule", "rounding-needs-a-stronger-hold"], "gone")
    assert group["plainest"] == [["fault", "rounds"]]
    assert group["before"]["picks"] != group["after"]["picks"]
    assert found["errors"] == []


def test_a_change_without_effect_is_named(base: Base) -> None:
    new = ParsedRule("club-idle", ("is", "build", "short-legs"), None, (), (), (("limit", "items", 1),), PLACE)
    found = report(walk_space([changed(base, lambda rule: rule, new), base], SPACE))["against"]
    assert (found["differing"], found["silent"]) == (0, [["rule", "club-idle"]])
