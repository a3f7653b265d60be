"""Each distinct choice is solved once, and every answer is the one that is given the long way."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from backstay.coaching import wants
from backstay.coaching.deciding import Decision, decide
from backstay.coaching.load import Load
from backstay.coaching.resolved import Resolved
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load
from backstay.reasoning.engine import conclude
from backstay.review.solving import NONE_LEFT, Answer, Solver, dose_key
from backstay.review.space import Situation, Space, space_of
from knowledge.small_bases import SMALL, compiled

SAMPLE = 700


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


@pytest.fixture(scope="module")
def space(base: Base) -> Space:
    return space_of([base])


def the_long_way(base: Base, situation: Situation) -> tuple[Resolved, Decision]:
    told = dict(situation)
    want = str(told.get("want", "recommend"))
    facts = [Fact(*atom) for atom in situation] + ([] if "want" in told else [Fact("want", want)])
    findings = conclude(base, facts)
    named = [str(value) for name, value in situation if name == "exercise"] if want in wants.NAMED else []
    resolved = wants.resolve_for(base, findings, want, named)
    return resolved, decide(base, findings, resolved, want, named)


def weight(load: Load | None) -> Any:
    return () if load is None else (load.kg,)


def same(answer: Answer, resolved: Resolved, decision: Decision) -> None:
    outcome = "refer" if answer.outcome == NONE_LEFT else answer.outcome
    assert (outcome, answer.within) == (decision.outcome, decision.within)
    assert (answer.outcome == NONE_LEFT) == (decision.outcome == "refer" and not decision.because)
    assert [one.exercise for one in answer.given] == [pick.exercise for pick in decision.picks]
    for one, pick in zip(answer.given, decision.picks, strict=True):
        assert one.dose == dose_key(pick.dose)
        assert (one.side, one.days, one.way) == (pick.first_side, pick.days, pick.way)
        assert one.load[1:2] == weight(pick.dose.weight)
    assert set(answer.notices) == set(resolved.notices)
    assert set(answer.tells) == set(resolved.tells)
    assert set(answer.asks) == set(resolved.asks)


def test_every_answer_is_the_one_that_is_given_the_long_way(base: Base, space: Space) -> None:
    chance = Random(11)
    solver = Solver(base)
    for number in sorted(chance.sample(range(space.size), SAMPLE)):
        (situation,) = space.situations(number, number + 1)
        try:
            same(solver.answer(situation).answer, *the_long_way(base, situation))
        except AssertionError as error:
            raise AssertionError(situation) from error


def test_every_fact_is_answered_for_itself_beside_the_same_complaint(base: Base, space: Space) -> None:
    """What is kept of one answer must not be taken for the next, which differs in this one fact."""
    solver = Solver(base)
    for one in space.dimensions:
        for value in one.values[:6]:
            situation = (("fault", "rounds"), value)
            same(solver.answer(situation).answer, *the_long_way(base, situation))


@pytest.mark.parametrize("minutes", [12, 15, 20, 45, 90])
def test_a_limit_alone_makes_another_choice(base: Base, minutes: int) -> None:
    """The same rules fire, only the figure they take over is another."""
    solver = Solver(base)
    for figure in (60, minutes, 30):
        situation = (("fault", "rounds"), ("minutes", figure))
        same(solver.answer(situation).answer, *the_long_way(base, situation))


def test_neighbours_that_share_what_is_kept_are_answered_each_for_itself(base: Base, space: Space) -> None:
    """In a stretch most parts are taken from situations before; none of them may leak."""
    solver = Solver(base)
    start = space.walks[0].size + space.walks[1].size // 2
    for situation in space.situations(start, start + 150):
        same(solver.answer(situation).answer, *the_long_way(base, situation))
    assert len(solver.problems) < 150


def test_an_equal_choice_is_solved_once(base: Base) -> None:
    solver = Solver(base)
    assert solver.solved == 0
    first = solver.answer((("fault", "rounds"),)).answer
    solved = len(solver.problems)
    # Who speaks, and how tall he is, changes nothing of the choice.
    assert solver.answer((("fault", "rounds"), ("height", 180))).answer == first
    assert solver.answer((("fault", "rounds"), ("about", "other"))).answer.given == first.given
    assert len(solver.problems) == solver.solved == solved == 1


def test_what_is_kept_stays_within_bounds(base: Base, space: Space, monkeypatch: pytest.MonkeyPatch) -> None:
    """Emptied again and again, the answers are the same."""
    situations = list(space.situations(60_000, 60_120))
    usual = [Solver(base).answer(situation).answer for situation in situations]
    monkeypatch.setattr("backstay.review.solving.MOST_KEPT", 3)
    monkeypatch.setattr("backstay.review.resolving.MOST_KEPT", 2)
    narrow = Solver(base)
    assert [narrow.answer(situation).answer for situation in situations] == usual


def test_another_base_is_walked_whole_and_every_answer_is_the_long_one() -> None:
    small = Base(compiled(SMALL).sections)
    space = space_of([small])
    solver = Solver(small)
    for situation in space.situations(0, space.size):
        same(solver.answer(situation).answer, *the_long_way(small, situation))
    assert len(solver.problems) < space.size / 20
