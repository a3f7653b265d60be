"""The engine against clingo: the same rules and the same case have one answer set, and it is what the engine finds."""

from __future__ import annotations

from random import Random

import pytest

from backstay.knowledge.base import ParsedRule
from backstay.knowledge.program import ProgramError
from backstay.reasoning.engine import conclude
from reasoning import asp, wild
from reasoning.worlds import base_of, facts_of

BATCHES, SETS, CASES = 16, 18, 8  # 2,304 cases over 288 rule sets


def stratified(chance: Random) -> tuple[ParsedRule, ...]:
    while True:
        rules = wild.rules(chance)
        try:
            base_of(rules, wild.measures(Random(0)), wild.WILD)
        except ProgramError:
            continue
        return rules


@pytest.mark.parametrize("batch", range(BATCHES))
def test_the_model_is_clingos(batch: int) -> None:
    chance = Random(f"least model {batch}")
    for _ in range(SETS):
        rules, measures = stratified(chance), wild.measures(chance)
        base = base_of(rules, measures, wild.WILD)
        for _ in range(CASES):
            said = wild.case(chance)
            findings = conclude(base, facts_of(*said))
            held = frozenset((holding.attribute, holding.value) for holding in findings.holdings())
            assert asp.answer_sets(rules, said, wild.WILD, measures) == [(held, findings.fired)], (rules, said)
