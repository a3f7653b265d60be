"""A covering design holds every three levels together: counted by a check that knows nothing of how it is made."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.review.covering import PAIRS, TRIPLES, covering, next_prime


def missing(sizes: tuple[int, ...], strength: int) -> set[tuple[tuple[int, int], ...]]:
    """The levels of some columns that stand together in no row, gathered from the rows alone."""
    design = covering(sizes, strength)
    together = {cells for number in range(design.size) for cells in combinations(design.row(number), strength)}
    wanted = {
        tuple(zip(columns, levels, strict=True))
        for columns in combinations(range(len(sizes)), strength)
        for levels in product(*[range(1, sizes[column] + 1) for column in columns])
    }
    assert together <= wanted, "a level that there is not"
    return wanted - together


@pytest.mark.parametrize(
    "sizes",
    [
        (1,), (3, 3), (2, 2, 2), (3, 2, 4, 1, 2), (2,) * 12, (5, 4, 3, 2, 2, 2, 2, 1), (9, 3, *(2,) * 14), (7,) * 8,
        (1,) * 20, (13, 11, 7, 5, 3, 2),
    ],
    ids=str,
)  # fmt: skip
def test_every_three_levels_of_three_columns_stand_together(sizes: tuple[int, ...]) -> None:
    assert missing(sizes, TRIPLES) == set()


@pytest.mark.parametrize("sizes", [(1,), (4, 4), (9, 3, 2, 2), (2,) * 15, (11, *(3,) * 9)], ids=str)
def test_every_two_levels_of_two_columns_stand_together(sizes: tuple[int, ...]) -> None:
    assert missing(sizes, PAIRS) == set()


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(1, 6), min_size=1, max_size=9), st.sampled_from([PAIRS, TRIPLES]))
def test_whatever_the_sizes_nothing_is_missing(sizes: list[int], strength: int) -> None:
    assert missing(tuple(sizes), strength) == set()


def test_two_arrays_are_taken_where_they_are_smaller() -> None:
    many = covering((3,) * 30)
    assert len(many.maps) == 2
    assert many.size < next_prime(29) ** 3
    assert missing((3,) * 30, TRIPLES) == set()


def test_rows_tell_about_as_many_things_as_people_do() -> None:
    """Full rows would be fewer, and in each of them one thing would hide all others."""
    design = covering((30, 16, 15, 14, *(3,) * 40))
    told = [len(design.row(number)) for number in range(0, design.size, 97)]
    assert 2 <= sum(told) / len(told) <= 12


def test_a_prime_is_a_prime() -> None:
    assert [next_prime(least) for least in (0, 2, 3, 4, 14, 24, 60)] == [2, 2, 3, 5, 17, 29, 61]
