"""Nothing depends on order or chance: rules, facts and hash seeds shuffled give the same answer to the byte."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge.base import ParsedRule
from backstay.knowledge.program import compile_program
from backstay.reasoning.engine import conclude
from backstay.reasoning.findings import Findings
from reasoning import wild
from reasoning.test_least_model import stratified
from reasoning.worlds import base_of, facts_of, rule, when

seeds = st.integers(0, 10**9)


def told(findings: Findings) -> str:
    """All that findings can be asked, as text."""
    goals: list[str | tuple[str, str | float]] = [*findings.fired]
    goals += [(holding.attribute, holding.value) for holding in findings.holdings()]
    return "\n".join(
        [
            repr(findings.holdings()),
            repr(findings.effects),
            repr(findings.conflicts),
            repr(findings.facts),
            *(repr(findings.proof(goal)) for goal in goals),
            *(repr(findings.assumed_by(name)) for name in findings.fired),
        ]
    )


@given(seeds, seeds)
@settings(max_examples=120, deadline=None)
def test_shuffled_rules_make_the_same_program(seed: int, shuffle: int) -> None:
    rules = list(stratified(Random(seed)))
    first = repr(compile_program(wild.WILD, (), rules))
    Random(shuffle).shuffle(rules)
    attributes = dict(sorted(wild.WILD.items(), key=lambda item: hash((shuffle, item[0]))))
    assert repr(compile_program(attributes, (), rules)) == first


@given(seeds, seeds)
@settings(max_examples=120, deadline=None)
def test_shuffled_facts_give_the_same_answer(seed: int, shuffle: int) -> None:
    chance = Random(seed)
    base = base_of(stratified(chance), wild.measures(chance), wild.WILD)
    said = list(facts_of(*wild.case(chance)))
    first = told(conclude(base, said))
    Random(shuffle).shuffle(said)
    assert told(conclude(base, [*said, *said[:1]])) == first


@given(seeds)
@settings(max_examples=120, deadline=None)
def test_an_unrelated_rule_changes_nothing(seed: int) -> None:
    chance = Random(seed)
    rules, said = stratified(chance), facts_of(*wild.case(chance))
    beside = rule("r-beside", when(pond="deep", soil="wet"), unless=when(pond="wide"), conclude=[("fish", "many")])
    before, after = (
        conclude(base_of(rules, (), wild.WILD), said),
        conclude(base_of([*rules, beside], (), wild.WILD), said),
    )
    assert told(after) == told(before)


def positive(one: ParsedRule) -> bool:
    text = repr((one.when, one.unless))
    return not ("'not'" in text or "'count'" in text or one.unless or one.assumes)


@given(seeds)
@settings(max_examples=150, deadline=None)
def test_without_absence_more_facts_never_take_a_finding_away(seed: int) -> None:
    chance = Random(seed)
    rules = [
        one._replace(concludes=tuple(atom for atom in one.concludes if atom[0][0] == "m"))
        for one in wild.rules(chance)
        if positive(one)
    ]
    base = base_of(rules, (), wild.WILD)
    said = [fact for fact in facts_of(*wild.case(chance)) if fact.attribute[0] == "m"]
    more = [*said, *[fact for fact in facts_of(*wild.case(chance)) if fact.attribute[0] == "m"]]
    assert set(conclude(base, said).fired) <= set(conclude(base, more).fired)
    held = {holding[:2] for holding in conclude(base, said).holdings()}
    assert held <= {holding[:2] for holding in conclude(base, more).holdings()}


@given(seeds)
@settings(max_examples=100, deadline=None)
def test_saying_what_was_concluded_anyway_changes_no_rule(seed: int) -> None:
    chance = Random(seed)
    base = base_of(stratified(chance), (), wild.WILD)
    said = facts_of(*wild.case(chance))
    findings = conclude(base, said)
    # Of a set, what is said keeps an assumption of the same set away as the conclusion did.
    again = [*said, *facts_of(*[holding[:2] for holding in findings.holdings("concluded")])]
    assert conclude(base, again).fired == findings.fired


def test_two_cases_share_nothing() -> None:
    base = base_of([rule("a", when(soil="wet"), conclude=[("pests", "slug")])])
    wet, dry = conclude(base, facts_of(("soil", "wet"))), conclude(base, facts_of(("soil", "dry")))
    assert (wet.fired, dry.fired) == (("a",), ())
    assert told(conclude(base, facts_of(("soil", "wet")))) == told(wet)


SCRIPT = """
import sys
from random import Random
sys.path.insert(0, sys.argv[1])
from backstay.reasoning.engine import conclude
from reasoning import wild
from reasoning.test_least_model import stratified
from reasoning.test_order import told
from reasoning.worlds import base_of, facts_of
chance = Random("hash seeds")
for _ in range(25):
    base = base_of(stratified(chance), wild.measures(chance), wild.WILD)
    print(repr(base.program))
    for _ in range(4):
        print(told(conclude(base, facts_of(*wild.case(chance)))))
"""


def test_hash_seeds_give_the_same_bytes() -> None:
    answers = {
        subprocess.run(
            [sys.executable, "-c", SCRIPT, str(Path(__file__).parents[1])],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2718")
    }
    assert len(answers) == 1
    assert len(answers.pop()) > 100_000
