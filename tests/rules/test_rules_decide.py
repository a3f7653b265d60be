"""Each rule of rules/ decides at least one situation, and keeps silent in one that is near."""

from __future__ import annotations

from typing import Any

import pytest

from .situations import answer, base_without, built_in_base, plan_for, rows

ROWS = list(rows())
BY_RULE = {row["rule"]: row for row in ROWS}


def _named(row: dict[str, Any]) -> str:
    return str(row["rule"])


def test_every_rule_has_one_situation_and_no_other_has() -> None:
    rules = sorted(id_ for id_, info in built_in_base().rules.items() if info.room == "rules")
    assert sorted(row["rule"] for row in ROWS) == rules


def test_there_are_rules_enough_to_speak_of() -> None:
    assert len(ROWS) >= 140


def test_each_row_stands_in_the_table_named_for_the_file_of_its_rule() -> None:
    base = built_in_base()
    astray = {
        row["rule"]: base.rules[row["rule"]].place[0]
        for row in ROWS
        if not base.rules[row["rule"]].place[0].endswith(f"rules/{row['table']}.yaml")
    }
    assert astray == {}


@pytest.mark.parametrize("row", ROWS, ids=_named)
def test_the_answer_is_another_without_the_rule(row: dict[str, Any]) -> None:
    findings, plan = plan_for(row["decides"])
    _, otherwise = plan_for(row["decides"], base_without(row["rule"]))
    assert row["rule"] in findings.fired
    assert answer(plan) != answer(otherwise)


@pytest.mark.parametrize("row", [row for row in ROWS if "silent" in row], ids=_named)
def test_the_rule_keeps_silent_near_by(row: dict[str, Any]) -> None:
    findings, _ = plan_for(row["silent"])
    assert row["rule"] not in findings.fired


@pytest.mark.parametrize("row", [row for row in ROWS if "silent" not in row], ids=_named)
def test_only_a_rule_without_a_condition_is_never_silent(row: dict[str, Any]) -> None:
    findings, _ = plan_for({"want": "social"})
    assert row["rule"] in findings.fired


@pytest.mark.parametrize("row", ROWS, ids=_named)
def test_a_reason_is_short_plain_and_sourced(row: dict[str, Any]) -> None:
    info = built_in_base().rules[row["rule"]]
    words = info.because.split()
    assert 3 <= len(words) <= 25
    assert info.because.endswith(".")
    assert info.sources
