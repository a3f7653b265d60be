"""Properties on which caution rules stand agree with each other and with what an exercise is."""

from __future__ import annotations

import pytest

from exercises.conftest import written


@pytest.mark.parametrize("name", written())
def test_properties_agree(name: str) -> None:
    exercise = written()[name]
    provokes = set(exercise["provokes"])
    if exercise["turning"]:
        assert "twisting" in provokes
    if exercise["jerky"]:
        assert exercise["speed"] == "fast"
    if exercise["speed"] == "fast":
        assert exercise["kind"] == "fast"
        assert exercise["skill"] != "simple"
    if exercise["kind"] == "gentle":
        assert exercise["stress"] == "low"
        assert not exercise["loaded"]
        assert exercise["soreness"] == "little"
    if exercise["bar-loaded"]:
        assert exercise["loaded"]
    if exercise["bar-loaded"] and exercise["spine-motion"] == "end-range":
        assert exercise["skill"] == "skilled"
        assert exercise["levels"]["beginner"] == "out"
        assert exercise["stress"] == "high"
    if exercise["soreness"] == "expected":
        assert exercise["soreness-card"]
    if exercise["skill"] == "skilled":
        assert exercise["levels"].get("beginner") == "out"
    if exercise["pattern"] == "hinge" and exercise["stress"] == "high":
        assert "bending" in provokes


@pytest.mark.parametrize("name", written())
def test_high_repetitions_carry_the_soreness_card(name: str) -> None:
    exercise = written()[name]
    back_or_hips = exercise["pattern"] in ("back-extension", "hip-extension", "hinge", "one-leg-hinge", "knee-flexion")
    if back_or_hips and any(dose.get("reps", [0, 0])[1] > 20 for dose in exercise["doses"].values()):
        assert exercise["soreness-card"]


def test_there_is_work_for_whoever_has_nothing() -> None:
    free = {name for name, exercise in written().items() if any(way["with"] == [] for way in exercise["ways"])}
    assert free >= {"bird-dog", "side-bridge", "dead-bug", "front-plank", "glute-bridge", "cat-camel", "walking"}
    assert free >= {"single-leg-glute-bridge", "hamstring-curl", "curl-up", "diaphragm-breathing"}


def test_floor_holds_are_low_stress() -> None:
    for name in ("bird-dog", "side-bridge", "dead-bug", "front-plank", "curl-up"):
        assert written()[name]["stress"] == "low"
    assert written()["prone-arm-and-leg-raise"]["stress"] == "high"


def test_reverse_hyperextension_has_ways_without_its_machine() -> None:
    ways = [set(way["with"]) for way in written()["reverse-hyperextension"]["ways"]]
    assert {"flat-bench", "bands"} in ways
    assert {"glute-ham-bench", "bands"} in ways


def test_single_leg_hinge_in_both_grips_and_without_a_bar() -> None:
    exercise = written()["single-leg-romanian-deadlift"]
    assert exercise["ways"][0]["with"] == ["barbell"]
    assert "clean grip" in exercise["ways"][0]["as"]
    assert "snatch grip" in exercise["ways"][0]["as"]
    assert {"dumbbells"} in [set(way["with"]) for way in exercise["ways"]]
    assert {"kettlebells"} in [set(way["with"]) for way in exercise["ways"]]
    assert any("bar level" in cue for cue in exercise["cues"])
    assert any("free knee through" in cue for cue in exercise["cues"])


def test_reverse_hyperextension_presses_as_into_the_belt() -> None:
    exercise = written()["reverse-hyperextension"]
    assert "into the belt" in exercise["carry-over"]
    assert any("glutes begin" in cue for cue in exercise["cues"])
