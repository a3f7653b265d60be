"""Doses, postures and constants agree with published values of strength training and of body segments.

Both ends of a dose are held: `at-least` by its lower, `at-most` by its upper, `within` by both; `above` is for what the
upper end has to reach.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from math import exp
from pathlib import Path
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest
import yaml

from backstay.coaching import spine
from backstay.coaching.dose import fix_dose
from backstay.coaching.effects import Change
from backstay.reply.skeleton import LENGTHS
from rules.situations import built_in_base

ROWS: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "strength.yaml").read_text(encoding="utf-8"))
ASKED = ("implied", "dose", "effort", "share", "length", "deadlift")
# Percent of the best with which so many repetitions can be done (chart of Haff and Triplett; 11 and 12 from memory).
CHART = MappingProxyType(
    {1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 11: 70, 12: 67}
)  # fmt: skip
# The best, of a load that could be lifted so often.
EQUATIONS: Mapping[str, Callable[[float, int], float]] = MappingProxyType(
    {
        "chart": lambda load, reps: 100 * load / CHART[reps],
        "epley": lambda load, reps: load * (1 + reps / 30),
        "brzycki": lambda load, reps: 36 * load / (37 - reps),
        "lombardi": lambda load, reps: load * reps**0.10,
        "wathan": lambda load, reps: 100 * load / (48.8 + 53.8 * exp(-0.075 * reps)),
        "oconner": lambda load, reps: load * (1 + 0.025 * reps),
        "lander": lambda load, reps: 100 * load / (101.3 - 2.67123 * reps),
    }
)
SHARES = MappingProxyType({"head": spine.HEAD[0], "arms": spine.ARMS, "legs": spine.LEGS[0]})


def _with(key: str) -> list[dict[str, Any]]:
    return [row for row in ROWS if key in row]


def _says(row: dict[str, Any]) -> str:
    return f"{row['source']}: {row['says']}"


def _written(exercise: str, use: str) -> Mapping[str, Any]:
    return built_in_base().exercises[exercise].doses[use]


def _ends(value: Any) -> tuple[float, float]:
    return (value[0], value[-1]) if isinstance(value, (list, tuple)) else (value, value)


def test_every_row_is_put_to_the_program_and_no_table_gives_more_than_ten() -> None:
    assert all(sum(key in row for key in ASKED) == 1 and row["source"] and row["seen"] for row in ROWS)
    assert len(ROWS) >= 60
    assert max(Counter(row["source"] for row in ROWS).values()) <= 10


# The equations themselves, beside sums that are done by hand: 100 kg lifted five times.
@pytest.mark.parametrize(
    ("name", "best"), [("epley", 116.67), ("brzycki", 112.50), ("lombardi", 117.46), ("wathan", 116.58),
                       ("oconner", 112.50), ("lander", 113.71), ("chart", 114.94)],
)  # fmt: skip
def test_the_equations_are_those_of_their_sources(name: str, best: float) -> None:
    assert EQUATIONS[name](100, 5) == pytest.approx(best, abs=0.01)


@pytest.mark.parametrize("row", _with("implied"), ids=_says)
def test_a_load_in_percent_supposes_no_best_that_nobody_has(row: dict[str, Any]) -> None:
    dose = _written(row["implied"], "strength")
    percent = next(load["percent"] for load in dose["load-from"] if load.get("of", "").startswith("best."))[1]
    # The upper end of the load goes with the lower end of the repetitions, and with the least in reserve.
    possible = int(_ends(dose["reps"])[0] + _ends(dose["reserve"])[0])
    implied = EQUATIONS[row["by"]](percent, possible)
    assert percent < implied <= row["at-most"]


@pytest.mark.parametrize("row", _with("dose"), ids=lambda row: f"{_says(row)}: {row['of']}")
def test_a_dose_lies_where_it_was_found_to_work(row: dict[str, Any]) -> None:
    low, high = _ends(_written(*row["dose"])[row["of"]])
    if "within" in row:
        assert row["within"][0] <= low <= high <= row["within"][1]
    elif "at-least" in row:
        assert low >= row["at-least"]
    elif "above" in row:
        assert high > row["above"]
    else:
        assert high <= row["at-most"]


@pytest.mark.parametrize("row", _with("effort"), ids=_says)
def test_a_bound_on_effort_leaves_repetitions(row: dict[str, Any]) -> None:
    bound = Change("a-rule", "effort", "at-most", row["effort"])
    resolved: Any = SimpleNamespace(changes={"romanian-deadlift": (bound,)}, times_a_week={}, uses={})
    dose = fix_dose(built_in_base().exercises["romanian-deadlift"], resolved)
    assert dose is not None
    assert dose.reserve is not None
    assert dose.reserve[0] == row["leaves"]


@pytest.mark.parametrize("row", _with("share"), ids=_says)
def test_shares_of_body_mass(row: dict[str, Any]) -> None:
    assert 100 * SHARES[row["share"]] == pytest.approx(row["is"], abs=row["within-points"])


@pytest.mark.parametrize("row", _with("length"), ids=_says)
def test_lengths_of_limbs(row: dict[str, Any]) -> None:
    assert 100 * LENGTHS[row["length"]] == pytest.approx(row["is"], abs=row["within-points"])


@pytest.mark.parametrize("row", _with("deadlift"), ids=_says)
def test_heavy_deadlifts_lie_where_they_were_measured(row: dict[str, Any]) -> None:
    lift = built_in_base().lifts["deadlift"]
    body = spine.Body(row["mass"], 1.75)
    lean = lift.posture["poses"][0]["trunk"]
    if "kilonewtons" in row:
        found = spine.compression(lift.spine_load, lean, row["deadlift"], body) / 1000
        low, high = row["kilonewtons"]
    else:
        found = spine.moment(lift.spine_load, lean, row["deadlift"], body)
        low, high = row["newton-metres"]
    assert low <= found <= high
