"""What a week loads on the low back: accessories and the lifts that were told, beside sums done by hand.

Lifter of 75 kg and 1.72 m, one extensor muscle at 5 cm. Own trunk held level: 0.098 · 75 · 9.81 · 1.72 = 124.02 Nm,
2480.4 N. The levers of an upright body at a lean of L, as shares of height times sin L: the body 0.098 · 75 kg,
hanging hands 0.237, a bar on the upper back 0.2607.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from backstay.coaching.back_load import lift, share, week
from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from rules.situations import plan_for

NOBODY = SimpleNamespace(number=lambda name: None)


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


def told(name: str, **figures: float) -> dict[str, Any]:
    return {"exercise": name, **figures}


# figure = (k · g · (lever of the body + kg · lever of the load) / 0.05 + (0.524 · 75 + kg) · g · cos L) / 2480.4
HAND_SUMS = [
    # L 35, k 1.1: body 0.098·75·1.72·0.5736 = 7.251, load 100·(0.2607·1.72·0.5736) = 25.720;
    # 1.1·9.81·32.971/0.05 = 7116; (39.3+100)·9.81·0.8192 = 1119; together 8235
    ("back-squat", 100, 3.32),
    # L 60, k 1.1: body 10.948, load 100·(0.237·1.72·0.8660 - 0.08) = 27.302; 8255 + 683 = 8938
    ("deadlift", 100, 3.60),
    # L 57, k 1.2: body 10.602, load 100·(0.237·1.72·0.8387 - 0.08) = 26.188; 8662 + 744 = 9406
    ("clean-pull", 100, 3.79),
    # L 62, k 1.2: body 11.162, load 100·(0.237·1.72·0.8829 - 0.08) = 27.990; 9217 + 642 = 9859
    ("snatch-pull", 100, 3.97),
    # L 20, k 1.1: body 4.324, load 100·(0.190·1.72·0.3420 + 0.15) = 26.177; 6583 + 1284 = 7867
    ("front-squat", 100, 3.17),
    # L 70, k 1.1: body 11.880, load 60·(0.237·1.72·0.9397) = 22.984; 7524 + 333 = 7857
    ("row", 60, 3.17),
]


@pytest.mark.parametrize(("name", "kg", "figure"), HAND_SUMS)
def test_a_lift_loads_what_a_hand_sum_says(base: Base, name: str, kg: float, figure: float) -> None:
    made = lift(base, NOBODY, told(name, sets=1, reps=1, load=kg))
    assert made is not None
    assert made.spine is not None
    assert made.spine.figure == pytest.approx(figure, abs=0.015)


def test_the_seconds_of_a_lift_are_sets_times_repetitions_times_seconds_times_weight(base: Base) -> None:
    # 5 sets of 3 back squats of 3 s are 45 s; figure 3.32, squared 11.02, shape 0.458: 45 · 11.02 · 0.458 = 227.
    made = lift(base, NOBODY, told("back-squat", sets=5, reps=3, load=100))
    assert made is not None
    assert made.seconds == pytest.approx(227, abs=2)


def test_twice_the_repetitions_are_twice_the_seconds(base: Base) -> None:
    once = lift(base, NOBODY, told("deadlift", sets=2, reps=3, load=140))
    twice = lift(base, NOBODY, told("deadlift", sets=4, reps=3, load=140))
    assert once is not None
    assert twice is not None
    assert twice.seconds == pytest.approx(2 * once.seconds)


@pytest.mark.parametrize(
    "record",
    [
        told("back-squat", sets=5, reps=3),
        told("back-squat", sets=5, load=100),
        told("romanian-deadlift", sets=3, reps=8, load=80),
    ],
)
def test_what_tells_no_load_or_is_an_accessory_counts_for_nothing(base: Base, record: dict[str, Any]) -> None:
    assert lift(base, NOBODY, record) is None


@pytest.mark.parametrize("name", ["jerk", "push-press", "overhead-squat"])
def test_a_lift_without_a_figure_says_why(base: Base, name: str) -> None:
    made = lift(base, NOBODY, told(name, sets=3, reps=2, load=100))
    assert made is not None
    assert made.spine is None
    assert made.why_none


def test_every_lift_that_can_be_named_has_its_load_or_is_an_exercise(base: Base) -> None:
    for name in base.attributes["lift"].values:
        assert name in base.lifts or name in base.exercises, name
    assert not set(base.lifts) & set(base.exercises)


def test_the_lifts_that_were_told_come_on_top(base: Base) -> None:
    findings, plan = plan_for({"phase": "general-preparation", "want": "week"}, asking=False)
    bare = week(base, findings, plan.picks)
    assert bare.accessories_only
    squats = told("back-squat", sets=5, reps=3, load=100)
    full = week(base, findings, plan.picks, done=[squats])
    own = lift(base, findings, squats)
    assert own is not None
    assert not full.accessories_only
    assert full.seconds == pytest.approx(bare.seconds + own.seconds)
    assert full.alike == pytest.approx(bare.alike + own.alike)


def test_a_jerk_alone_leaves_it_at_accessories_only(base: Base) -> None:
    findings, plan = plan_for({"phase": "general-preparation", "want": "week"}, asking=False)
    assert week(base, findings, plan.picks, done=[told("jerk", sets=3, reps=2, load=100)]).accessories_only


def test_days_that_are_laid_out_count_as_many_sessions(base: Base) -> None:
    findings, plan = plan_for({"exercise": "back-extension", "want": "dose"}, asking=False)
    (pick,) = plan.picks
    days = [SimpleNamespace(exercises=(pick.exercise,)) for _ in range(3)]
    (three,) = week(base, findings, plan.picks, days).shares
    assert three.seconds == pytest.approx(3 * share(base, findings, pick, 1).seconds)
    assert three.figures()["session_seconds"] == pytest.approx(three.seconds / 3)


def test_the_band_of_a_week_is_that_of_its_figures_squared(base: Base) -> None:
    # One symmetric lift, 20 % either way: 0.8² = 0.64 and 1.2² = 1.44 of its seconds.
    made = week(base, NOBODY, (), done=[told("deadlift", sets=3, reps=5, load=120)])
    low, high = made.band
    assert low == pytest.approx(0.64 * made.seconds)
    assert high == pytest.approx(1.44 * made.seconds)


def test_who_is_heavier_bears_a_smaller_share_of_the_same_bar(base: Base) -> None:
    heavy = SimpleNamespace(number={"body-mass": 105.0}.get)
    light = SimpleNamespace(number={"body-mass": 60.0}.get)
    bar = told("back-squat", sets=1, reps=1, load=100)
    of_heavy, of_light = lift(base, heavy, bar), lift(base, light, bar)
    assert of_heavy is not None
    assert of_light is not None
    assert of_heavy.spine is not None
    assert of_light.spine is not None
    assert of_heavy.spine.figure < of_light.spine.figure
