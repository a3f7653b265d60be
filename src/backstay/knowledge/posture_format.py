"""Posture format: how a body stands or lies in an exercise, once for its figure and once for its load on the spine.

A pose is a side view that looks to the right, or a front view. Every angle is a direction in degrees: 0 up, 90 to the
front (in a front view: to the right of the picture), 180 down, 270 to the back. The trunk points from the hip to the
shoulder, a thigh from the hip to the knee, a shank from the knee to the ankle, an arm from the shoulder to the elbow, a
forearm from the elbow to the hand. A trunk at 90 is one held level, face down; at 270 it lies on its back.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from backstay.knowledge.format import Entry, Id, Ids, Number, Part, Text

Direction = Annotated[Number, Field(ge=-180, le=360)]


class Pose(Part):
    """One position. The far limbs are where the near ones are unless they are said."""

    trunk: Direction
    head: Direction | None = None
    arm: Direction
    forearm: Direction | None = None
    thigh: Direction
    shank: Direction | None = None
    far_arm: Direction | None = None
    far_forearm: Direction | None = None
    far_thigh: Direction | None = None
    far_shank: Direction | None = None


class Posture(Part):
    """The positions between which an exercise moves (one: a hold), what carries the body, and what is in its hands."""

    view: Literal["side", "front"] = "side"
    poses: Annotated[list[Pose], Field(min_length=1, max_length=2)]
    still: Literal["ankle", "knee", "hip", "shoulder", "elbow", "hand"] = "ankle"
    props: list[
        Literal[
            "floor", "bench", "bench-under-shoulders", "bench-under-elbows", "bench-under-hand", "box", "pad", "ball",
            "wall", "overhead-bar", "rack", "bar-in-hands", "bar-on-back", "bar-at-chest", "bar-on-hips",
            "weight-in-hand", "weights-in-hands", "weight-at-chest", "weight-at-ankles", "wheel",
            "cable-high", "cable-middle", "cable-low", "cable-behind",
        ]
    ] = Field(default=[])  # fmt: skip


class SpineLoad(Part):
    """What the figure of load on the low back is made of: the posture, a published value, or why there is none."""

    free: Literal["upper", "legs"] | None = None
    arms: Literal["hanging", "crossed", "behind-head", "along-body", "on-bar"] = "hanging"
    load_at: Literal["hands", "chest", "upper-back", "low-on-back", "behind-head", "hips", "ankles"] = "hands"
    ahead: Annotated[Number, Field(ge=-0.3, le=0.5)] = 0  # metres in front (held back: below 0) of where the load hangs
    tempo: Literal["held", "slow", "normal", "fast"] | None = None
    published: Annotated[Number, Field(gt=0, le=20000)] | None = None  # newtons
    at_kg: Annotated[Number, Field(ge=0, le=200)] | None = None  # the load that was held then
    source: Ids = Field(default=[])
    none: Text | None = None


class LiftEntry(Entry):
    """What a lift of the sport itself loads on the low back; its id is a value of the attribute `lift`."""

    lift: Id
    posture: Posture | None = None
    seconds_a_rep: Annotated[Number, Field(gt=0, le=30)] | None = None  # under load
    spine_load: SpineLoad
    says: Text = ""
    source: Ids
