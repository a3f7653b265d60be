"""What holds a plan back: each limit made wider alone, and the choice made again."""

from __future__ import annotations

from backstay.assistant import Assistant
from backstay.coaching.binding import Bound, binding
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

from .builders import base, exercise, parsed


def gym(*limits: tuple[str, float], pain: bool = False) -> Base:
    """Two needs, an exercise for each, and these limits."""
    rules = [parsed("always", ("all", ()), ("need", "hold", 3)), parsed("too", ("all", ()), ("need", "hinge", 2))]
    rules += [parsed(f"most-{name}", ("all", ()), ("limit", name, most)) for name, most in limits]
    rules += [parsed("hurts", ("all", ()), ("notice", "see-clinician"))] if pain else []
    return base(
        [
            exercise("hold", trains={"hold": 3}, stress="medium"),
            exercise("hinge", trains={"hinge": 2}, stress="medium"),
        ],
        parsed=rules,
    )


def bounds(made: Base, want: str = "week", days: int = 3) -> dict[tuple[str, int | None], Bound]:
    found = conclude(made, [Fact("training-days", days)])
    return {(one.limit, one.wider): one for one in binding(made, found, want)}


def test_one_exercise_more_brings_what_the_limit_kept_out() -> None:
    got = bounds(gym(("items", 1)))[("items", 2)]
    # Two points of need at ten each, less the price of one more exercise.
    assert (got.comes, got.goes, got.gain, got.binds) == (("hinge",), (), 13, True)


def test_a_limit_that_keeps_nothing_out_does_not_bind() -> None:
    got = bounds(gym(("items", 2), ("minutes", 60)))
    assert not got["items", 3].binds
    assert not got["minutes", 65].binds


def test_without_the_limit_of_stress_sets_are_not_cut() -> None:
    got = bounds(gym(("stress", 3)))
    assert got["stress", 4].sets == 1
    assert got["stress", None].sets == 3


def test_a_day_more_is_asked_of_the_rules_again() -> None:
    got = bounds(gym(("minutes", 7)), days=1)
    assert got["training-days", 2].comes == ("hinge",)
    assert ("training-days", 8) not in bounds(gym(), days=7)


def test_with_pain_nobody_is_told_what_more_work_would_bring() -> None:
    assert {limit for limit, _ in bounds(gym(("items", 1), ("stress", 3), ("minutes", 7), pain=True))} == {"minutes"}


def test_what_is_not_laid_out_over_days_is_not_held_back() -> None:
    assert bounds(gym(("items", 1)), "recommend") == {}


def test_in_a_talk_a_week_is_told_what_holds_it_back_and_json_holds_the_same() -> None:
    assistant = Assistant()
    week = assistant.answer("make me a week of back work for 4 days, 10 minutes a session, weak off the floor")
    told = week.as_json()["binding"]
    assert {one["limit"] for one in told} >= {"minutes", "items", "training-days"}
    answer = assistant.answer("why only these exercises?", week.case)
    assert answer.want == "why"
    shown = " ".join(answer.text.split())
    names = assistant.base.exercises
    for one in told:
        for name in one["comes"]:
            assert names[name].name in shown
    assert "holds the plan back" in shown
