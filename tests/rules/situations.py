"""Situations: facts as a table writes them, put to reasoning and coaching, with or without one rule."""

from __future__ import annotations

import marshal
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from backstay.coaching.plan import Plan, make_plan
from backstay.knowledge.base import Base, ParsedRule
from backstay.knowledge.compiling import compile_folders
from backstay.knowledge.facts import Fact
from backstay.knowledge.folders import BUILT_IN, built_in, folder
from backstay.knowledge.program import compile_program
from backstay.reasoning.engine import conclude
from backstay.reasoning.findings import Findings

TABLES = Path(__file__).parent / "situations"
DAYS_A_WEEK = 7


@lru_cache(maxsize=1)
def sections() -> dict[str, Any]:
    """The built-in knowledge, compiled from its files and not from a cache."""
    return compile_folders([folder(built_in(), BUILT_IN)]).sections


@lru_cache(maxsize=1)
def built_in_base() -> Base:
    return Base(sections())


@lru_cache(maxsize=1)
def _parsed() -> dict[str, ParsedRule]:
    base = built_in_base()
    rules = {}
    for id_, tree in zip(base.program["rules"], base.program["trees"], strict=True):
        when, unless, concludes, assumes = marshal.loads(tree)
        info = base.rules[id_]
        rules[id_] = ParsedRule(id_, when, unless, concludes, assumes, info.effects, info.place)
    return rules


def base_without(rule: str) -> Base:
    """The same knowledge as if this one rule had never been written."""
    base = built_in_base()
    rest = [parsed for id_, parsed in _parsed().items() if id_ != rule]
    return Base({**sections(), "program": compile_program(base.attributes, list(base.measures.values()), rest)})


def rows() -> Iterator[dict[str, Any]]:
    """All rows of all tables, each with the name of its table."""
    for path in sorted(TABLES.glob("*.yaml")):
        for row in yaml.safe_load(path.read_text(encoding="utf-8")):
            yield {"table": path.stem, **row}


def facts_of(situation: Mapping[str, Any]) -> list[Fact]:
    """`{weeks-to-meet: 10 days, test: {extensor-hold: 90}}` and the like as facts; without a want, `recommend`."""
    facts = [] if "want" in situation else [Fact("want", "recommend")]
    for name, value in situation.items():
        parts = {f"{name}.{key}": part for key, part in value.items()} if isinstance(value, dict) else {name: value}
        for attribute, part in parts.items():
            facts += [Fact(attribute, _figure(one)) for one in (part if isinstance(part, list) else [part])]
    return facts


def _figure(value: Any) -> str | float:
    if isinstance(value, str) and value.endswith(" days"):
        return float(value.split()[0]) / DAYS_A_WEEK
    return value if isinstance(value, str) else float(value)


def findings_for(situation: Mapping[str, Any], base: Base | None = None) -> Findings:
    return conclude(base or built_in_base(), facts_of(situation))


def plan_for(situation: Mapping[str, Any], base: Base | None = None, asking: bool = True) -> tuple[Findings, Plan]:
    """What holds in a situation and the plan for it; without `asking` as if every question had been put already."""
    base = base or built_in_base()
    findings = findings_for(situation, base)
    named = situation.get("exercise", ())
    named = [named] if isinstance(named, str) else list(named)
    asked = () if asking else [question.asks for question in base.questions.values()]
    return findings, make_plan(base, findings, str(situation.get("want", "recommend")), named, asked=asked)


def answer(plan: Plan) -> dict[str, Any]:
    """What of a plan is answered: all but the reasons and what was left out."""
    return {
        "outcome": plan.outcome,
        "urgency": plan.urgency,
        "within": plan.within,
        "notices": plan.notices,
        "told": plan.told,
        "ask": plan.ask_next,
        "assumed": dict(plan.assumed),
        "picks": [
            {
                "exercise": pick.exercise,
                "dose": {name: figure for name, figure in pick.dose.figures().items() if name != "sources"},
                "minutes": pick.minutes,
                "days": pick.days,
                "first-side": pick.first_side,
                "way": pick.way,
            }
            for pick in plan.picks
        ],
        "week": [tuple(day) for day in plan.week],
    }


def picked(plan: Plan) -> list[str]:
    return [pick.exercise for pick in plan.picks]
