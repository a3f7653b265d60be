"""Plans: which outcome stands over which, what each want is given, what is left out and why."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.coaching.plan import SEE_CLINICIAN, Plan, make_plan
from backstay.coaching.wants import CHOOSING, NAMED, NOTED
from backstay.knowledge.base import Base, Effect, Phase
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude

from .builders import Findings, base, exercise, parsed, rule

NEED: tuple[str, Effect] = ("need", ("need", "brace", 3))
PAIN: tuple[str, Effect] = ("pain", ("notice", SEE_CLINICIAN))
OTHER_WANTS = ("lift-today", "first-aid", "tell-apart")
ALL_WANTS = (*CHOOSING, *NAMED, *NOTED, *OTHER_WANTS, "out-of-scope")


def a_base() -> Base:
    exercises = [
        exercise("bridge", trains={"brace": 2, "grip": 1}, dose={"sets": 3}),
        exercise("carry", trains={"brace": 3, "grip": 2}, stress="medium", swaps=("bridge",)),
        exercise("hold", trains={"brace": 1}, speed="fast"),
    ]
    names = ("bar", "kit", "need", "pain", "stand-in", "wish")
    rules = [*(rule(name) for name in names), rule("screen", room="screening")]
    return base(exercises, rules, ["sign", "wish"], [Phase("peaking", "peaking", "", {}, 2, 1, (), "")])


BASE = a_base()


def plan(want: str, *effects: tuple[str, Effect], named: tuple[str, ...] = (), **facts: Any) -> Plan:
    return make_plan(BASE, Findings(effects, {name.replace("_", "-"): facts[name] for name in facts}), want, named)


def picked(of: Plan) -> list[str]:
    return [pick.exercise for pick in of.picks]


STOP: tuple[str, Effect] = ("screen", ("stop", "now"))
REFER: tuple[str, Effect] = ("screen", ("refer", "days"))
HOLD: tuple[tuple[str, Effect], ...] = (("screen", ("hold",)), ("screen", ("ask", "sign")))


@pytest.mark.parametrize("want", ALL_WANTS)
def test_a_stop_stands_over_all(want: str) -> None:
    got = plan(want, STOP, REFER, *HOLD, NEED, PAIN, named=("carry",))
    assert (got.outcome, got.urgency, got.within, got.picks) == ("stop", "emergency", "now", ())
    assert got.because == ("screen",)


@pytest.mark.parametrize("when, urgency", [("now", "emergency"), ("today", "urgent"), ("days", "urgent")])
def test_how_urgent_a_stop_is(when: str, urgency: str) -> None:
    got = plan("recommend", ("screen", ("stop", when)), NEED)
    assert (got.urgency, got.within) == (urgency, when)


@pytest.mark.parametrize("want", ALL_WANTS)
def test_a_referral_stands_over_all_but_a_stop(want: str) -> None:
    got = plan(want, REFER, *HOLD, NEED, named=("carry",))
    assert (got.outcome, got.urgency, got.within, got.picks) == ("refer", "clinician", "days", ())


@pytest.mark.parametrize("want", ALL_WANTS)
def test_an_open_sign_is_asked_about_before_any_exercise(want: str) -> None:
    got = plan(want, *HOLD, NEED, named=("carry",))
    assert (got.outcome, got.ask_next, got.picks) == ("question", "sign", ())


def test_an_open_sign_without_a_question_is_for_a_clinician() -> None:
    got = plan("recommend", ("screen", ("hold",)), NEED)
    assert (got.outcome, got.within) == ("refer", "days")


def test_out_of_scope_and_noted_give_nothing() -> None:
    assert plan("out-of-scope", NEED).outcome == "out-of-scope"
    for want in NOTED:
        got = plan(want, NEED, PAIN, named=("carry",))
        assert (got.outcome, got.picks, got.urgency, got.notices) == ("noted", (), "clinician", (SEE_CLINICIAN,))


@pytest.mark.parametrize("want", sorted(CHOOSING))
def test_what_is_chosen_is_advice(want: str) -> None:
    got = plan(want, NEED)
    assert got.outcome == "advice"
    assert picked(got) == ["carry"]
    assert got.picks[0].because == ("need",)


@pytest.mark.parametrize("want", sorted(NAMED))
def test_only_what_was_named_and_is_allowed_is_given(want: str) -> None:
    got = plan(want, NEED, ("bar", ("forbid", ("hold",))), named=("bridge", "hold"))
    assert (got.outcome, picked(got)) == ("advice", ["bridge"])
    assert [(one.exercise, one.because) for one in got.left_out] == [("hold", ("bar",))]
    assert plan(want, NEED).picks == ()


@pytest.mark.parametrize("want", OTHER_WANTS)
def test_other_wants_are_advice_without_exercises(want: str) -> None:
    got = plan(want, NEED, ("wish", ("tell", "go-home")), named=("carry",))
    assert (got.outcome, got.picks, got.told) == ("advice", (), ("go-home",))


def test_nothing_left_is_a_referral_with_pain_and_a_question_without() -> None:
    nothing: tuple[str, Effect] = ("bar", ("forbid", ("bridge", "carry", "hold")))
    with_pain = plan("recommend", NEED, PAIN, nothing)
    assert (with_pain.outcome, with_pain.urgency, with_pain.within) == ("refer", "clinician", "weeks")
    opens = [
        parsed("need", ("all", ()), NEED[1], ("ask", "wish")),
        parsed("bar", ("not", ("is", "wish", "granted")), nothing[1]),
    ]
    made = base(BASE.exercises.values(), (), ["wish"], parsed=opens)
    asked = make_plan(made, conclude(made, [Fact("want", "recommend")]), "recommend")
    assert (asked.outcome, asked.ask_next) == ("question", "wish")
    # With nothing to ask either, the reasons are the answer.
    left = plan("recommend", NEED, nothing)
    assert (left.outcome, left.picks) == ("advice", ())


def test_the_notice_on_clinicians_stands_first() -> None:
    got = plan("recommend", NEED, ("wish", ("notice", "guardian")), PAIN)
    assert got.notices == (SEE_CLINICIAN, "guardian")
    assert (got.outcome, got.urgency, got.within) == ("advice", "clinician", None)


def test_left_out_names_what_was_named_and_what_would_have_changed_the_picks() -> None:
    got = plan("recommend", NEED, ("bar", ("forbid", ("carry",))), named=("hold",))
    assert picked(got) == ["hold", "bridge"]
    assert [(one.exercise, one.because) for one in got.left_out] == [("carry", ("bar",))]
    kept = plan("recommend", NEED, ("bar", ("forbid", ("hold",))), named=("bridge",))
    assert [(one.exercise, one.because) for one in kept.left_out] == [("bridge", ())]


def test_reasons_against_come_from_safety_first() -> None:
    got = plan("recommend", NEED, ("bar", ("forbid", ("carry",))), ("screen", ("forbid", ("carry",))))
    assert got.left_out[0].because == ("screen", "bar")


def test_an_exercise_is_not_added_because_it_is_liked() -> None:
    got = plan("recommend", NEED, ("wish", ("favour", ("bridge", "hold"), 2)))
    assert picked(got) == ["carry"]


def test_the_fast_stands_first_then_the_most_stress() -> None:
    got = plan("recommend", ("need", ("need", "brace", 9)), ("wish", ("need", "grip", 3)))
    assert picked(got) == ["hold", "carry", "bridge"]


def test_the_phase_limits_items_and_stress() -> None:
    got = plan("recommend", ("need", ("need", "brace", 9)), phase="peaking")
    assert picked(got) == ["carry"]
    assert (got.picks[0].dose.sets, got.picks[0].dose.cut) == (2, 1)


def test_a_stand_in_trains_what_the_named_one_trains() -> None:
    got = plan("swap", ("need", ("need", "speed", 3)), named=("carry",))
    assert picked(got) == ["hold", "bridge"]
    assert got.picks[1].because[0] == "stand-in"
    assert got.left_out == ()


def test_what_is_replaced_is_left_out_for_what_else_forbids_it() -> None:
    got = plan("swap", ("bar", ("forbid", ("carry",))), named=("carry",))
    assert [(one.exercise, one.because) for one in got.left_out] == [("carry", ("bar",))]


def test_what_is_refused_is_replaced() -> None:
    assert "bridge" in picked(plan("swap", NEED, avoids="carry"))


def test_missing_kit_replaces_what_it_is_first_used_for_and_other_ways_stay_open() -> None:
    ways = ({"with": ("bench",), "as": ""}, {"with": ("box",), "as": ""})
    machine = exercise("machine", trains={"grip": 3}, ways=ways)
    made = base([machine, exercise("bridge")], [rule("machine/way-2", "exercise"), rule("stand-in")])
    got = make_plan(made, Findings([("machine/way-2", ("way", "machine", 2))], {"lacks": "bench"}), "swap")
    assert [(pick.exercise, pick.way) for pick in got.picks] == [("machine", 2)]


def test_a_week_is_laid_out_over_the_days_that_are_trained() -> None:
    got = plan("week", NEED, training_days=3.0)
    assert [day.day for day in got.week] == [1, 2, 3]
    assert got.picks[0].days
    assert "training-days" not in got.assumed


def test_a_week_of_unknown_length_is_laid_out_as_usual_and_says_so() -> None:
    got = plan("week", NEED)
    assert len(got.week) == got.assumed["training-days"] == 4


def test_a_week_of_what_was_named_holds_just_that() -> None:
    got = plan("week", NEED, named=("bridge", "hold"), training_days=4.0)
    assert sorted(picked(got)) == ["bridge", "hold"]
    assert sorted(name for day in got.week for name in day.exercises) == ["bridge", "hold"]


def test_a_week_has_the_minutes_of_all_its_sessions() -> None:
    short = ("wish", ("limit", "minutes", 6))
    needs = (("need", ("need", "brace", 9)), ("wish", ("need", "grip", 3)), short)
    assert len(picked(plan("recommend", *needs))) == 1
    week = plan("week", *needs, training_days=3.0)
    assert len(week.picks) == 3
    assert all(day.minutes <= 6 for day in week.week)


def test_a_report_says_what_comes_next() -> None:
    half: tuple[str, Effect] = ("wish", ("dose", ("carry",), "sets", "times", 0.5))
    got = plan("log", ("bar", ("forbid", ("hold",))), half, named=("hold", "carry", "bridge"))
    steps = [(step.exercise, step.next) for step in got.steps]
    assert steps == [("bridge", "grow"), ("carry", "less"), ("hold", "out")]
    hurting = plan("log", PAIN, done_exercise="bridge", named=("bridge",))
    assert [step.next for step in hurting.steps] == ["same"]


def test_a_dose_that_leaves_soreness_comes_with_the_card() -> None:
    exercises = [
        exercise("sore", trains={"brace": 3}, soreness_card=True),
        exercise("long", trains={"grip": 3}, dose={"reps": [20, 30]}),
    ]
    made = base(exercises, [rule("need")])
    sore = make_plan(made, Findings([("need", ("need", "brace", 3))]), "recommend")
    assert (sore.notices, sore.told) == (("soreness-or-pain",), ())
    many = make_plan(made, Findings([("need", ("need", "grip", 3))]), "recommend")
    assert (many.notices, many.told) == (("soreness-or-pain",), ("high-repetitions",))


def test_what_was_assumed_is_told() -> None:
    findings = Findings([NEED], assumed={"level": "intermediate"})
    assert make_plan(BASE, findings, "recommend").assumed == {"level": "intermediate"}


@given(st.sampled_from(sorted(ALL_WANTS)), st.sets(st.sampled_from(["bridge", "carry", "hold"])), st.booleans())
def test_a_forbidden_exercise_is_never_given(want: str, out: set[str], pain: bool) -> None:
    effects = [NEED, ("bar", ("forbid", tuple(sorted(out)))), ("wish", ("favour", ("bridge", "carry", "hold"), 2))]
    got = plan(want, *effects, *([PAIN] if pain else []), named=("bridge", "carry", "hold"))
    assert not out & set(picked(got))
    assert not out & {name for day in got.week for name in day.exercises}
    assert got.outcome == "advice" or not got.picks
