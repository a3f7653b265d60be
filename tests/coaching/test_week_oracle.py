"""The week is the exact optimum: a general solver finds the same menu and a placing of the same cost."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.days import DAYS_LIE
from backstay.coaching.menu import Choice
from backstay.coaching.packing import best_packed, packs
from backstay.coaching.problem import Candidate, Limits
from backstay.coaching.week import Item, lay_week

from .weeks_solved import WeekTold, cost_by_hand, menu_solved, placing_solved, week_told


def menu_of(told: WeekTold) -> Choice:
    if told.minutes is None:
        return Choice(*told.problem)
    works = {name: (item.minutes, item.times) for name, item in told.items.items()}
    return best_packed(*told.problem, (), works, len(told.days))


@pytest.mark.parametrize("start", range(0, 500, 50))
def test_a_general_solver_finds_the_same_menu_and_days_as_good(start: int) -> None:
    for seed in range(start, start + 50):
        told = week_told(seed)
        menu = menu_of(told).menu
        assert menu.proved
        assert (-menu.value, len(menu.exercises), menu.stress, menu.exercises) == menu_solved(told), seed
        items = [told.items[name] for name in menu.exercises]
        laid = lay_week(items, told.days, told.minutes)
        assert laid.proved
        assert cost_by_hand(items, laid.days, told.minutes) == placing_solved(items, told.days, told.minutes), seed


@pytest.mark.parametrize("start", range(0, 40, 20))
def test_days_that_are_too_short_are_too_long_by_as_little_as_can_be(start: int) -> None:
    for seed in range(start, start + 20):
        told = week_told(seed)
        items = [told.items[name] for name in sorted(told.items)[:5]]
        laid = lay_week(items, told.days, 7)
        assert laid.proved
        assert cost_by_hand(items, laid.days, 7) == placing_solved(items, told.days, 7), seed


def test_three_of_ten_minutes_do_not_fit_two_days_of_fifteen() -> None:
    candidates = [Candidate(name, {name: 3}, 0, 10, 0, 0, name) for name in "abc"]
    needs = {"a": 3, "b": 2, "c": 3}
    choice = best_packed(needs, candidates, Limits(minutes=30), (), dict.fromkeys("abc", (10, 1)), 2)
    assert choice.menu.exercises == ("a", "c")


@given(st.lists(st.tuples(st.integers(1, 12), st.integers(1, 3)), max_size=5), st.integers(1, 5), st.integers(5, 25))
@settings(max_examples=200, deadline=None)
def test_works_pack_just_where_a_placing_has_no_minute_over(works: list[tuple[int, int]], days: int, most: int) -> None:
    items = [Item(f"x{at}", times, 0, minutes) for at, (minutes, times) in enumerate(works)]
    over = cost_by_hand(items, lay_week(items, DAYS_LIE[days], most).days, most)[0]
    assert packs(works, days, most) == (over == 0)


def test_a_placing_that_grows_too_large_says_so() -> None:
    items = [Item(f"x{at}", 2, at % 4, 7) for at in range(8)]
    laid = lay_week(items, DAYS_LIE[6], most_nodes=10)
    assert not laid.proved
    assert all(sum(item.exercise in day.exercises for day in laid.days) == 2 for item in items)
