"""Readings: how the program is asked for a value that stands in an outside source. None holds a value itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from backstay.coaching.plan import Plan
from backstay.knowledge.base import Base, Exercise
from backstay.reasoning.findings import Findings
from rules.situations import built_in_base, findings_for, picked
from rules.situations import plan_for as asking_plan_for

Of = Mapping[str, Any]

CLASSES = ("low", "medium", "high")
FURTHEST = 60
LONGEST_HOLD = 300


def plan_for(situation: Of) -> tuple[Findings, Plan]:
    """The plan for a situation; which question it would put back is not read here."""
    return asking_plan_for(situation, asking=False)


def _base() -> Base:
    return built_in_base()


def _named(exercise: str, situation: Of) -> tuple[Findings, Plan]:
    return plan_for({**situation, "want": "dose", "exercise": exercise})


def _dose(exercise: str, situation: Of) -> Mapping[str, Any]:
    _, plan = _named(exercise, situation)
    assert picked(plan) == [exercise], f"{exercise} is not given for {situation}"
    return plan.picks[0].dose.figures()


def _forbidden(situation: Of) -> set[str]:
    _, plan = plan_for(situation)
    assert plan.resolved is not None
    return set(plan.resolved.forbidden)


def _left(situation: Of, property_: Callable[[Exercise], bool]) -> list[str]:
    forbidden = _forbidden(situation)
    return sorted(id_ for id_, exercise in _base().exercises.items() if property_(exercise) and id_ not in forbidden)


def percent_of_sets_cut(of: Of) -> float:
    """How much of the sets the rules take off, before rounding to whole sets."""
    _, plan = plan_for(of["situation"])
    assert plan.resolved is not None
    changes = plan.resolved.changes.get(of["exercise"], ())
    times = [change.number for change in changes if change.quantity == "sets" and change.how == "times"]
    return 100 * (1 - min(times, default=1.0))


def last_day_before_the_meet(of: Of) -> int:
    """The fewest days before a meet on which an exercise of this kind is still allowed; the season is not said."""

    def is_meant(exercise: Exercise) -> bool:
        trains = of.get("trains")
        rest = {name: value for name, value in of.items() if name != "trains"}
        return all(getattr(exercise, name) == value for name, value in rest.items()) and (
            trains is None or trains in exercise.trains
        )

    return next(day for day in range(FURTHEST) if _left({"weeks-to-meet": f"{day} days"}, is_meant))


def weeks_of_phase(of: str) -> float:
    """How many weeks in whole days the program takes this phase to last, read off day by day."""
    days = [day for day in range(7 * FURTHEST) if findings_for({"weeks-to-meet": f"{day} days"}).value("phase") == of]
    return round(len(days) / 7)


def hours_before_heavy_pulls(of: str) -> int:
    _, plan = plan_for({"phase": "specific-preparation"})
    assert plan.resolved is not None
    return max(hours for hours, load, _ in plan.resolved.spacing[of] if load == "heavy-pulls")


def dose(of: Of) -> Any:
    return _dose(of["exercise"], of["situation"])[of["figure"]]


def dose_low(of: Of) -> Any:
    return dose(of)[0]


def dose_high(of: Of) -> Any:
    return dose(of)[-1]


def seconds_a_session(of: Of) -> float:
    """The longest total time of holding in one session."""
    figures = _dose(of["exercise"], of["situation"])
    return float(figures["sets"] * figures["seconds"][-1])


def seconds_a_hold(of: Of) -> float:
    """The length of one hold where holds are counted as repetitions."""
    _, plan = _named(of["exercise"], of["situation"])
    return plan.picks[0].dose.seconds_a_rep


def told(of: Of) -> tuple[str, ...]:
    return plan_for(of)[1].told


def notices(of: Of) -> tuple[str, ...]:
    return plan_for(of)[1].notices


def outcome(of: Of) -> str:
    return plan_for(of)[1].outcome


def forbidden(of: Of) -> set[str]:
    return _forbidden({"has": list(_base().equipment), "level": "advanced", **of})


def head_down_left(of: Of) -> list[str]:
    return _left(of, lambda exercise: exercise.head_down)


def breath_held_left(of: Of) -> list[str]:
    return _left(of, lambda exercise: exercise.breath_hold)


def patterns(of: Of) -> set[str]:
    """The patterns of the exercises picked."""
    return {_base().exercises[one].pattern for one in picked(plan_for(of)[1])}


def trains_more(of: Of) -> int:
    """By how many points the first exercise trains a muscle more than the second."""
    first, second = (_base().exercises[of[which]].trains.get(of["muscle"], 0) for which in ("first", "second"))
    return first - second


def most_trained(of: Of) -> list[str]:
    """The muscles that an exercise trains more than the one named."""
    base = _base()
    trains = base.exercises[of["exercise"]].trains
    least = trains.get(of["above"], 0)
    return [muscle for muscle, points in trains.items() if points > least and muscle in base.muscles]


def trained(of: str) -> list[str]:
    """The muscles that an exercise trains with at least two points, and the first mover with one."""
    trains = _base().exercises[of].trains
    most = max(points for muscle, points in trains.items() if muscle in _base().muscles)
    return [muscle for muscle, points in trains.items() if points >= min(2, most - 1)]


def stress(of: str) -> str:
    return _base().exercises[of].stress


def stress_above(of: Of) -> int:
    return CLASSES.index(stress(of["more"])) - CLASSES.index(stress(of["less"]))


def turns(of: str) -> str:
    return str(_base().muscles[of].side_effects["turns"])


def bends(of: str) -> str:
    return str(_base().muscles[of].side_effects["bends"])


def first_side(of: Of) -> str | None:
    _, plan = _named(of["exercise"], of["situation"])
    return plan.picks[0].first_side


def values(of: Of) -> list[Any]:
    return list(findings_for(of["situation"]).values(of["attribute"]))


def test_findings(of: Of) -> list[Any]:
    return values({"attribute": "test-finding", "situation": of})


def measure(of: Of) -> float | None:
    return findings_for(of["situation"]).number(of["measure"])


def seconds_under_the_mean_to_be_short(of: Of) -> float:
    """How far under a mean the longest hold lies that the program calls short, in steps of a tenth of a second."""
    short = [
        tenth / 10
        for tenth in range(10 * LONGEST_HOLD)
        if "back-hold-short" in test_findings({"sex": of["sex"], "test": {"extensor-hold": tenth / 10}})
    ]
    return float(of["mean"]) - max(short)


READINGS: Mapping[str, Callable[[Any], Any]] = {
    reading.__name__.replace("_", "-"): reading
    for reading in (
        percent_of_sets_cut,
        last_day_before_the_meet,
        weeks_of_phase,
        hours_before_heavy_pulls,
        dose,
        dose_low,
        dose_high,
        seconds_a_session,
        seconds_a_hold,
        told,
        notices,
        outcome,
        forbidden,
        head_down_left,
        breath_held_left,
        patterns,
        trains_more,
        most_trained,
        trained,
        stress,
        stress_above,
        turns,
        bends,
        first_side,
        values,
        test_findings,
        measure,
        seconds_under_the_mean_to_be_short,
    )
}
