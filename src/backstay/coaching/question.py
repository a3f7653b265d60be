"""Question: the one fact worth asking for.

First what an open safety question asks for, then what safety rules ask, then facts whose lack silences an effect of a
rule that fired, then what other rules ask. Among equals the fact that more rules wait for. Nothing is asked that was
said or follows from what was said, nothing twice, and nothing for which there is no question.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from backstay.coaching.effects import Resolved
from backstay.knowledge.base import Base


def worth_asking(base: Base, findings: Any, resolved: Resolved, asked: Collection[str] = ()) -> tuple[str, ...]:
    """Return the facts worth asking for, the first first."""
    askable = {question.asks for question in base.questions.values()}
    ranked = []
    for fact, rules in _wanted(resolved).items():
        if fact in askable and fact not in asked and not _is_held(findings, fact):
            ranked.append((_rank(base, resolved, fact, rules), -len(rules), fact))
    return tuple(fact for _, _, fact in sorted(ranked))


def next_question(base: Base, findings: Any, resolved: Resolved, asked: Collection[str] = ()) -> str | None:
    """Return the one fact to ask for, or None."""
    facts = worth_asking(base, findings, resolved, asked)
    return facts[0] if facts else None


def safety_question(base: Base, findings: Any, resolved: Resolved) -> str | None:
    """Return what an open safety question asks for; it may be asked again, for it must be answered."""
    held = set(resolved.hold)
    askable = {question.asks for question in base.questions.values()}
    facts = sorted(fact for fact, rules in resolved.asks.items() if held & set(rules) and fact in askable)
    return next((fact for fact in facts if not _is_held(findings, fact)), facts[0] if facts else None)


def _wanted(resolved: Resolved) -> dict[str, set[str]]:
    wanted: dict[str, set[str]] = {}
    for source in (resolved.asks, resolved.silenced):
        for fact, rules in source.items():
            wanted.setdefault(fact, set()).update(rules)
    return wanted


def _rank(base: Base, resolved: Resolved, fact: str, rules: Iterable[str]) -> int:
    if any(rule in resolved.hold for rule in rules):
        return 0
    if any(rule in base.rules and base.rules[rule].room == "screening" for rule in rules):
        return 1
    return 2 if fact in resolved.silenced else 3


def _is_held(findings: Any, fact: str) -> bool:
    return any(findings.standing(fact, value) != "assumed" for value in findings.values(fact))
