"""Figures with units, against definitions: 365.25 days a year, the pound of 0.45359237 kg, the inch of 2.54 cm."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.knowledge.figures import FigureError, figure


@pytest.mark.parametrize(
    "written, unit, expected",
    [
        (3, "weeks", 3.0),
        (2.5, "kg", 2.5),
        (7, "", 7.0),
        ("21 days", "weeks", 3.0),
        ("1 day", "weeks", 1 / 7),
        ("3weeks", "days", 21.0),
        ("18 months", "years", 1.5),
        ("90 s", "minutes", 1.5),
        ("2 h", "minutes", 120.0),
        ("225 lb", "kg", 102.05828325),
        ("70 inches", "cm", 177.8),
        ("1.8 m", "cm", 180.0),
        ("50 percent", "percent", 50.0),
        ("3 times", "times", 3.0),
        ("-4 score", "score", -4.0),
    ],
)
def test_a_figure_in_the_unit_of_its_attribute(written: object, unit: str, expected: float) -> None:
    found = figure(written, unit)
    assert found == pytest.approx(expected)
    assert type(found) is float


@pytest.mark.parametrize(
    "written, unit, words",
    [
        ("3 kg", "weeks", "counted in weeks"),
        ("3 moons", "weeks", "no unit"),
        ("three weeks", "weeks", "a number"),
        ("", "weeks", "a number"),
        (True, "weeks", "a number"),
        ([3], "weeks", "a number"),
        ("3 kg", "", "has no unit"),
    ],
)
def test_what_is_no_figure(written: object, unit: str, words: str) -> None:
    with pytest.raises(FigureError, match=words):
        figure(written, unit)


@given(st.integers(0, 10_000))
def test_there_and_back(days: int) -> None:
    assert figure(f"{figure(days, 'days') / 7:.10f} weeks", "days") == pytest.approx(days)
