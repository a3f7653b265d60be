"""Skeleton: where the joints of a pose are, from the directions of its limbs.

Lengths are shares of body height (Drillis and Contini 1966 as drawn by Winter, from memory). A point is (x, y): x grows
to the front, y grows upwards. Directions as in an exercise file: 0 up, 90 to the front, 180 down, 270 to the back.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from types import MappingProxyType
from typing import Any, NamedTuple

Point = tuple[float, float]

LENGTHS = MappingProxyType(
    {
        "trunk": 0.288,  # hip to shoulder
        "head": 0.120,  # shoulder to the middle of the head
        "arm": 0.186,  # shoulder to elbow
        "forearm": 0.200,  # elbow to the grip
        "thigh": 0.245,
        "shank": 0.246,
        "foot": 0.110,  # ankle to the ball of the foot, seen from the side
    }
)
FOOT_HEIGHT = 0.039
HEAD_RADIUS = 0.058
# In a front view: from the middle to each shoulder and each hip.
SHOULDER_HALF = 0.100
HIP_HALF = 0.050
SIDES = ("near", "far")


class Bone(NamedTuple):
    """One limb between two joints."""

    name: str  # a key of LENGTHS
    side: str  # near | far; the trunk and the head are near
    start: Point
    end: Point


class Skeleton(NamedTuple):
    """A body in one pose."""

    bones: tuple[Bone, ...]

    def joint(self, name: str, side: str = "near") -> Point:
        """Return where a joint is: hip, shoulder, head, elbow, hand, knee, ankle, toe."""
        bone, at_end = JOINTS[name]
        for one in self.bones:
            if one.name == bone and (one.side == side or bone in ("trunk", "head")):
                return one.end if at_end else one.start
        raise KeyError(name)

    def moved(self, x: float, y: float) -> Skeleton:
        """Return the same body somewhere else."""
        return Skeleton(
            tuple(bone._replace(start=_add(bone.start, (x, y)), end=_add(bone.end, (x, y))) for bone in self.bones)
        )


# Which end of which bone a joint is.
JOINTS = MappingProxyType(
    {
        "hip": ("trunk", False),
        "shoulder": ("trunk", True),
        "head": ("head", True),
        "elbow": ("arm", True),
        "hand": ("forearm", True),
        "knee": ("thigh", True),
        "ankle": ("shank", True),
        "toe": ("foot", True),
    }
)


def skeleton(pose: Mapping[str, Any], view: str = "side") -> Skeleton:
    """Return the body of a pose, its hips at (0, 0)."""
    wide = view == "front"
    hip: Point = (0.0, 0.0)
    shoulder = _along(hip, "trunk", pose["trunk"])
    bones = [Bone("trunk", "near", hip, shoulder)]
    bones.append(Bone("head", "near", shoulder, _along(shoulder, "head", pose.get("head", pose["trunk"]))))
    for side in reversed(SIDES):
        said = {limb: _direction(pose, limb, side) for limb in ("arm", "forearm", "thigh", "shank")}
        # Seen from the front, the near side stands to the right of the middle.
        across = pose["trunk"] + (90 if side == "near" else -90)
        root = _at(shoulder, across, SHOULDER_HALF) if wide else shoulder
        elbow = _along(root, "arm", said["arm"])
        bones.append(Bone("arm", side, root, elbow))
        bones.append(Bone("forearm", side, elbow, _along(elbow, "forearm", said["forearm"])))
        root = _at(hip, across, HIP_HALF) if wide else hip
        knee = _along(root, "thigh", said["thigh"])
        ankle = _along(knee, "shank", said["shank"])
        bones.append(Bone("thigh", side, root, knee))
        bones.append(Bone("shank", side, knee, ankle))
        if not wide:
            bones.append(Bone("foot", side, ankle, _along(ankle, "foot", said["shank"] - 90)))
    return Skeleton(tuple(bones))


def _direction(pose: Mapping[str, Any], limb: str, side: str) -> float:
    """The direction of a limb: its own, else the near one's; a forearm or shank that is not said goes straight on."""
    upper = {"forearm": "arm", "shank": "thigh"}.get(limb)
    names = [f"far-{limb}"] if side == "far" else []
    if side == "far" and upper is not None and f"far-{upper}" in pose:
        names.append(f"far-{upper}")
    names.append(limb)
    if upper is not None:
        names.append(upper)
    return float(next(pose[name] for name in names if name in pose))


def _along(start: Point, bone: str, direction: float) -> Point:
    return _at(start, direction, LENGTHS[bone])


def _at(start: Point, direction: float, length: float) -> Point:
    turn = radians(direction)
    return start[0] + length * sin(turn), start[1] + length * cos(turn)


def _add(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]
