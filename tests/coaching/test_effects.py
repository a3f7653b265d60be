"""The laws of effects as a table, and that no order of rules changes what they come to."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
import yaml

from backstay.coaching.effects import Resolved, resolve
from backstay.knowledge.base import Base

from .builders import Findings, base, exercise, rule, rules_of

LAWS = yaml.safe_load((Path(__file__).parent / "laws.yaml").read_text(encoding="utf-8"))


def tuples(value: Any) -> Any:
    return tuple(tuples(one) for one in value) if isinstance(value, list) else value


def fired(law: dict[str, Any]) -> list[tuple[str, Any]]:
    return [(name, tuples(effect)) for name, effects in law["fired"].items() for effect in effects]


def a_base(law: dict[str, Any]) -> Base:
    rules = rules_of(fired(law), law.get("over"))
    return base([exercise("a"), exercise("b"), exercise("c")], rules)


def seen(resolved: Resolved) -> dict[str, Any]:
    return {
        "needs": resolved.needs,
        "preference": resolved.preference,
        "forbidden": {name: list(rules) for name, rules in resolved.forbidden.items()},
        "changes": {name: [[one.rule, one.quantity] for one in all_] for name, all_ in resolved.changes.items()},
        "notices": list(resolved.notices),
        "stop": resolved.stop.value if resolved.stop else None,
        "refer": resolved.refer.value if resolved.refer else None,
        "sides": {name: side.side for name, side in resolved.sides.items()},
        "against": {name: [list(one) for one in side.against] for name, side in resolved.sides.items()},
        "silenced": {name: list(rules) for name, rules in resolved.silenced.items()},
        "limits": {name: said.value for name, said in resolved.limits.items()},
        "ways": resolved.ways,
        "times": {name: said.value for name, said in resolved.times_a_week.items()},
    }


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law["law"])
def test_law(law: dict[str, Any]) -> None:
    resolved = seen(resolve(a_base(law), Findings(fired(law), law.get("facts"))))
    assert {name: resolved[name] for name in law["gives"]} == law["gives"]


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law["law"])
def test_no_order_of_rules_matters(law: dict[str, Any]) -> None:
    made = a_base(law)
    expected = seen(resolve(made, Findings(fired(law), law.get("facts"))))
    for seed in range(5):
        effects = fired(law)
        random.Random(seed).shuffle(effects)
        assert seen(resolve(made, Findings(effects, law.get("facts")))) == expected


def test_no_rule_stands_over_safety() -> None:
    made = base([exercise("a")], [rule("bold", over=["careful"]), rule("careful", room="screening")])
    bold, careful = ("dose", ("a",), "sets", "at-most", 5), ("dose", ("a",), "sets", "at-most", 1)
    resolved = resolve(made, Findings([("bold", bold), ("careful", careful)]))
    assert [change.rule for change in resolved.changes["a"]] == ["bold", "careful"]


def test_to_need_what_another_trains() -> None:
    named = exercise("a", trains={"brace": 2, "grip": 1}, swaps=("b",))
    made = base([named, exercise("b")], [rule("stand-in")])
    resolved = resolve(made, Findings(), [("stand-in", ("need-like", ("a",)))])
    assert resolved.needs == {"brace": 2, "grip": 1}
    assert resolved.preference == {"b": 2}


def test_only_the_needs_of_some_rules() -> None:
    made = base([exercise("a")], [rule("one"), rule("two")])
    findings = Findings([("one", ("need", "brace", 1)), ("two", ("need", "grip", 1)), ("two", ("forbid", ("a",)))])
    resolved = resolve(made, findings, needs_of=frozenset({"one"}))
    assert resolved.needs == {"brace": 1}
    assert resolved.forbidden == {"a": ("two",)}
