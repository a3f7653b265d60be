"""Prices: weights for qualities, and prices for minutes and stress, that make the bound of a choice small.

Any weights give a true bound; good ones give a small one. They are found by steps down the slope of the bound, in whole
numbers, starting from what a first good menu leaves open. This is the well-known subgradient method for the dual of a
choice under limits; it needs no exactness, since the search that uses the bound is exact.
"""

from typing import NamedTuple

from backstay.coaching.columns import PLACE, PLACES
from backstay.coaching.problem import A_POINT, UNLIMITED, Problem

PARTS = 64  # a weight of 1, in whole parts
BIAS = 1 << 20  # keeps packed figures positive
FINE = 16  # steps are taken in this fraction of a part
STEPS = 12
FULL_STEP = 128
LEAST_STEP = 8
PATIENCE = 3  # steps without gain after which they are halved
MOST_PRICE = 400_000  # of all minutes, and of all stress, that one candidate takes


class Prices(NamedTuple):
    """The weights in parts, the price of a minute and of a unit of stress, and the bound they give, in parts."""

    weights: tuple[int, ...]
    minute: int
    stress: int
    bound: int


def find_prices(problem: Problem, first: tuple[int, ...], value: int, alive: int) -> Prices:
    """Find good prices from a first menu and its value, for the candidates whose fields are set in `alive`."""
    needs = problem.needs
    covered = [0] * len(needs)
    for place in first:
        for quality, gain in problem.gains[place]:
            covered[quality] += gain
    fine = [FINE * _first_weight(have, need) for have, need in zip(covered, needs, strict=True)]
    most_minute = FINE * (MOST_PRICE // max(1, *problem.minutes, 1))
    most_stress = FINE * (MOST_PRICE // max(1, *problem.least, 1))
    fine_minute = fine_stress = 0
    best: Prices | None = None
    length, stalled = FULL_STEP, 0
    for _ in range(STEPS):
        weights = tuple(one // FINE for one in fine)
        minute, stress = fine_minute // FINE, fine_stress // FINE
        bound, taken = _bound(problem, weights, minute, stress, alive)
        if best is None or bound < best.bound:
            best, stalled = Prices(weights, minute, stress, bound), 0
        else:
            stalled += 1
            if stalled == PATIENCE:
                length, stalled = max(length // 2, LEAST_STEP), 0
        gap = bound - PARTS * value
        if gap < PARTS:
            break
        slope = _slope(problem, taken, weights)
        spare_minutes = _spare(problem.minutes_limit, problem.minutes, taken, minute)
        spare_stress = _spare(problem.stress_limit, problem.least, taken, stress)
        norm = sum([one * one for one in slope]) + spare_minutes * spare_minutes + spare_stress * spare_stress
        if not norm:
            break
        step = FINE * gap * length // norm
        fine = [_clamp(one - (step * down >> 7), FINE * PARTS) for one, down in zip(fine, slope, strict=True)]
        fine_minute = _clamp(fine_minute - (step * spare_minutes >> 7), most_minute)
        fine_stress = _clamp(fine_stress - (step * spare_stress >> 7), most_stress)
    assert best is not None
    return best


def priced(problem: Problem, minute: int, stress: int) -> int:
    """Return the column of what candidates are worth before any gain: preference less the price of what they take."""
    columns = problem.columns
    preference, minutes, least = problem.preference, problem.minutes, problem.least
    worth = columns.pack(
        [
            BIAS + PARTS * preference[place] - minute * minutes[place] - stress * least[place]
            for place in range(len(preference))
        ]
    )
    return columns.places + (worth << PLACE)


def _first_weight(covered: int, need: int) -> int:
    if covered < need:
        return PARTS
    return PARTS // 2 if covered <= need + 1 else PARTS // 8


def _bound(problem: Problem, weights: tuple[int, ...], minute: int, stress: int, alive: int) -> tuple[int, list[int]]:
    """Return the bound that these prices give, and the candidates that make it up."""
    column = priced(problem, minute, stress)
    bound = 0
    for table, weight, need in zip(problem.gain_columns, weights, problem.needs, strict=True):
        column += (A_POINT * weight * table[need]) << PLACE
        bound += A_POINT * (PARTS - weight) * need
    if minute:
        bound += minute * problem.minutes_limit
    if stress:
        bound += stress * problem.stress_limit
    used, left, taken = 0, problem.items, []
    for field in sorted(problem.columns.fields(column & alive), reverse=True):
        worth = (field >> PLACE) - BIAS
        if worth <= 0 or not left:
            break
        family = problem.families[field & PLACES]
        if not used & family:
            used |= family
            bound += worth
            left -= 1
            taken.append(field & PLACES)
    return bound, taken


def _slope(problem: Problem, taken: list[int], weights: tuple[int, ...]) -> list[int]:
    """How the bound changes with each weight; 0 where the weight cannot go further down the slope."""
    needs = problem.needs
    slope = [-A_POINT * need for need in needs]
    for place in taken:
        for quality, gain in problem.gains[place]:
            slope[quality] += A_POINT * min(gain, needs[quality])
    for quality, weight in enumerate(weights):
        if (weight == PARTS and slope[quality] < 0) or (weight == 0 and slope[quality] > 0):
            slope[quality] = 0
    return slope


def _spare(limit: int, amounts: list[int], taken: list[int], price: int) -> int:
    if limit == UNLIMITED:
        return 0
    spare = limit - sum([amounts[place] for place in taken])
    return 0 if spare > 0 and not price else spare


def _clamp(figure: int, most: int) -> int:
    return 0 if figure < 0 else min(figure, most)
