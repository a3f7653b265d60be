"""Easier and harder forms make one order without a way round; a swap is another exercise."""

from __future__ import annotations

from graphlib import TopologicalSorter

import pytest

from exercises.conftest import written


def test_easier_and_harder_have_no_cycle() -> None:
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for name, exercise in written().items():
        sorter.add(name, *exercise["easier"])
        for harder in exercise["harder"]:
            sorter.add(harder, name)
    assert set(sorter.static_order()) == set(written())


@pytest.mark.parametrize("name", written())
def test_neighbours_are_other_exercises(name: str) -> None:
    exercise = written()[name]
    for key in ("easier", "harder", "swaps"):
        assert set(exercise[key]) <= set(written()) - {name}
    assert not set(exercise["easier"]) & set(exercise["harder"])
    assert exercise["easier"] or exercise["harder"] or exercise["swaps"]


def test_whatever_is_hard_has_a_way_back() -> None:
    for name, exercise in written().items():
        if exercise["stress"] == "high" or exercise["skill"] == "skilled":
            assert exercise["easier"], name
