"""What the search leans on, each part alone: prices that bound, and pairs of which one is never worse."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.dominance import compare_pairs
from backstay.coaching.pricing import PARTS, find_prices
from backstay.coaching.problem import Problem

from .instances import crowded
from .test_menu import by_hand

SEEDS = st.integers(0, 10**6)


@given(SEEDS, st.integers(1, 9), st.booleans())
@settings(max_examples=300, deadline=None)
def test_prices_bound_the_value_of_every_menu(seed: int, size: int, from_best: bool) -> None:
    instance = crowded(seed, size)
    problem = Problem(*instance)
    if not problem.candidates:
        return
    best = by_hand(instance)
    names = [one.exercise for one in problem.candidates]
    first = tuple(names.index(name) for name in best[3]) if from_best else ()
    prices = find_prices(problem, first, -best[0] if from_best else 0, problem.columns.all)
    assert prices.bound >= PARTS * -best[0]


@given(SEEDS, st.integers(2, 9))
@settings(max_examples=600, deadline=None)
def test_the_best_menu_never_holds_what_another_is_never_worse_than(seed: int, size: int) -> None:
    instance = crowded(seed, size)
    problem = Problem(*instance)
    names = [one.exercise for one in problem.candidates]
    chosen = {names.index(name) for name in by_hand(instance)[3]}
    under, gone = compare_pairs(problem, problem.columns.all)
    assert not any(gone & problem.columns.field[place] for place in chosen)
    for place, mask in enumerate(under):
        if place not in chosen:
            assert not any(mask & problem.columns.field[other] for other in chosen)
