"""Blocks and timelines: a small season of three rules, asked ahead day by day."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.ahead import Ahead
from backstay.coaching.block import Stretch, make_block
from backstay.coaching.timeline import turns
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

from .builders import base, exercise, parsed, weeks

TODAY = date(2026, 3, 2)


def season() -> Base:
    """Early strength, a hold from six weeks, half of it from three weeks, nothing loaded in the last ten days."""
    return base(
        [
            exercise("hinge", trains={"hinge": 3}, dose={"sets": 4}, soreness="expected", family="hinge"),
            exercise("hold", trains={"hold": 3}, dose={"sets": 2}, soreness="some", easier=("light-hold",)),
            exercise("light-hold", trains={"hold": 2}, dose={"sets": 2}, soreness="some", family="light"),
            exercise("stranger", trains={"hold": 3}, dose={"sets": 2}, soreness="some", family="other"),
        ],
        parsed=[
            parsed("always", ("all", ()), ("need", "hinge", 3)),
            parsed("early", ("number", "weeks-to-meet", "above", 6), assumes=[("phase", "specific-preparation")]),
            parsed("six-weeks", weeks(6), ("need", "hold", 3), ("avoid", ("stranger",), 1)),
            parsed(
                "middle",
                ("all", (weeks(6), ("number", "weeks-to-meet", "above", 2))),
                assumes=[("phase", "pre-competition")],
            ),
            parsed("late", weeks(2), assumes=[("phase", "peaking")]),
            parsed("three-weeks", weeks(3), ("dose", ("hinge",), "sets", "times", 0.5)),
            parsed("ten-days", weeks(10 / 7), ("forbid", ("hinge", "hold"))),
        ],
    )


def block(made: Base, *facts: Fact) -> tuple[Stretch, ...]:
    return make_block(made, conclude(made, facts), "block", (), TODAY)


def told(stretches: tuple[Stretch, ...]) -> list[tuple[str, tuple[int, int], list[tuple[str, int]]]]:
    return [(one.phase, one.days, [(pick.exercise, pick.dose.sets) for pick in one.picks]) for one in stretches]


def test_the_season_falls_into_stretches_with_a_menu_each() -> None:
    assert told(block(season(), Fact("weeks-to-meet", 8.0))) == [
        ("specific-preparation", (56, 43), [("hinge", 4)]),
        ("pre-competition", (42, 22), [("hinge", 4), ("hold", 2)]),
        ("pre-competition", (21, 15), [("hinge", 2), ("hold", 2)]),
        ("peaking", (14, 11), [("hinge", 2), ("hold", 2)]),
        # The better hold of the two that are left would be new; the lighter form of what was done is not.
        ("peaking", (10, 1), [("light-hold", 2)]),
    ]


def test_dates_run_from_today_to_the_day_before_the_meet_without_a_gap() -> None:
    stretches = block(season(), Fact("weeks-to-meet", 8.0))
    assert stretches[0].first == TODAY
    assert stretches[-1].last == TODAY + timedelta(weeks=8, days=-1)
    for one, other in pairwise(stretches):
        assert other.first == one.last + timedelta(days=1)


@given(st.integers(1, 200))
@settings(max_examples=40, deadline=None)
def test_every_day_to_the_meet_is_in_one_stretch(days: int) -> None:
    stretches = block(season(), Fact("weeks-to-meet", days / 7))
    counted = [day for one in stretches for day in range(one.days[0], one.days[1] - 1, -1)]
    assert counted == list(range(days, 0, -1))
    for one in stretches:
        assert (one.last - one.first).days == one.days[0] - one.days[1]
        assert TODAY + timedelta(days=days) - one.first == timedelta(days=one.days[0])


def test_a_phase_that_was_said_stands_until_the_weeks_name_another() -> None:
    said = block(season(), Fact("weeks-to-meet", 8.0), Fact("phase", "general-preparation"))
    phases = [(one.phase, one.days) for one in said]
    assert phases[:2] == [("general-preparation", (56, 43)), ("pre-competition", (42, 22))]


def test_without_a_meet_there_is_no_block() -> None:
    assert block(season()) == ()
    assert block(season(), Fact("weeks-to-meet", 0.0)) == ()


def test_what_holds_today_alone_is_not_carried_ahead() -> None:
    made = base(
        [exercise("hinge", trains={"hinge": 3})],
        parsed=[
            parsed("always", ("all", ()), ("need", "hinge", 3)),
            parsed("ill", ("is", "today-state", "ill"), ("forbid", ("hinge",))),
        ],
    )
    stretches = block(made, Fact("weeks-to-meet", 4.0), Fact("today-state", "ill"))
    assert told(stretches) == [("", (28, 1), [("hinge", 3)])]


@pytest.mark.parametrize("most", [1, 5, 21, 22, 27, 28, 29, 70, 100])
def test_days_that_are_looked_at_go_from_far_to_near(most: int) -> None:
    made = season()
    looked_at = Ahead(made, conclude(made, [Fact("weeks-to-meet", most / 7)])).looked_at(most)
    assert looked_at[0] == most
    assert looked_at[-1] == 0
    assert list(looked_at) == sorted(set(looked_at), reverse=True)
    assert set(range(min(21, most) + 1)) <= set(looked_at)


def test_a_timeline_says_from_when_there_is_less_and_from_when_nothing() -> None:
    made = season()
    found = conclude(made, [Fact("weeks-to-meet", 8.0)])
    assert [(turn.days, turn.stands, turn.sets) for turn in turns(made, found, "timing", ["hinge"])] == [
        (56, "full", 4),
        (21, "less", 2),
        (10, "out", None),
    ]


def test_without_a_meet_the_timeline_looks_back_from_any() -> None:
    made = season()
    last = turns(made, conclude(made, []), "timing", ["hinge"])[-1]
    assert (last.days, last.stands, last.because) == (10, "out", ("ten-days",))
