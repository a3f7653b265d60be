"""Weighing: what answers turn, against resolving everything anew; and their worth, against choosing anew."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.comparing import A_NOTICE, A_TELL, ONE_PICK, OUTCOME, SIDE, change, told
from backstay.coaching.deciding import Decision, decide
from backstay.coaching.effects import Resolved
from backstay.coaching.question import answers_to, worth_asking
from backstay.coaching.turning import LEAST, PRESENT, Tallies
from backstay.coaching.wants import all_brought_along, ledger_for
from backstay.coaching.weighing import Scales
from backstay.coaching.worth import best, exact_scores
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude
from backstay.reasoning.supposing import Supposed, Suppositions

from . import askable
from .test_built_in import SAID, built_in

seeds = st.integers(0, 10**9)


class Standing:
    """A case as it stands, ready to weigh answers."""

    def __init__(self, base: Base, facts: list[Fact], named: tuple[str, ...] = ()) -> None:
        self.base, self.facts, self.named = base, facts, named
        self.want = next(str(fact.value) for fact in facts if fact.attribute == "want")
        self.findings = conclude(base, facts)
        self.ledger = ledger_for(base, self.findings, self.want, named)
        self.decision = decide(base, self.findings, self.ledger.resolved, self.want, named)
        self.askable = [fact for _, fact in worth_asking(base, self.findings, self.ledger.resolved)]

    @property
    def scales(self) -> Scales:
        return Scales(self.base, self.ledger, self.decision, self.want, self.named)

    def answers(self) -> list[Supposed]:
        suppositions = Suppositions(self.base, self.findings)
        asked = {question.asks: question for question in self.base.questions.values()}
        return [one for fact in self.askable for one in suppositions.of(answers_to(self.base, asked[fact]))]

    def with_answer(self, one: Supposed) -> tuple[Resolved, Decision]:
        """All of it done anew with one answer more."""
        findings = conclude(self.base, [*self.facts, Fact(one.attribute, one.value)])
        resolved = ledger_for(self.base, findings, self.want, self.named).resolved
        return resolved, decide(self.base, findings, resolved, self.want, self.named)


def in_random_world(seed: int) -> Standing:
    chance = Random(seed)
    return Standing(askable.world(chance), askable.case(chance))


def in_the_built_in(seed: int) -> Standing:
    chance = Random(seed)
    names = chance.sample(sorted(SAID), chance.randint(0, 5))
    facts = [Fact("want", chance.choice(("recommend", "swap", "week", "block")))]
    return Standing(built_in(), facts + [Fact(name, chance.choice(list(SAID[name]))) for name in sorted(names)])


def seen(resolved: Resolved) -> dict[str, Any]:
    """All that a resolved state holds, but for what gave way, what waits and what is asked."""
    held = {name: getattr(resolved, name) for name in Resolved.__slots__ if name not in ("silenced", "asks", "sides")}
    return held | {"sides": {name: side.side for name, side in resolved.sides.items()}}


def without_rules(resolved: Resolved) -> dict[str, Any]:
    """What a resolved state comes to, whoever says it."""
    return {
        "need": resolved.needs,
        "favour": {name: points for name, points in resolved.preference.items() if points},
        "forbid": dict.fromkeys(resolved.forbidden, True),
        "dose": {name: frozenset(one[1:] for one in all_) for name, all_ in resolved.changes.items()},
        "dose-use": {name: frozenset(uses) for name, uses in resolved.uses.items()},
        "days": {name: frozenset(one[:-1] for one in said) for name, said in resolved.days.items()},
        "spacing": {name: frozenset(one[:-1] for one in said) for name, said in resolved.spacing.items()},
        "times-a-week": {name: said.value for name, said in resolved.times_a_week.items()},
        "limit": {name: said.value for name, said in resolved.limits.items()},
        "side-first": {
            name: frozenset([side.side]) if side.side else frozenset(one for one, _ in side.against)
            for name, side in resolved.sides.items()
        },
        "way": resolved.ways,
        **{
            kind: dict.fromkeys(getattr(resolved, kind + "s"), True)
            for kind in ("notice", "tell", "stop", "refer", "hold")
        },
    }


def check_turned(standing: Standing) -> None:
    ledger, tallies = standing.ledger, Tallies(standing.base, standing.ledger)
    before = without_rules(ledger.resolved)
    for one in standing.answers():
        more, needs_of = all_brought_along(standing.base, one.findings, standing.want, standing.named)
        assert needs_of == ledger.needs_of
        changes = ledger.changes(one.findings, one.silenced, one.fired, one.changed, more)
        anew, _ = standing.with_answer(one)
        assert seen(ledger.changed(changes)) == seen(anew)
        after = without_rules(anew)
        moved = {(kind, subject) for kind in after for subject in before[kind].keys() | after[kind].keys()
                 if before[kind].get(subject) != after[kind].get(subject)}  # fmt: skip
        found = tallies.moved(changes)
        for (kind, subject), how in found.said.items():
            absent: Any = False if kind in PRESENT else None if kind in LEAST else 0
            assert how == (before[kind].get(subject, absent), after[kind].get(subject, absent))
        by_exercise: dict[tuple[str, str], set[tuple[Any, bool]]] = {}
        for (kind, what), (come, gone) in found.sets.items():
            for name in standing.base.exercises:
                for mask, comes in ((come, True), (gone, False)):
                    if mask & tallies.mask((name,)):
                        by_exercise.setdefault((kind, name), set()).add((what, comes))
        for (kind, subject), flips in by_exercise.items():
            if kind not in ("forbid", "times-a-week"):
                was, now = before[kind].get(subject, frozenset()), after[kind].get(subject, frozenset())
                assert flips == {*((what, True) for what in now - was), *((what, False) for what in was - now)}
        seen_moving = found.said.keys() | by_exercise.keys()
        assert moved <= seen_moving
        assert all(kind == "times-a-week" for kind, _ in seen_moving - moved)


def check_weights(standing: Standing) -> None:
    scales = standing.scales
    for one in standing.answers():
        turned = scales.turned(one)
        assert turned is not None
        resolved, after = standing.with_answer(one)
        before = standing.ledger.resolved
        stood = told(before.notices, before.tells, standing.decision.cards)
        stand = told(resolved.notices, resolved.tells, after.cards)
        said = sum({**stood, **stand}[name] for name in stood.keys() ^ stand.keys())
        worth = said + change(standing.decision, after)
        weight = scales.weigh(one, turned)
        assert worth <= weight.at_most
        assert worth <= scales.rough(one).at_most
        if weight.exact:
            assert weight.guess == worth
        if scales.same(one, turned) is None:
            assert worth == 0
        assert scales.exactly(one, turned) == worth


def check_best(standing: Standing, least: float) -> None:
    scores = exact_scores(standing.base, standing.findings, standing.scales, standing.askable)
    most = max(scores.values(), default=0.0)
    found = best(standing.base, standing.findings, standing.scales, standing.askable)
    if found is None:
        assert most == 0
        return
    assert scores[found.fact] > 0
    assert most <= max(found.at_most, scores[found.fact])
    assert scores[found.fact] >= least * most


@given(seeds)
@settings(max_examples=120, deadline=None)
def test_what_moves_is_what_resolving_anew_moves(seed: int) -> None:
    standing = in_random_world(seed)
    if standing.decision.outcome == "advice":
        check_turned(standing)


@given(seeds)
@settings(max_examples=120, deadline=None)
def test_a_known_weight_is_that_of_choosing_anew_and_none_is_above_its_bound(seed: int) -> None:
    standing = in_random_world(seed)
    if standing.decision.outcome == "advice":
        check_weights(standing)


@given(seeds)
@settings(max_examples=120, deadline=None)
def test_choosing_anew_for_every_answer_finds_no_question_above_the_bound(seed: int) -> None:
    standing = in_random_world(seed)
    if standing.decision.outcome == "advice":
        check_best(standing, 0)


@pytest.mark.parametrize("seed", range(8))
def test_the_same_on_the_built_in_knowledge(seed: int) -> None:
    standing = in_the_built_in(seed)
    if standing.decision.outcome == "advice":
        check_turned(standing)
        check_weights(standing)


@pytest.mark.parametrize("seed", range(30))
def test_the_question_found_is_worth_at_least_half_of_the_best(seed: int) -> None:
    standing = in_the_built_in(seed)
    if standing.decision.outcome == "advice":
        check_best(standing, 0.5)


def test_what_changes_are_worth() -> None:
    standing = in_random_world(3)
    before = standing.decision
    assert before.picks
    assert change(before, before) == 0
    first, *rest = before.picks
    assert change(before, before._replace(picks=tuple(rest))) == ONE_PICK
    assert change(before, before._replace(outcome="stop", within="now")) == OUTCOME
    other = first._replace(first_side="left" if first.first_side != "left" else "right")
    assert change(before, before._replace(picks=(other, *rest))) == SIDE
    fewer = first._replace(dose=first.dose._replace(sets=9))
    assert change(before, before._replace(picks=(fewer, *rest))) == 1
    assert told(["n"], ["t"], ["c"]) == {"n": A_NOTICE, "t": A_TELL, "c": A_NOTICE}
    assert told(["c"], ["c"], ["c"]) == {"c": A_NOTICE}
