"""Tally: what a walk found, counted. Tallies of parts of a walk add up to the tally of the whole.

Nothing here grows with the number of situations but the stamps of distinct problems: of examples the plainest is kept,
of answers the most frequent.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

from backstay.knowledge.trees import Atom
from backstay.review.solving import Solved, Solver
from backstay.review.space import Situation

MOST_ANSWERS = 4_000
MOST_EXAMPLES = 6
COUNT = 40  # bits of a sum that hold how often; above them the marks of the situations add up
MARK = (1 << 64) - 1
Example = tuple[int, Situation]  # how many facts, and which


class Case:
    """How often something was seen, and the plainest situation in which it was."""

    __slots__ = ("count", "example")

    def __init__(self, count: int = 0, example: Example | None = None) -> None:
        self.count = count
        self.example = example

    def see(self, situation: Situation) -> None:
        """Count a situation."""
        self.count += 1
        if self.example is None or len(situation) < self.example[0]:
            self.example = len(situation), situation

    def add(self, other: Case) -> None:
        """Add what was seen elsewhere."""
        self.count += other.count
        if self.example is None or (other.example is not None and _plainer(other.example, self.example)):
            self.example = other.example


class Tally:
    """Everything a review counts over the situations of one base."""

    def __init__(self) -> None:
        self.situations = 0
        self.outcomes: Counter[tuple[str, str | None]] = Counter()
        self.firing: Counter[int] = Counter()  # of each rule, how often and in which: equal sums fire together
        self.chosen: Counter[str] = Counter()
        self.needed: Counter[str] = Counter()
        self.uncovered: Counter[str] = Counter()
        self.advised = 0
        self.empty = 0
        self.empty_with: Counter[Atom] = Counter()
        self.empty_examples: list[Example] = []
        self.answers: Counter[tuple[str, ...]] = Counter()
        self.alone: dict[str, Case] = {}
        self.clashes: dict[tuple[str, ...], Case] = {}
        self.unproved = 0
        self.problems: set[int] = set()
        self.solved = 0

    def see(self, number: int, situation: Situation, solved: Solved, solver: Solver) -> None:
        """Count one situation, the one of this number in the walk."""
        answer, resolved = solved.answer, solved.resolved
        self.situations += 1
        self.outcomes[answer.outcome, answer.within] += 1
        # Of whole numbers a hash is the same in every process.
        mark = ((hash((number, 1)) & MARK) << COUNT) + 1
        firing = self.firing
        for rule in solved.fired:
            firing[rule] += mark
        self._see_who_decides(situation, solved)
        if not solved.chosen:
            return
        self.advised += 1
        if not solved.proved:
            self.unproved += 1
        if not answer.given:
            self.empty += 1
            self.empty_with.update(situation)
            self.empty_examples = _plainest([*self.empty_examples, (len(situation), situation)])
            return
        names = tuple([one.exercise for one in answer.given])
        self.answers[names] += 1
        self.chosen.update(names)
        for quality, points in solved.covered.items():
            self.needed[quality] += 1
            if not points:
                self.uncovered[quality] += 1
        for name, dose in zip(names, solved.doses, strict=True):
            if dose.other_use is not None:
                _case(self.clashes, ("use", name, *sorted((dose.use, dose.other_use)))).see(situation)
            for clash in solver.clashes(name, resolved):
                _case(self.clashes, clash).see(situation)

    def _see_who_decides(self, situation: Situation, solved: Solved) -> None:
        """Count a rule without which the outcome, or every need, would be gone."""
        resolved, outcome = solved.resolved, solved.answer.outcome
        rules: Iterable[str] = ()
        if outcome == "stop" and resolved.stop is not None:
            rules = resolved.stop.rules
        elif outcome == "refer" and resolved.refer is not None:
            rules = resolved.refer.rules
        elif outcome == "question":
            rules = resolved.hold
        elif outcome == "advice" and solved.chosen:
            rules = {rule for rules in resolved.needed_by.values() for rule in rules}
        one = tuple(rules)
        if len(one) == 1:
            _case(self.alone, one[0]).see(situation)

    def fired(self, rule: int) -> int:
        """In how many situations a rule fired."""
        return self.firing[rule] & ((1 << COUNT) - 1)

    def add(self, other: Tally) -> None:
        """Add the tally of another part of the walk."""
        self.situations += other.situations
        self.advised += other.advised
        self.empty += other.empty
        self.unproved += other.unproved
        self.solved += other.solved
        for name in ("outcomes", "firing", "chosen", "needed", "uncovered", "empty_with", "answers"):
            getattr(self, name).update(getattr(other, name))
        self.empty_examples = _plainest([*self.empty_examples, *other.empty_examples])
        self.problems |= other.problems
        for mine, theirs in ((self.alone, other.alone), (self.clashes, other.clashes)):
            add_cases(mine, theirs)
        if len(self.answers) > 2 * MOST_ANSWERS:
            self.answers = Counter(dict(self.answers.most_common(MOST_ANSWERS)))


def add_cases(mine: dict[Any, Case], theirs: dict[Any, Case]) -> None:
    """Add cases by their keys."""
    for key, case in theirs.items():
        _case(mine, key).add(case)


def _case(cases: dict[Any, Case], key: Any) -> Case:
    case = cases.get(key)
    if case is None:
        case = cases[key] = Case()
    return case


def _plainest(examples: Iterable[Example]) -> list[Example]:
    return sorted(set(examples), key=_order)[:MOST_EXAMPLES]


def _order(example: Example) -> tuple[int, str]:
    return example[0], repr(example[1])


def _plainer(one: Example, other: Example) -> bool:
    return _order(one) < _order(other)
