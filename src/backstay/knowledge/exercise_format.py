"""Exercise format: the model of one file of exercises/, and the words its properties may have."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from backstay.knowledge.format import Condition, Entry, Id, Ids, Number, Part, Text, Texts, Then, Words
from backstay.knowledge.posture_format import Posture, SpineLoad

Pattern = Literal[
    "hinge", "one-leg-hinge", "back-extension", "hip-extension", "knee-flexion", "row", "vertical-pull", "carry",
    "side-bridge", "front-bridge", "anti-rotation", "rotation", "squat-lunge", "mobility", "hang", "isometric-pull",
    "throw", "gentle", "brace",
]  # fmt: skip
Stress = Literal["low", "medium", "high"]
Provocation = Literal[
    "bending", "leaning-back", "twisting", "bar-on-back", "one-leg-standing", "sitting", "lying", "standing"
]
Range = Annotated[list[Annotated[Number, Field(ge=0, le=1000)]], Field(min_length=2, max_length=2)]
Fit = Literal["fits", "spare", "out"]


class Way(Part):
    """One way to do it: what must be at hand."""

    with_: Ids
    as_: Text | None = None


class LoadFrom(Part):
    """Where the load of a dose comes from: a share of a figure, or kilograms; without either the bar alone.

    The first entry whose iron is at hand and whose figure is known gives the range.
    """

    with_: Ids
    of: Text | None = None
    percent: Range | None = None
    kg: Range | None = None
    each_hand: bool = False


class Dose(Part):
    """One dose: sets of repetitions, seconds or metres."""

    sets: Annotated[int, Field(ge=1, le=20)]
    reps: Range | None = None
    seconds: Range | None = None
    metres: Range | None = None
    rest: Range
    load: Text | None = None
    load_from: list[LoadFrom] = Field(default=[])
    effort: Text | None = None
    reserve: Range | None = None
    times_a_week: Range | None = None
    seconds_a_rep: Annotated[Number, Field(gt=0, le=120)] | None = None
    stress: Stress | None = None
    shape: Text | None = None
    tempo: Text | None = None
    source: Ids


class DoseFor(Part):
    """When another dose than the first is used."""

    when: Condition
    unless: Condition | None = None
    use: Id
    because: Text | None = None
    source: Ids = Field(default=[])


class Caution(Part):
    """What holds for this exercise when something is true of the asker."""

    when: Condition | None = None
    unless: Condition | None = None
    then: Then
    because: Text | None = None
    source: Ids = Field(default=[])


class ExerciseEntry(Entry):
    """One exercise."""

    exercise: Id
    name: Text
    also: Words = Field(default=[])
    trains: Annotated[dict[Id, Annotated[int, Field(ge=1, le=3)]], Field(min_length=1)]
    family: Id
    pattern: Pattern
    kind: Literal["strength", "endurance", "hold", "mobility", "fast", "carry", "gentle"]
    speed: Literal["slow", "fast", "hold"]
    spine_motion: Literal["none", "mid-range", "end-range"]
    turning: bool
    loaded: bool
    bar_loaded: bool
    head_down: bool
    breath_hold: bool
    floor: bool
    jerky: bool
    position: Literal[
        "standing", "face-down", "face-up", "side-lying", "kneeling", "hands-and-knees", "hanging", "seated"
    ]
    skill: Literal["simple", "trained", "skilled"]
    soreness: Literal["little", "some", "expected"]
    provokes: list[Provocation] = Field(default=[])
    sides: Literal["both", "each", "alternating"]
    one_leg: bool
    side_means: Text | None = None
    ways: list[Way]
    stress: Stress
    phases: dict[Id, Fit]
    doses: Annotated[dict[Id, Dose], Field(min_length=1)]
    dose_for: list[DoseFor] = Field(default=[])
    levels: dict[Id, Fit | dict[str, Any]] = Field(default={})
    set_up: Texts
    cues: Texts
    carry_over: Text
    mistakes: Texts
    cautions: list[Caution] = Field(default=[])
    easier: Ids = Field(default=[])
    harder: Ids = Field(default=[])
    swaps: Ids = Field(default=[])
    soreness_card: bool
    posture: Posture | None = None
    spine_load: SpineLoad | None = None
    sources: Ids
