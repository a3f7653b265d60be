"""Back load: what the exercises of a plan load on the low back, with the asker's own load and size.

The figure of one exercise comes from its posture or a published value (spine.py); over a week its seconds under load
add up, weighed by the square of the figure. What the lifts themselves load comes on top where they were told with
their loads; else the sum is of accessories only, and says so.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from backstay.coaching.picks import Pick
from backstay.coaching.spine import USUAL_HEIGHT, USUAL_MASS, Body, Spine, reference_seconds, spine
from backstay.knowledge.base import Base

CENTIMETRES = 100


class Share(NamedTuple):
    """One exercise's share of a week; without a figure, why there is none."""

    exercise: str
    spine: Spine | None
    seconds: float  # reference seconds a week
    alike: float  # the same if every second weighs with the figure itself, not its square
    why_none: str = ""


class Week(NamedTuple):
    """All exercises of a week."""

    shares: tuple[Share, ...]

    @property
    def seconds(self) -> float:
        """Reference seconds a week."""
        return sum(share.seconds for share in self.shares)

    @property
    def alike(self) -> float:
        """The same with every second weighed by the figure itself."""
        return sum(share.alike for share in self.shares)


def body_of(findings: Any) -> Body:
    """The asker's size, as far as it was told."""
    mass, height = findings.number("body-mass"), findings.number("height")
    return Body(mass or USUAL_MASS, height / CENTIMETRES if height else USUAL_HEIGHT)


def share(base: Base, findings: Any, pick: Pick) -> Share:
    """The share of one exercise, its load taken at the upper end."""
    exercise = base.exercises[pick.exercise]
    weight = pick.dose.weight
    kg = weight.kg[1] * (2 if weight.each_hand else 1) if weight is not None and weight.kg is not None else 0.0
    load = spine(exercise.posture, exercise.spine_load, kg, body_of(findings))
    if load is None:
        return Share(pick.exercise, None, 0.0, 0.0, str(exercise.spine_load.get("none", "")))
    worked = pick.dose.work * pick.dose.times_a_week
    return Share(pick.exercise, load, reference_seconds(load, worked), reference_seconds(load, worked, 1))


def week(base: Base, findings: Any, picks: Iterable[Pick]) -> Week:
    """The shares of all exercises of a week."""
    return Week(tuple(share(base, findings, pick) for pick in picks))
