"""Every exercise is picked for somebody: a walk over complaints, parts of the season, equipment, levels and people."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any

from .situations import built_in_base, picked, plan_for

Situation = dict[str, Any]

EVERYTHING = [
    "glute-ham-bench", "reverse-hyperextension-bench", "safety-squat-bar", "cable", "medicine-ball", "ab-wheel",
    "rings", "swiss-ball",
]  # fmt: skip
KITS: tuple[Situation, ...] = (
    {},
    {"lacks": "everything"},
    {"has": EVERYTHING},
    {"has": EVERYTHING, "level": "advanced"},
    {"lacks": "everything", "level": "advanced"},
    {"kit": "complete", "has": ["kettlebells"]},
    {"kit": "complete", "has": ["barbell", "plates"]},
)
PEOPLE: tuple[Situation, ...] = ({}, {"level": "advanced"}, {"level": "beginner"}, {"age": 16}, {"athletes": 8})
IN_LIFTS: tuple[Situation, ...] = tuple(
    {"fault": fault, "lift": lift}
    for fault in ("knees-cave", "shifts-sideways", "twists")
    for lift in ("back-squat", "clean-pull", "jerk")
)


def complaints() -> Iterator[Situation]:
    """What somebody may come with."""
    attributes = built_in_base().attributes
    yield {}
    for name in ("fault", "moment", "area", "sensation", "aim", "lift", "occasion", "build"):
        yield from ({name: value} for value in attributes[name].values)
    yield from ({"muscle": muscle} for muscle in built_in_base().muscles)
    yield from IN_LIFTS
    for what in ("provoked-by", "eased-by"):
        yield from ({"pain": "present", "area": "lower-back", what: value} for value in attributes[what].values)


def walked() -> Iterator[Situation]:
    """Every complaint in every part of the season, with every kit and for everybody, one of these two at a time."""
    phases: tuple[Situation, ...] = ({}, *({"phase": phase} for phase in built_in_base().phases))
    for complaint, phase, rest in product(complaints(), phases, (*KITS, *PEOPLE[1:])):
        yield {**complaint, **phase, **rest}


def test_every_exercise_is_picked_somewhere_and_no_pick_breaks_the_words_of_the_rules() -> None:
    base = built_in_base()
    never = set(base.exercises)
    for situation in walked():
        _, plan = plan_for(situation, asking=False)
        picks = picked(plan)
        never -= set(picks)
        if situation.get("pain") == "present":
            assert "see-clinician" in plan.notices
            assert {base.exercises[one].stress for one in picks} <= {"low"}, situation
        if situation.get("phase") == "peaking":
            assert "high" not in {base.exercises[one].stress for one in picks}, situation
        if situation.get("age") == 16:
            assert "high" not in {base.exercises[one].stress for one in picks}, situation
            assert "guardian" in plan.notices
    assert never == set()
