"""Spine: how much an exercise loads the low back, beside holding one's own unloaded trunk level (1.0).

A static sum of moments at the joint between the lowest lumbar vertebra and the sacrum, one extensor muscle, a rigid
trunk; the segments are those of de Leva (J Biomech 1996;29:1223-1230), the joint lies a fifth of the way from hip to
shoulder (Chaffin and Andersson, from memory). Body mass and height cancel out of the figure but for the load's share
of body mass, so that it may be told of somebody whose size is not known.

    moment        M = k · g · Σ m · r                      Nm, r grows with the sine of the lean
    compression   C = M / D + (mass above + load) · g · cos(lean)         N, D = 5.0 cm (published: 4.2 to 7.5 cm)
    figure        C over that of the level trunk: no unit
    shape         mean of (figure / peak figure)² over one repetition
    reference seconds   sets · repetitions · seconds · shape · figure²

Where the body is not symmetric, braces or carries, a static sum is wrong by a factor of 1.4 to 4: there a published
compression stands in for it, beside what the same laboratory found for raising the trunk over a bench (4000 N). Where
none is published there is no figure. It is an estimate of load: it says nothing about harm.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from types import MappingProxyType
from typing import Any, NamedTuple

GRAVITY = 9.81
LEVER = 0.050  # m: one extensor muscle; traditional handbook value
# The lifter a figure is told of where size is not known.
USUAL_MASS = 75.0
USUAL_HEIGHT = 1.72
# Shares of body mass, and how far above the joint their centres lie as shares of height (de Leva; lengths from memory).
TRUNK = (0.356, 0.141)
HEAD = (0.0694, 0.350)
ARMS = 0.0988
ABOVE = 0.524
REFERENCE = 0.098  # Σ share of mass · share of height for the level trunk with hanging arms
LEGS = (0.3972, 0.249)
ANKLES = 0.549
# Where the arms' centre lies, by how they are held.
ARMS_AT = MappingProxyType(
    {"hanging": 0.237, "crossed": 0.188, "behind-head": 0.297, "along-body": 0.060, "on-bar": 0.237}
)
# Where a load sits, as a share of height above the joint.
LOAD_AT = MappingProxyType(
    {"hands": 0.237, "chest": 0.190, "upper-back": 0.2607, "low-on-back": 0.240, "behind-head": 0.300, "hips": 0.0}
)
# A load is more than its weight while it is sped up: between Leskinen 1983 and McGill and Norman 1985.
TEMPO = MappingProxyType({"held": 1.0, "slow": 1.1, "normal": 1.2, "fast": 1.5})
# What the laboratory of the published values found for raising the trunk over a bench, and our figure for it.
ANCHOR_NEWTONS = 4000.0
ANCHOR_FIGURE = 1.05
# A pendulum's load stops growing in step with its weight (Lawrence 2022).
MOST_AT_ANKLES = 0.5
STEPS = 60
EXPONENT = 2
# Half widths of the bands, in percent: symmetric and computed, published, legs free (below, above).
BANDS = MappingProxyType({"computed": (20, 20), "published": (40, 40), "legs": (50, 10)})


class Spine(NamedTuple):
    """The load of one exercise on the low back."""

    figure: float
    shape: float
    below: int  # percent by which it may be less
    above: int  # percent by which it may be more
    basis: str  # computed | published


class Body(NamedTuple):
    """Who lifts: kg and m."""

    mass: float = USUAL_MASS
    height: float = USUAL_HEIGHT

    @property
    def reference_moment(self) -> float:
        """The moment of the own trunk held level, Nm."""
        return REFERENCE * self.mass * GRAVITY * self.height

    @property
    def reference_compression(self) -> float:
        """The compression of the own trunk held level, N."""
        return self.reference_moment / LEVER


def spine(
    posture: Mapping[str, Any], stated: Mapping[str, Any], kg: float = 0.0, body: Body | None = None
) -> Spine | None:
    """Return the load of an exercise with `kg` on it; None where there is no figure.

    `posture` and `stated` are the parts `posture` and `spine-load` of an exercise file.
    """
    body = Body() if body is None else body
    if "published" in stated:
        return Spine(ANCHOR_FIGURE * stated["published"] / ANCHOR_NEWTONS, 1.0, *BANDS["published"], "published")
    if "free" not in stated or not posture:
        return None
    angles = _angles(posture, stated["free"])
    peak = _figure(stated, max(angles, key=lambda angle: moment(stated, angle, kg, body)), kg, body)
    if peak <= 0:
        return None
    shape = sum((_figure(stated, angle, kg, body) / peak) ** EXPONENT for angle in angles) / len(angles)
    band = BANDS["legs"] if stated["free"] == "legs" else BANDS["computed"]
    return Spine(peak, shape, *band, "computed")


def reference_seconds(load: Spine, seconds: float, exponent: int = EXPONENT) -> float:
    """Return the reference seconds of so many seconds under load."""
    return float(seconds * load.shape ** (exponent / EXPONENT) * load.figure**exponent)


def moment(stated: Mapping[str, Any], lean: float, kg: float, body: Body) -> float:
    """Return the moment at the lowest lumbar joint in Nm; `lean` is the trunk's (or the legs') angle from upright."""
    tilt = sin(radians(lean))
    if stated["free"] == "legs":
        hung = min(kg, MOST_AT_ANKLES * body.mass)
        arm = abs(tilt) * body.height * (LEGS[0] * LEGS[1] * body.mass + ANKLES * hung)
        return float(_speed(stated) * GRAVITY * arm)
    shares = TRUNK[0] * TRUNK[1] + HEAD[0] * HEAD[1] + ARMS * ARMS_AT[stated.get("arms", "hanging")]
    reach = LOAD_AT[stated.get("load-at", "hands")] * body.height * tilt + stated.get("ahead", 0)
    return float(_speed(stated) * GRAVITY * (body.mass * body.height * tilt * shares + kg * reach))


def compression(stated: Mapping[str, Any], lean: float, kg: float, body: Body) -> float:
    """Return the compression of the lowest lumbar joint in N; an estimate, for comparing only."""
    pull = moment(stated, lean, kg, body) / LEVER
    if stated["free"] == "legs":
        return pull
    return pull + (ABOVE * body.mass + kg) * GRAVITY * max(0.0, cos(radians(lean)))


def _figure(stated: Mapping[str, Any], lean: float, kg: float, body: Body) -> float:
    return compression(stated, lean, kg, body) / body.reference_compression


def _speed(stated: Mapping[str, Any]) -> float:
    return TEMPO[stated.get("tempo", "slow")]


def _angles(posture: Mapping[str, Any], free: str) -> list[float]:
    """The angles from upright that one repetition passes through, evenly."""
    poses = posture["poses"]
    # A leg that hangs straight down is upright; a trunk that points up is.
    ends = [pose["thigh"] - 180 if free == "legs" else pose["trunk"] for pose in (poses[0], poses[-1])]
    if ends[0] == ends[1]:
        return [ends[0]]
    return [ends[0] + (ends[1] - ends[0]) * step / STEPS for step in range(STEPS + 1)]
