"""Weeks to a meet, from a date as people write it, against the calendar of the standard library."""

from __future__ import annotations

import calendar
from datetime import date

import pytest

from backstay import Assistant

TODAY = date(2026, 11, 25)
STYLES = ("{day} {month} {year}", "{month} {day}, {year}", "{year}-{number:02d}-{day:02d}")


def _third_saturday(year: int, month: int) -> date:
    """Meets are mostly on Saturdays."""
    saturdays = [week[calendar.SATURDAY] for week in calendar.monthcalendar(year, month) if week[calendar.SATURDAY]]
    return date(year, month, saturdays[2])


MEETS = [_third_saturday(2026, 12), *(_third_saturday(2027, month) for month in (1, 2, 3, 5, 8))]


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant()


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("meet", MEETS, ids=str)
def test_weeks_are_counted_as_the_calendar_counts_them(assistant: Assistant, meet: date, style: str) -> None:
    written = style.format(day=meet.day, month=calendar.month_name[meet.month], number=meet.month, year=meet.year)
    answer = assistant.answer(f"my meet is on {written}, what back work should I do", today=TODAY).as_json()
    weeks = answer["understood"]["facts"]["weeks-to-meet"]
    assert weeks == pytest.approx((meet - TODAY).days / 7, abs=0.08)
