"""Back load: what the exercises of a plan load on the low back, with the asker's own load and size.

The figure of one exercise comes from its posture or a published value (spine.py); over a week its seconds under load
add up, weighed by the square of the figure. The lifts themselves load the back as well: those that were told with sets,
repetitions and kilograms are counted in; where none was, the sum is of accessories only, and says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from backstay.coaching.picks import Pick
from backstay.coaching.spine import EXPONENT, USUAL_HEIGHT, USUAL_MASS, Body, Spine, reference_seconds, spine
from backstay.knowledge.base import Base

CENTIMETRES = 100
DECIMALS = 2
PERCENT = 100


class Share(NamedTuple):
    """One exercise's share of a week; without a figure, why there is none."""

    exercise: str
    spine: Spine | None
    seconds: float  # reference seconds a week
    alike: float  # the same if every second weighs with the figure itself, not its square
    why_none: str = ""
    sessions: int = 1  # a week
    kg: float | None = 0.0  # that are counted in; None: there is a load, and nobody knows how much

    @property
    def band(self) -> tuple[float, float]:
        """The least and the most the figure may be."""
        assert self.spine is not None
        return self.spine.figure * (1 - self.spine.below / PERCENT), self.spine.figure * (
            1 + self.spine.above / PERCENT
        )

    def as_json(self) -> dict[str, Any]:
        """Return the share as plain values: the figure with its band, or why there is none."""
        if self.spine is None:
            return {"none": self.why_none}
        return {
            "figure": round(self.spine.figure, DECIMALS),
            "below": self.spine.below,
            "above": self.spine.above,
            "basis": self.spine.basis,
            "load_kg": self.kg,
            "seconds_a_week": round(self.seconds),
        }

    def figures(self) -> dict[str, Any]:
        """Return the share as a row of its week."""
        row: dict[str, Any] = {"exercise": self.exercise, "figure": None, "none": self.why_none}
        if self.spine is not None:
            low, high = self.band
            row = {"exercise": self.exercise, "figure": self.spine.figure, "low": low, "high": high}
            row["basis"] = self.spine.basis
        session = {"session_seconds": self.seconds / self.sessions, "session_alike": self.alike / self.sessions}
        return {**row, "seconds": self.seconds, **session}


class Week(NamedTuple):
    """All exercises of a week, and the lifts that were told with their loads."""

    shares: tuple[Share, ...]
    lifts: tuple[Share, ...] = ()

    @property
    def accessories_only(self) -> bool:
        """Whether nothing is known of what the lifts load."""
        return not any(share.spine for share in self.lifts)

    @property
    def seconds(self) -> float:
        """Reference seconds a week."""
        return sum(share.seconds for share in (*self.shares, *self.lifts))

    @property
    def alike(self) -> float:
        """The same with every second weighed by the figure itself."""
        return sum(share.alike for share in (*self.shares, *self.lifts))

    @property
    def band(self) -> tuple[float, float]:
        """The least and the most the reference seconds may be, all figures erring the same way."""
        low = high = 0.0
        for share in (*self.shares, *self.lifts):
            if share.spine is not None:
                low += share.seconds * (1 - share.spine.below / PERCENT) ** EXPONENT
                high += share.seconds * (1 + share.spine.above / PERCENT) ** EXPONENT
        return low, high

    def figures(self) -> dict[str, Any]:
        """Return the week under the names of the JSON answer."""
        low, high = self.band
        return {
            "seconds": self.seconds,
            "low": low,
            "high": high,
            "alike": self.alike,
            "accessories_only": self.accessories_only,
            "exercises": [share.figures() for share in self.shares],
            "lifts": [share.figures() for share in self.lifts],
        }


def body_of(findings: Any) -> Body:
    """The asker's size, as far as it was told."""
    mass, height = findings.number("body-mass"), findings.number("height")
    return Body(mass or USUAL_MASS, height / CENTIMETRES if height else USUAL_HEIGHT)


def share(base: Base, findings: Any, pick: Pick, sessions: int | None = None) -> Share:
    """The share of one exercise, its load at the upper end; as often as its dose says, or in so many sessions."""
    exercise = base.exercises[pick.exercise]
    weight = pick.dose.weight
    kg = weight.kg[1] * (2 if weight.each_hand else 1) if weight is not None and weight.kg is not None else 0.0
    often = sessions or pick.dose.times_a_week
    made = _share(pick.exercise, exercise.posture, exercise.spine_load, kg, pick.dose.work * often, body_of(findings))
    # A published value is that of a load; of what is reckoned, a load that is not known is missing.
    unknown = exercise.loaded and not kg and made.spine is not None and made.spine.basis == "computed"
    return made._replace(sessions=often, kg=None if unknown else kg)


def lift(base: Base, findings: Any, record: Mapping[str, Any]) -> Share | None:
    """The share of one record of work done, if it is of a lift and tells its repetitions and kilograms."""
    known = base.lifts.get(str(record.get("exercise")))
    reps, kg = record.get("reps"), record.get("load")
    if known is None or not reps or kg is None:
        return None
    worked = float(record.get("sets") or 1) * float(reps) * known.seconds_a_rep
    made = _share(known.lift, known.posture, known.spine_load, float(kg), worked, body_of(findings))
    return made._replace(kg=float(kg))


def week(
    base: Base,
    findings: Any,
    picks: Iterable[Pick],
    days: Sequence[Any] = (),
    done: Iterable[Mapping[str, Any]] = (),
) -> Week:
    """The shares of all exercises of a week, on its `days` if they are laid out, and of the lifts `done` in it."""
    shares = []
    for pick in picks:
        sessions = sum(pick.exercise in day.exercises for day in days)
        shares.append(share(base, findings, pick, sessions or None))
    lifts = (lift(base, findings, record) for record in done)
    return Week(tuple(shares), tuple(one for one in lifts if one is not None))


def _share(
    name: str, posture: Mapping[str, Any], stated: Mapping[str, Any], kg: float, worked: float, body: Body
) -> Share:
    load = spine(posture, stated, kg, body)
    if load is None:
        return Share(name, None, 0.0, 0.0, str(stated.get("none", "")))
    return Share(name, load, reference_seconds(load, worked), reference_seconds(load, worked, 1))
