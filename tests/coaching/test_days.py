"""Days: rescaling as a table, which of several plans stands, and where training days lie."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from backstay.coaching import days

from .builders import Findings

TABLE = yaml.safe_load((Path(__file__).parent / "days.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row['written']} of {row['of']} for {row['training']}")
def test_rescaled(row: dict[str, Any]) -> None:
    assert days.rescaled(row["written"], row["of"], row["training"]) == tuple(row["days"])


@given(st.integers(1, 7), st.integers(1, 7), st.data())
def test_days_stay_within_the_week_and_in_order(of: int, training: int, data: st.DataObject) -> None:
    on = data.draw(st.lists(st.integers(1, of), min_size=1, unique=True))
    got = days.rescaled(on, of, training)
    assert got
    assert all(1 <= day <= training for day in got)
    assert list(got) == sorted(set(got))


def test_without_a_known_week_there_are_no_days() -> None:
    assert days.preferred_days([((3, 4), 6, "midweek")], None) == ((), ())


def test_a_plan_for_just_this_week_stands_before_a_rescaled_one() -> None:
    written = [((3, 4), 6, "of-six"), ((3,), 5, "of-five")]
    assert days.preferred_days(written, 5) == ((3,), ("of-five",))
    assert days.preferred_days(written, 4) == ((2, 3), ("of-six",))


def test_where_several_speak_the_days_they_agree_on_stand() -> None:
    assert days.preferred_days([((3, 4), 6, "a"), ((4, 5), 6, "b")], 6) == ((4,), ("a", "b"))
    assert days.preferred_days([((1,), 6, "a"), ((5,), 6, "b")], 6) == ((1, 5), ("a", "b"))


@pytest.mark.parametrize("count", range(1, 8))
def test_a_calendar_has_as_many_days_as_are_trained(count: int) -> None:
    lie = days.calendar(Findings(), count)
    assert len(set(lie)) == count
    assert list(lie) == sorted(lie)


def test_weekdays_that_were_named_are_trained_and_those_of_rest_are_not() -> None:
    told = {"day-load.wednesday": "heavy-pulls", "day-load.monday": "rest", "day-load.sunday": "squats"}
    assert days.calendar(Findings(facts=told), 3) == (2, 4, 6)


def test_a_load_lies_on_a_weekday_on_a_training_day_or_beside_today() -> None:
    lie = days.DAYS_LIE[4]
    assert days.days_with(Findings(facts={"day-load.friday": "heavy-pulls"}), "heavy-pulls", lie) == {4}
    assert days.days_with(Findings(facts={"day-load.3": ["heavy-pulls", "squats"]}), "heavy-pulls", lie) == {3}
    beside = Findings(facts={"day-load.tomorrow": "heavy-pulls", "today-is-day": 2.0})
    assert days.days_with(beside, "heavy-pulls", lie) == {2}
    assert days.days_with(Findings(facts={"day-load.tomorrow": "heavy-pulls"}), "heavy-pulls", lie) == set()


def test_hours_until_a_load() -> None:
    assert days.hours_until(0, [2]) == 48
    assert days.hours_until(5, [0, 4]) == 48
    assert days.hours_until(3, [3]) == 168
    assert days.hours_until(3, []) is None
