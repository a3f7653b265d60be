"""Weeks: as often as the dose says, never sore before the heaviest pulls, the cheapest placing found exactly."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.days import DAYS_LIE, hours_until
from backstay.coaching.week import Day, Item, lay_week


def days_of(week: tuple[Day, ...], exercise: str) -> list[int]:
    return [day.day for day in week if exercise in day.exercises]


def test_the_preferred_day_is_taken() -> None:
    week = lay_week([Item("hinge", 1, 4, 10, (3, 4))], DAYS_LIE[6]).days
    assert days_of(week, "hinge") == [3]


def test_a_hard_hinge_stands_two_days_before_the_heaviest_pulls() -> None:
    # Heavy pulls on the fifth day (Friday): the fourth is too near, so of the two preferred the third is left.
    spacing = ((48, frozenset({4})),)
    assert days_of(lay_week([Item("hinge", 1, 4, 10, (3, 4), spacing)], DAYS_LIE[6]).days, "hinge") == [3]
    # On the fourth (Thursday): neither, so the spacing stands over the preference.
    week = lay_week([Item("hinge", 1, 4, 10, (3,), ((48, frozenset({3})),))], DAYS_LIE[6]).days
    assert days_of(week, "hinge") != [3]


def test_an_exercise_done_twice_stands_apart() -> None:
    first, second = days_of(lay_week([Item("long", 2, 3, 10)], DAYS_LIE[6]).days, "long")
    assert second - first >= 2


def test_hard_work_does_not_heap_up_on_one_day() -> None:
    week = lay_week([Item("a", 1, 4, 10), Item("b", 1, 4, 10), Item("c", 1, 4, 10)], DAYS_LIE[4]).days
    assert max(len(day.exercises) for day in week) == 1


def test_no_day_is_longer_than_the_minutes_at_hand() -> None:
    items = [Item("a", 1, 0, 10, (1,)), Item("b", 1, 0, 10, (1,)), Item("c", 1, 0, 10, (1,))]
    week = lay_week(items, DAYS_LIE[3], minutes=15).days
    assert [day.minutes for day in week] == [10, 10, 10]


def test_the_order_of_a_session_is_kept() -> None:
    week = lay_week([Item("fast", 1, 2, 5), Item("calm", 1, 0, 5)], DAYS_LIE[1]).days
    assert week == (Day(1, 0, ("fast", "calm"), 10),)


ITEMS = st.lists(
    st.builds(
        Item,
        st.just("x"),
        st.integers(1, 4),
        st.integers(0, 6),
        st.integers(3, 12),
        st.sets(st.integers(1, 7), max_size=2).map(lambda days: tuple(sorted(days))),
        st.sets(st.integers(0, 6), max_size=1).map(lambda days: ((48, frozenset(days)),) if days else ()),
    ),
    max_size=5,
)


@given(ITEMS, st.integers(1, 7))
@settings(max_examples=150, deadline=None)
def test_every_exercise_stands_as_often_as_it_should_within_the_week(drawn: list[Item], count: int) -> None:
    items = [item._replace(exercise=f"x{place}") for place, item in enumerate(drawn)]
    week = lay_week(items, DAYS_LIE[count]).days
    assert [day.day for day in week] == list(range(1, count + 1))
    for item in items:
        assert len(days_of(week, item.exercise)) == min(item.times, count)


@given(st.integers(0, 6), st.integers(2, 7))
def test_the_spacing_holds_wherever_some_day_allows_it(heavy: int, count: int) -> None:
    loads = frozenset({heavy})
    free = [number for number, place in enumerate(DAYS_LIE[count], 1) if (hours_until(place, loads) or 0) >= 48]
    (day,) = days_of(lay_week([Item("hinge", 1, 4, 10, (count,), ((48, loads),))], DAYS_LIE[count]).days, "hinge")
    assert day in free or not free
