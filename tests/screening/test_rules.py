"""Each screening rule speaks on its own case and not on the nearest one beside it."""

from __future__ import annotations

from typing import Any

import pytest

from backstay.reasoning.engine import conclude

from .tables import built_in_base, facts_of, table

CASES = table("rules.yaml")
DUTIES = table("duties.yaml")
# Keys of a case that stand for one effect of its rule.
EFFECTS = ("stop", "refer", "notice", "tell", "ask")
# Rows of the rule table that are about language or outcome: shown by messages in duties.yaml.
BY_MESSAGES = {"r02", "r04", "r73", "r74", "r75", "r76", "r77", "r78", "r79", "r80"}
# Rows that are told apart by what provokes the pain, one rule each.
IN_PARTS = {"r72"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['rule']} {case['facts']}")
def test_a_rule_speaks_on_its_case(case: dict[str, Any]) -> None:
    findings = conclude(built_in_base(), facts_of(case["facts"]))
    rule = case["rule"]
    assert rule in findings.fired
    said = {effect for name, effect in findings.effects if name == rule}
    for kind in EFFECTS:
        if kind in case:
            assert (kind, case[kind]) in said, (kind, said)
    if case.get("holds"):
        assert any(effect[0] == "hold" for effect in said)
    for flag in case.get("flag", []):
        assert flag in findings.values("red-flag")
    for attribute, value in case.get("says", {}).items():
        assert findings.has(attribute, value)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['rule']} not {case['near']}")
def test_a_rule_is_silent_on_the_nearest_case(case: dict[str, Any]) -> None:
    assert case["rule"] not in conclude(built_in_base(), facts_of(case["near"])).fired


def test_every_screening_rule_has_a_case() -> None:
    rules = {name for name, rule in built_in_base().rules.items() if rule.room == "screening"}
    assert not rules - {case["rule"] for case in CASES}


def test_every_row_of_the_rule_table_is_a_rule_or_shown_by_messages() -> None:
    rows = {f"r{number:02}" for number in range(1, 91)}
    rules = built_in_base().rules
    not_rules = rows - set(rules)
    assert not_rules == BY_MESSAGES | IN_PARTS
    assert {duty["id"] for duty in DUTIES} >= BY_MESSAGES
    assert all(any(name.startswith(f"{row}-") for name in rules) for row in IN_PARTS)


def test_whatever_stops_concludes_a_red_flag() -> None:
    for case in CASES:
        if "stop" in case and not case["rule"].startswith("sounds-"):  # the sound of a message names no cause
            assert conclude(built_in_base(), facts_of(case["facts"])).values("red-flag"), case["rule"]


def test_every_rule_names_its_reason_and_its_source() -> None:
    for name, rule in built_in_base().rules.items():
        if rule.room == "screening":
            assert rule.because.endswith("."), name
            assert rule.sources, name
