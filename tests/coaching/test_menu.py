"""The menu is the exact optimum: an independent solver agrees, and the laws hold that any choice must obey."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from backstay.coaching.menu import Candidate, Choice, Limits, Menu, best_menu

from .instances import Instance, crowded, instance
from .weeks_solved import solved

Rank = tuple[int, int, int, tuple[str, ...]]


def rank(menu: Menu) -> Rank:
    """What menus are compared by, smallest first."""
    return -menu.value, len(menu.exercises), menu.stress, menu.exercises


def by_hand(problem: Instance) -> Rank:
    """Try all sets."""
    limits = problem.limits
    useful = [one for one in problem.candidates if any(problem.needs.get(name) for name in one.gains)]
    most = len(useful) if limits.items is None else int(limits.items)
    best: Rank = (0, 0, 0, ())
    for size in range(1, most + 1):
        for chosen in combinations(sorted(useful, key=lambda one: one.exercise), size):
            families = [one.family for one in chosen if one.family]
            if len(set(families)) < len(families):
                continue
            if limits.minutes is not None and sum(one.minutes for one in chosen) > limits.minutes:
                continue
            if limits.stress is not None and sum(one.least_stress for one in chosen) > limits.stress:
                continue
            covered = sum(
                min(need, sum(one.gains.get(name, 0) for one in chosen)) for name, need in problem.needs.items()
            )
            value = 10 * covered + sum(one.preference for one in chosen)
            best = min(best, (-value, size, sum(one.stress for one in chosen), tuple(one.exercise for one in chosen)))
    return best


def by_solver(problem: Instance) -> Rank:
    """The same problem told to a general solver, one aim after the other, the aims before held fast."""
    useful = sorted(
        (one for one in problem.candidates if any(problem.needs.get(name) for name in one.gains)),
        key=lambda one: one.exercise,
    )
    model = cp_model.CpModel()
    taken = [model.new_bool_var(one.exercise) for one in useful]
    covered = []
    for name, need in problem.needs.items():
        cover = model.new_int_var(0, need, name)
        model.add(cover <= sum(one.gains.get(name, 0) * var for one, var in zip(useful, taken, strict=True)))
        covered.append(cover)
    families: dict[str, list[cp_model.IntVar]] = {}
    for one, var in zip(useful, taken, strict=True):
        if one.family:
            families.setdefault(one.family, []).append(var)
    for members in families.values():
        model.add_at_most_one(members)
    pairs = list(zip(useful, taken, strict=True))
    if problem.limits.minutes is not None:
        model.add(sum(one.minutes * var for one, var in pairs) <= int(problem.limits.minutes))
    if problem.limits.stress is not None:
        model.add(sum(one.least_stress * var for one, var in pairs) <= int(problem.limits.stress))
    if problem.limits.items is not None:
        model.add(sum(taken) <= int(problem.limits.items))
    # Earlier ids count more than all later ones together: the lexicographic order of sets of one size.
    first_ids = sum((1 << (len(useful) - place)) * var for place, var in enumerate(taken))
    aims = [
        -(10 * sum(covered) + sum(one.preference * var for one, var in pairs)),
        sum(taken),
        sum(one.stress * var for one, var in pairs),
        -first_ids,
    ]
    solver = solved(model, aims)
    chosen = [one for one, var in pairs if solver.value(var)]
    return (
        round(solver.value(aims[0])),
        len(chosen),
        sum(one.stress for one in chosen),
        tuple(one.exercise for one in chosen),
    )


@pytest.mark.parametrize("start", range(0, 500, 50))
def test_a_general_solver_finds_the_same(start: int) -> None:
    for seed in range(start, start + 50):
        make = crowded if seed % 2 else instance
        problem = make(seed, 6 + seed % 7)
        menu = best_menu(*problem)
        assert menu.proved
        assert rank(menu) == by_solver(problem), seed


@given(st.integers(0, 10**6), st.integers(1, 11))
@settings(max_examples=150, deadline=None)
def test_trying_all_sets_finds_the_same(seed: int, size: int) -> None:
    for make in (instance, crowded):
        problem = make(seed, size)
        assert rank(best_menu(*problem)) == by_hand(problem)


@pytest.mark.parametrize("seed", range(6))
def test_many_nodes_and_pairs_compared_change_nothing(seed: int) -> None:
    problem = crowded(seed, 20)._replace(limits=Limits(16, 4, 4))
    assert rank(best_menu(*problem)) == by_hand(problem)


@given(st.integers(0, 10**6), st.integers(1, 40), st.integers(0, 30))
@settings(max_examples=100, deadline=None)
def test_more_minutes_are_never_worth_less(seed: int, minutes: int, more: int) -> None:
    problem = instance(seed, 20)
    less = best_menu(problem.needs, problem.candidates, problem.limits._replace(minutes=minutes))
    longer = best_menu(problem.needs, problem.candidates, problem.limits._replace(minutes=minutes + more))
    assert longer.value >= less.value


@given(st.integers(0, 10**6), st.integers(1, 40), st.integers(0, 30))
@settings(max_examples=100, deadline=None)
def test_more_minutes_never_cover_fewer_needs(seed: int, minutes: int, more: int) -> None:
    problem = instance(seed, 20)
    equal = [one._replace(preference=0) for one in problem.candidates]
    less = best_menu(problem.needs, equal, problem.limits._replace(minutes=minutes))
    longer = best_menu(problem.needs, equal, problem.limits._replace(minutes=minutes + more))
    assert sum(longer.covered.values()) >= sum(less.covered.values())


@given(st.integers(0, 10**6), st.randoms(use_true_random=False))
@settings(max_examples=100, deadline=None)
def test_the_order_of_candidates_and_needs_changes_nothing(seed: int, chance: random.Random) -> None:
    problem = instance(seed, 30)
    candidates = list(problem.candidates)
    needs = list(problem.needs.items())
    chance.shuffle(candidates)
    chance.shuffle(needs)
    assert best_menu(dict(needs), candidates, problem.limits) == best_menu(*problem)


@given(st.integers(0, 10**6), st.sets(st.integers(0, 14)))
@settings(max_examples=100, deadline=None)
def test_what_is_barred_is_never_chosen_and_the_rest_is_as_if_it_were_not_there(seed: int, out: set[int]) -> None:
    problem = instance(seed, 15)
    barred = {f"x{number:02d}" for number in out}
    menu = Choice(*problem, barred=barred).menu
    assert not barred & set(menu.exercises)
    rest = [one for one in problem.candidates if one.exercise not in barred]
    assert rank(menu) == rank(best_menu(problem.needs, rest, problem.limits))


@given(st.integers(0, 10**6), st.sets(st.integers(0, 14), min_size=1))
@settings(max_examples=150, deadline=None)
def test_what_would_enter_is_what_enters_when_it_is_allowed(seed: int, out: set[int]) -> None:
    for make in (instance, crowded):
        problem = make(seed, 15)
        barred = {f"x{number:02d}" for number in out}
        choice = Choice(*problem, barred=barred)
        for exercise in sorted(barred):
            allowed = Choice(*problem, barred=barred - {exercise}).menu
            entered = allowed.value - choice.menu.value if exercise in allowed.exercises else None
            assert choice.would_enter(exercise) == entered


def test_nothing_needed_is_nothing_chosen() -> None:
    menu = best_menu({}, [Candidate("a", {"brace": 3}, preference=6)], Limits())
    assert (menu.exercises, menu.value) == ((), 0)


def test_no_candidates_at_all() -> None:
    assert best_menu({"brace": 3}, [], Limits(items=3)).exercises == ()


def test_no_items_allowed() -> None:
    assert best_menu({"brace": 3}, [Candidate("a", {"brace": 3})], Limits(items=0)).exercises == ()


def test_what_gains_nothing_needed_is_not_chosen_however_much_it_is_liked() -> None:
    liked = Candidate("liked", {"grip": 3}, preference=6)
    plain = Candidate("plain", {"brace": 1})
    assert best_menu({"brace": 1}, [liked, plain], Limits()).exercises == ("plain",)


def test_a_stress_limit_counts_what_is_left_when_sets_are_cut() -> None:
    hard = Candidate("hard", {"brace": 3}, stress=8, least_stress=2)
    light = Candidate("light", {"brace": 2})
    assert best_menu({"brace": 3}, [hard, light], Limits(stress=4, items=1)).exercises == ("hard",)


def test_ties_go_to_fewer_then_to_less_stress_then_to_the_first_id() -> None:
    needs = {"brace": 2, "grip": 2}
    both = Candidate("z-both", {"brace": 2, "grip": 2}, stress=9)
    brace, grip = Candidate("a-brace", {"brace": 2}), Candidate("a-grip", {"grip": 2})
    assert best_menu(needs, [both, brace, grip], Limits()).exercises == ("z-both",)
    stressed = Candidate("a", {"brace": 2}, stress=4)
    calm, calm_too = Candidate("c", {"brace": 2}, stress=1), Candidate("b", {"brace": 2}, stress=1)
    assert best_menu({"brace": 2}, [stressed, calm, calm_too], Limits()).exercises == ("b",)


def test_a_search_that_grows_too_large_says_so() -> None:
    problem = crowded(3, 40)._replace(limits=Limits(30, 8, 6))
    menu = Choice(*problem, most_nodes=3).menu
    assert not menu.proved
    assert menu.exercises
