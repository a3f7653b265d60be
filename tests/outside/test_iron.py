"""Bars, discs and loads agree with what is known outside of the program; each source stands in its row."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import pytest
import yaml

from backstay.assistant import Assistant
from backstay.coaching import iron
from rules.situations import built_in_base, plan_for

ROWS: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "iron.yaml").read_text(encoding="utf-8"))
BEFORE_THE_MEET = 8


def _with(key: str) -> list[dict[str, Any]]:
    return [row for row in ROWS if key in row]


def _says(row: dict[str, Any]) -> str:
    return str(row["says"])


def _kg(piece: str) -> float:
    return built_in_base().iron[piece].kg[0]


def _collars(row: dict[str, Any]) -> float:
    return 2 * _kg("collar") if row["collars"] else 0


def _load(row: dict[str, Any]) -> tuple[float, float]:
    situation = {"weeks-to-meet": BEFORE_THE_MEET, **row["facts"], "want": "dose", "exercise": row["exercise"]}
    _, plan = plan_for(situation)
    load = plan.picks[0].dose.weight
    assert load is not None
    assert load.kg is not None
    return load.kg


def test_every_row_is_put_to_the_program() -> None:
    keys = ("with-collars", "discs", "step", "side", "within", "at-most", "message")
    assert all(sum(key in row for key in keys) == 1 for row in ROWS)
    assert len(ROWS) >= 12


@pytest.mark.parametrize("row", _with("with-collars"), ids=_says)
def test_bar_and_collars(row: dict[str, Any]) -> None:
    assert _kg(row["bar"]) + 2 * _kg("collar") == row["with-collars"]


@pytest.mark.parametrize("row", _with("discs"), ids=_says)
def test_discs(row: dict[str, Any]) -> None:
    assert list(built_in_base().iron["discs"].kg) == row["discs"]


@pytest.mark.parametrize("row", _with("step"), ids=_says)
def test_step(row: dict[str, Any]) -> None:
    discs = built_in_base().iron["discs"].kg
    quarters = [quarter / 4 for quarter in range(100, 800)]
    made = sorted({load for kg in quarters if (load := iron.on_bar(_kg("mens-bar"), discs, kg)) is not None})
    assert {after - before for before, after in itertools.pairwise(made)} == {row["step"]}


@pytest.mark.parametrize("row", _with("side"), ids=_says)
def test_discs_on_a_side(row: dict[str, Any]) -> None:
    each = (row["kg"] - _kg(row["piece"]) - _collars(row)) / 2
    assert list(iron.side(built_in_base().iron["discs"].kg, each) or ()) == row["side"]


@pytest.mark.parametrize("row", _with("within"), ids=_says)
def test_range_of_a_load(row: dict[str, Any]) -> None:
    for made, known in zip(_load(row), row["within"], strict=True):
        assert known - row["short"] <= made <= known


@pytest.mark.parametrize("row", _with("at-most"), ids=_says)
def test_bound_of_a_load(row: dict[str, Any]) -> None:
    assert _load(row)[1] <= row["at-most"]


@pytest.mark.parametrize("row", _with("message"), ids=_says)
def test_load_in_words(row: dict[str, Any]) -> None:
    shown = " ".join(Assistant().answer(row["message"]).text.split())
    for words in row["text"]:
        assert words in shown
