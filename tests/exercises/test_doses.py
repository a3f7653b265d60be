"""Doses agree with what is known outside of the program, and the files choose among them as they say."""

from __future__ import annotations

from typing import Any

import pytest

from backstay.coaching.dose import fix_dose
from backstay.coaching.effects import resolve
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude
from exercises.conftest import table, written

KNOWN = table("doses.yaml")
CHOSEN = table("chosen.yaml")


def _pair(value: Any) -> tuple[float, float]:
    return (value[0], value[1]) if isinstance(value, list) else (value, value)


@pytest.mark.parametrize("row", KNOWN, ids=lambda row: f"{row['exercise']}-{row.get('use', 'all')}")
def test_dose_is_as_known(row: dict[str, Any]) -> None:
    doses = written()[row["exercise"]]["doses"]
    for name in [row["use"]] if "use" in row else list(doses):
        dose = doses[name]
        for quantity, figure in row.get("is", {}).items():
            assert dose[quantity] == figure
        for quantity, (least, most) in row.get("within", {}).items():
            low, high = _pair(dose[quantity])
            assert least <= low <= high <= most, quantity
        for words in row.get("shape", []):
            assert words in dose["shape"]


def test_ladder_adds_up() -> None:
    for exercise in written().values():
        for dose in exercise["doses"].values():
            shape = str(dose.get("shape", ""))
            if "in each place" in shape:
                steps = [int(step) for step in shape.split(" in each place")[0].split(", ")]
                assert dose["reps"] == [3 * sum(steps)] * 2


@pytest.mark.parametrize("name", written())
def test_quantities_are_possible(name: str) -> None:
    for use, dose in written()[name]["doses"].items():
        assert 1 <= dose["sets"] <= 5, use
        for quantity in ("reps", "seconds", "metres", "rest", "reserve", "times-a-week"):
            if quantity in dose:
                low, high = dose[quantity]
                assert 0 <= low <= high, (use, quantity)
        if "reps" in dose:
            assert "seconds-a-rep" in dose, use


@pytest.mark.parametrize("name", written())
def test_easy_doses_stay_easy(name: str) -> None:
    """Priming, learning and easy doses keep far from failure, and priming holds stay at 10 s or less."""
    for use, dose in written()[name]["doses"].items():
        if use in ("priming", "easy", "gentle"):
            assert dose["sets"] <= 2
            assert dose["reserve"][0] >= 5
        if use == "priming":
            assert dose.get("seconds", [0, 0])[1] <= 10
        if use == "learning":
            assert dose["sets"] <= 3
            assert dose["reserve"][0] >= 3


@pytest.mark.parametrize("row", CHOSEN, ids=lambda row: f"{row['exercise']}-{row['use']}-{sorted(row['facts'])}")
def test_file_chooses_its_dose(base: Base, row: dict[str, Any]) -> None:
    facts = [
        Fact(attribute, value)
        for attribute, values in row["facts"].items()
        for value in (values if isinstance(values, list) else [values])
    ]
    dose = fix_dose(base.exercises[row["exercise"]], resolve(base, conclude(base, facts)))
    assert dose is not None
    assert dose.use == row["use"]
    assert dose.other_use is None


def test_two_doses_never_meet(base: Base) -> None:
    """Over every phase, level, aim and pain no file asks for two doses of one exercise."""
    phases = ["", "general-preparation", "specific-preparation", "pre-competition", "peaking", "transition"]
    aims: list[tuple[str, ...]] = [(), ("strength",), ("endurance",), ("size",), ("speed",), ("strength", "endurance")]
    for phase in phases:
        for level in ("beginner", "intermediate", "advanced"):
            for aim in aims:
                for pain in ("", "present"):
                    facts = [Fact("level", level), *(Fact("aim", value) for value in aim)]
                    facts += [Fact("phase", phase)] if phase else []
                    facts += [Fact("pain", pain)] if pain else []
                    uses = resolve(base, conclude(base, facts)).uses
                    assert {name: asked for name, asked in uses.items() if len(asked) > 1} == {}
