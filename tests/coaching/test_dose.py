"""Doses: laws as a table, the choice among uses, minutes and stress, and cutting sets against a stress limit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from backstay.coaching.dose import Dose, cut_to_stress, fix_dose
from backstay.coaching.effects import Resolved, resolve
from backstay.knowledge.base import Exercise

from .builders import Findings, base, exercise, rule

TABLE = yaml.safe_load((Path(__file__).parent / "doses.yaml").read_text(encoding="utf-8"))


def fixed(of: Exercise, resolved: Resolved | None = None) -> Dose:
    dose = fix_dose(of, resolved or Resolved())
    assert dose is not None
    return dose


def under(of: Exercise, *effects: tuple[str, Any]) -> Dose:
    rules = [rule(name) for name in sorted({name for name, _ in effects})]
    return fixed(of, resolve(base([of], rules), Findings(effects)))


@pytest.mark.parametrize("law", TABLE, ids=lambda law: law["law"])
def test_law(law: dict[str, Any]) -> None:
    effects: list[tuple[str, Any]] = [
        (name, ("dose", ("a",), *change)) for name, change in law.get("changes", {}).items()
    ]
    if "often" in law:
        effects.append(("often", ("times-a-week", ("a",), law["often"])))
    dose = under(exercise("a", dose=law.get("dose", {})), *effects)
    figures = dose.figures()
    assert {name: figures[name] for name in law["gives"]} == law["gives"]
    if law.get("untouched"):
        assert dose.because == ()


def test_the_first_dose_is_the_usual_one() -> None:
    doses = {"long": {"sets": 3, "reps": [20, 30]}, "hard": {"sets": 4, "reps": [5, 5]}}
    assert fixed(exercise("a", doses=doses)).use == "long"


def test_a_rule_chooses_a_dose_by_its_name() -> None:
    doses = {"long": {"sets": 3, "reps": [20, 30]}, "hard": {"sets": 4, "reps": [5, 5], "stress": "high"}}
    dose = under(exercise("a", doses=doses), ("heavy", ("dose-use", ("a",), "hard")))
    assert (dose.use, dose.sets, dose.stress_class, dose.because) == ("hard", 4, "high", ("heavy",))


def test_of_two_uses_the_one_with_less_work_leads_and_the_other_is_told() -> None:
    doses = {"long": {"sets": 3, "reps": [20, 30]}, "hard": {"sets": 4, "reps": [5, 5]}}
    of = exercise("a", doses=doses)
    dose = under(of, ("one", ("dose-use", ("a",), "long")), ("two", ("dose-use", ("a",), "hard")))
    assert (dose.use, dose.other_use) == ("hard", "long")


def test_a_use_that_the_file_does_not_have_changes_nothing() -> None:
    assert under(exercise("a"), ("one", ("dose-use", ("a",), "other"))).use == "usual"


def test_an_exercise_without_a_dose_has_none() -> None:
    assert fix_dose(exercise("a", doses={}), Resolved()) is None


def test_minutes_count_work_on_both_sides_rests_and_the_setting_up() -> None:
    # 60 s to set up, 4 sets of 7 x 4 s on each of two sides and 5 s between the sides, 3 rests of 105 s: 619 s.
    dose = {"sets": 4, "reps": [7, 7], "rest": [90, 120], "seconds-a-rep": 4}
    assert fixed(exercise("a", one_sided=True, dose=dose)).minutes == 11


def test_minutes_of_a_hold_and_of_a_carry() -> None:
    hold = {"sets": 3, "reps": None, "seconds": [20, 40], "rest": [60, 60]}
    assert fixed(exercise("a", dose=hold)).minutes == 5  # 60 + 120 + 120 s
    carry = {"sets": 2, "reps": None, "metres": [20, 30], "rest": [60, 60]}
    assert fixed(exercise("a", dose=carry)).minutes == 3  # 60 + 60 + 60 s


@pytest.mark.parametrize("stress, weekly", [("low", 0), ("medium", 6), ("high", 12)])
def test_weekly_stress_is_sets_by_class_by_times(stress: str, weekly: int) -> None:
    dose = fixed(exercise("a", stress=stress, dose={"sets": 3, "times-a-week": [2, 2]}))
    assert (dose.stress, dose.least_stress) == (weekly, weekly // 3)


def test_against_a_stress_limit_sets_are_cut_where_the_stress_is_greatest() -> None:
    hard = fixed(exercise("a", stress="high", dose={"sets": 4}))
    middle = fixed(exercise("b", stress="medium", dose={"sets": 4}))
    light = fixed(exercise("c", stress="low", dose={"sets": 5}))
    cut = cut_to_stress([hard, middle, light], 7)
    assert [dose.sets for dose in cut] == [2, 3, 5]
    assert [dose.cut for dose in cut] == [2, 1, 0]


SETS = st.lists(st.tuples(st.integers(1, 6), st.sampled_from(["low", "medium", "high"])), max_size=5)


@given(SETS, st.integers(0, 40))
def test_cutting_keeps_the_limit_or_leaves_one_set_of_each(drawn: list[tuple[int, str]], limit: int) -> None:
    doses = [fixed(exercise("a", stress=stress, dose={"sets": sets})) for sets, stress in drawn]
    cut = cut_to_stress(doses, limit)
    assert all(1 <= after.sets <= before.sets for before, after in zip(doses, cut, strict=True))
    if sum(dose.stress for dose in cut) > limit:
        assert all(dose.sets == 1 for dose in cut if dose.stress_class != "low")
    if sum(dose.stress for dose in doses) <= limit:
        assert list(cut) == doses
