"""When each exercise fits: laws that follow from its properties, and what the trade says of single ones."""

from __future__ import annotations

import pytest

from backstay.coaching.effects import resolve
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude
from exercises.conftest import written

# exercise: phases it fits, phases it is out of (common practice; for the others the file decides)
SEASONS = {
    "rotating-back-extension": ("specific-preparation pre-competition", "general-preparation peaking transition"),
    "single-leg-romanian-deadlift": ("specific-preparation pre-competition", "peaking"),
    "bent-knee-back-extension": ("general-preparation specific-preparation", "pre-competition peaking"),
    "back-extension-hold-with-row": ("pre-competition", "peaking"),
    "back-extension-hold": ("general-preparation specific-preparation pre-competition peaking transition", ""),
    "reverse-hyperextension": ("general-preparation specific-preparation pre-competition transition", ""),
    "nordic-hamstring-lower": ("general-preparation", "pre-competition peaking"),
    "romanian-deadlift": ("general-preparation specific-preparation", "peaking"),
    "good-morning": ("general-preparation specific-preparation", "peaking"),
}
PHASES = ["general-preparation", "specific-preparation", "pre-competition", "peaking", "transition"]
ALWAYS_THERE = {"back-extension", "hip-extension", "front-bridge", "gentle"}


@pytest.mark.parametrize("name", SEASONS)
def test_trade_seasons(name: str) -> None:
    fits, out = SEASONS[name]
    phases = written()[name]["phases"]
    assert {phases[phase] for phase in fits.split()} == {"fits"}
    assert {phases[phase] for phase in out.split()} <= {"out"}


@pytest.mark.parametrize("name", written())
def test_near_the_meet(name: str) -> None:
    """In the last two weeks nothing one-sided, fast, turned, hard or sore; stretches are no work."""
    exercise = written()[name]
    work = exercise["kind"] not in ("mobility", "gentle") or exercise["one-leg"] or exercise["loaded"]
    hard = exercise["stress"] == "high" or exercise["soreness"] == "expected"
    one_sided = exercise["sides"] == "each"
    if work and (one_sided or exercise["speed"] == "fast" or exercise["turning"] or exercise["jerky"] or hard):
        assert exercise["phases"]["peaking"] == "out"


@pytest.mark.parametrize("phase", PHASES)
def test_every_phase_leaves_something(base: Base, phase: str) -> None:
    forbidden = resolve(base, conclude(base, [Fact("phase", phase)])).forbidden
    left = set(base.exercises) - {name for name, rules in forbidden.items() if f"{name}/phase-{phase}" in rules}
    assert len(left) >= 20
    fits = {name for name in left if base.exercises[name].phases[phase] == "fits"}
    assert {base.exercises[name].pattern for name in fits} >= ALWAYS_THERE


def test_specific_preparation_has_fast_and_long_work() -> None:
    fits = [exercise for exercise in written().values() if exercise["phases"]["specific-preparation"] == "fits"]
    assert {exercise["exercise"] for exercise in fits if exercise["speed"] == "fast"} >= {
        "rotating-back-extension",
        "kettlebell-swing",
    }
    assert [exercise for exercise in fits if exercise["kind"] == "endurance" and exercise["stress"] == "medium"]
