"""Coaching on the built-in knowledge: facts of the trade, sane weeks and blocks, and laws that hold over many cases."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.days import DAYS_LIE, hours_until
from backstay.coaching.picks import HIGH_REPETITIONS, SORENESS_OR_PAIN
from backstay.coaching.plan import SEE_CLINICIAN, Plan, make_plan
from backstay.coaching.wants import CHOOSING, NAMED, STAND_IN
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load
from backstay.reasoning.engine import conclude

TRADE = yaml.safe_load((Path(__file__).parent / "trade.yaml").read_text(encoding="utf-8"))
PHASES = ["general-preparation", "specific-preparation", "pre-competition", "peaking", "transition"]
TODAY = date(2026, 3, 2)


@cache
def built_in() -> Base:
    return load()


def facts_of(told: dict[str, Any]) -> list[Fact]:
    return [
        Fact(name, float(value) if isinstance(value, (int, float)) else value)
        for name, values in told.items()
        for value in (values if isinstance(values, list) else [values])
    ]


def plan(want: str, told: dict[str, Any] | list[Fact], named: list[str] | None = None) -> Plan:
    facts = told if isinstance(told, list) else facts_of(told)
    names = named or []
    said = [Fact("want", want), *facts, *(Fact("exercise", name) for name in names)]
    return make_plan(built_in(), conclude(built_in(), said), want, names, TODAY)


@pytest.mark.parametrize("row", TRADE, ids=lambda row: row["case"])
def test_the_trade_agrees(row: dict[str, Any]) -> None:
    got = plan(row["want"], row["facts"], row.get("named"))
    assert got.outcome == "advice"
    picks = {pick.exercise: pick for pick in got.picks}
    assert set(row.get("given", ())) <= set(picks)
    assert not set(row.get("left", ())) & set(picks)
    for name, expected in row.get("holds", {}).items():
        pick = picks[name]
        shown = {**pick.dose.figures(), "days": list(pick.days), "first_side": pick.first_side}
        assert {field: shown[field] for field in expected} == expected
    for name in row.get("left", ()):
        assert next(one for one in got.left_out if one.exercise == name).because


def test_every_message_that_coaching_brings_along_is_there() -> None:
    assert {SEE_CLINICIAN, SORENESS_OR_PAIN, HIGH_REPETITIONS} <= set(built_in().messages)
    assert STAND_IN in built_in().rules


def test_many_repetitions_come_with_the_card_and_the_warning() -> None:
    got = plan("dose", {"phase": "specific-preparation"}, ["reverse-hyperextension"])
    assert SORENESS_OR_PAIN in got.notices
    assert HIGH_REPETITIONS in got.told


def test_without_the_machine_a_bench_and_a_band_are_named() -> None:
    (pick, *_) = plan("swap", {"lacks": "reverse-hyperextension-bench"}).picks
    assert pick.way is not None
    assert "bands" in built_in().exercises[pick.exercise].ways[pick.way - 1]["with"]


def test_against_the_stress_limit_sets_are_cut_and_the_exercise_stays() -> None:
    for phase, limit in (("pre-competition", 12), ("peaking", 4)):
        got = plan("recommend", {"phase": phase})
        assert got.picks
        assert sum(pick.dose.stress for pick in got.picks) <= limit


WEEKS = [(count, heavy) for count in (3, 4, 5, 6) for heavy in range(1, count + 1)]


@pytest.mark.parametrize("count, heavy", WEEKS)
def test_no_sore_hinge_within_two_days_before_the_heaviest_pulls(count: int, heavy: int) -> None:
    got = plan("week", {"phase": "specific-preparation", "training-days": count, f"day-load.{heavy}": "heavy-pulls"})
    loads = [DAYS_LIE[count][heavy - 1]]
    free = [day for day in range(1, count + 1) if (hours_until(DAYS_LIE[count][day - 1], loads) or 0) >= 48]
    for pick in got.picks:
        if built_in().exercises[pick.exercise].soreness == "expected" and free:
            assert set(pick.days) <= set(free)


@pytest.mark.parametrize("count", range(1, 8))
@pytest.mark.parametrize("phase", PHASES)
def test_a_week_stays_within_the_asker_s_days(phase: str, count: int) -> None:
    got = plan("week", {"phase": phase, "training-days": count})
    assert got.picks
    assert [day.day for day in got.week] == list(range(1, count + 1))
    for pick in got.picks:
        assert pick.days == tuple(day.day for day in got.week if pick.exercise in day.exercises)
        assert len(pick.days) == min(pick.dose.times_a_week, count)


def test_a_block_goes_through_the_season_to_the_day_before_the_meet() -> None:
    got = plan("block", {"weeks-to-meet": 14, "training-days": 5})
    phases = list(dict.fromkeys(stretch.phase for stretch in got.block))
    assert phases == ["general-preparation", "specific-preparation", "pre-competition", "peaking"]
    assert got.block[0].first == TODAY
    assert (got.block[-1].last - TODAY).days == 14 * 7 - 1
    assert all(stretch.picks for stretch in got.block)


def test_near_the_meet_the_block_holds_less_stress() -> None:
    stress = [sum(pick.dose.stress for pick in one.picks) for one in plan("block", {"weeks-to-meet": 14}).block]
    assert stress[-1] < stress[0]
    assert stress[-1] <= 4


def test_the_timeline_of_a_heavy_hinge_ends_in_time() -> None:
    turns = plan("timing", {}, ["romanian-deadlift"]).timeline
    assert turns[0].stands == "full"
    assert turns[-1].stands == "out"
    assert turns[-1].days >= 10


SAID: dict[str, Sequence[str | float]] = {
    "phase": PHASES,
    "level": ["beginner", "intermediate", "advanced"],
    "fault": ["rounds", "twists", "hips-rise-first", "soft-finish", "caves-in-dip"],
    "moment": ["first-pull", "catch", "dip", "second-pull"],
    "lift": ["snatch", "clean", "jerk", "back-squat"],
    "area": ["lower-back", "hip", "upper-back", "hamstring"],
    "aim": ["strength", "endurance", "speed", "stability", "mobility", "size"],
    "lacks": ["everything", "back-extension-bench", "barbell", "dumbbells"],
    "pain": ["present", "absent"],
    "provoked-by": ["bending", "leaning-back", "twisting", "sitting"],
    "weak-side": ["left", "right"],
    "twist-toward": ["left", "right"],
    "age": [13.0, 16.0, 30.0, 55.0],
    "minutes": [8.0, 15.0, 30.0],
    "weeks-to-meet": [0.4, 1.5, 3.0, 8.0, 16.0],
    "pain-score": [2.0, 3.0, 5.0, 8.0],
    "training-days": [3.0, 4.0, 5.0, 6.0],
    "muscle": ["erector-spinae", "hamstrings", "piriformis", "external-oblique"],
}


@st.composite
def cases(draw: st.DrawFn) -> list[Fact]:
    names = draw(st.sets(st.sampled_from(sorted(SAID)), max_size=7))
    return [Fact(name, draw(st.sampled_from(SAID[name]))) for name in sorted(names)]


@given(cases(), st.sampled_from(sorted(CHOOSING | NAMED)), st.sampled_from(["bird-dog", "good-morning", "hip-thrust"]))
@settings(max_examples=200, deadline=None)
def test_what_holds_of_every_plan(said: list[Fact], want: str, name: str) -> None:
    got = plan(want, said, [name] if want in NAMED else None)
    resolved = got.resolved
    assert resolved is not None
    assert got.outcome == "advice" or not got.picks
    assert not set(resolved.forbidden) & {pick.exercise for pick in got.picks}
    if any(fact == Fact("pain", "present") for fact in said):
        assert got.notices[0] == SEE_CLINICIAN
        assert got.urgency != "none"
    families = [built_in().exercises[pick.exercise].family for pick in got.picks]
    if want in CHOOSING:
        assert len(families) == len(set(families))
        if "items" in resolved.limits:
            assert len(got.picks) <= resolved.limits["items"].value
        if "minutes" in resolved.limits and want != "week":
            assert sum(pick.minutes for pick in got.picks) <= resolved.limits["minutes"].value
    for pick in got.picks:
        assert pick.dose.sets >= 1
        assert all(rule in built_in().rules for rule in pick.because)
    assert got.ask_next is None or got.ask_next in {question.asks for question in built_in().questions.values()}


@given(cases(), st.sampled_from(sorted(CHOOSING)), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_the_order_in_which_facts_are_told_changes_nothing(said: list[Fact], want: str, chance: random.Random) -> None:
    shuffled = said[:]
    chance.shuffle(shuffled)
    assert plan(want, shuffled)._replace(resolved=None) == plan(want, said)._replace(resolved=None)


@given(cases(), st.integers(5, 40), st.integers(1, 30))
@settings(max_examples=60, deadline=None)
def test_more_minutes_are_never_worth_less(said: list[Fact], minutes: int, more: int) -> None:
    # Rules that speak of minutes change needs and doses as well; what is compared is the choice alone.
    from backstay.coaching.picks import choose

    rest = [fact for fact in said if fact.attribute != "minutes"]
    resolved = plan("recommend", rest).resolved
    assert resolved is not None
    values = []
    for limit in (minutes, minutes + more):
        resolved.limits["minutes"] = resolved.limits["items"]._replace(value=limit)
        values.append(choose(built_in(), resolved, None).menu.value)
    assert values[0] <= values[1]
