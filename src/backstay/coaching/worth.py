"""Worth: which question's answers change the advice most.

    best(base, findings, scales, facts) -> Worth, or None where no answer changes anything

Each answer that rules can tell from the others is supposed; answers that come to the same count once, and their changes
are weighed evenly.

Always the question that promises most is looked at closer, until the one that does is known: answers are weighed by the
rules that they turn, then by the effects that move, and where that does not tell what they change, menus are chosen
anew, MOST_MENUS of them in all; after that its guess stands, if one of its answers is known to change something.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from backstay.coaching.question import answers_to
from backstay.coaching.weighing import Scales, Turned, Weight
from backstay.knowledge.base import Base, Question
from backstay.reasoning.supposing import Supposed, Suppositions

MOST_MENUS = 4
EVERY = 1_000_000
DOUBT = 10  # how much is found out before it tells of the guesses that are left


class Worth(NamedTuple):
    """A question, how much its answers change on average, and what no question can be worth more than."""

    fact: str
    score: float
    at_most: float


def best(base: Base, findings: Any, scales: Scales, facts: Iterable[str], most_menus: int = MOST_MENUS) -> Worth | None:
    """Return the question whose answers change most, None where none changes anything."""
    weighed = _all_weighed(base, findings, scales, facts)
    left = most_menus
    while weighed:
        weighed.sort(key=_promise)
        first = weighed[0]
        if not first.guess:
            return None
        if first.rough:
            first.weigh()
        elif not first.known and left > 0:
            left -= first.find_out(1)
        elif first.changes_something():
            return Worth(first.fact, first.guess, max(one.at_most for one in weighed))
    return None


def exact_scores(base: Base, findings: Any, scales: Scales, facts: Iterable[str]) -> dict[str, float]:
    """Return for every question what it is worth, choosing again for each answer; what `best` is measured by."""
    found = {}
    for one in _all_weighed(base, findings, scales, facts):
        one.weigh()
        one.find_out(EVERY)
        found[one.fact] = one.guess
    return found


def _all_weighed(base: Base, findings: Any, scales: Scales, facts: Iterable[str]) -> list[_Weighed]:
    questions = {question.asks: question for question in base.questions.values()}
    suppositions = Suppositions(base, findings)
    return [_Weighed(base, suppositions, scales, questions[fact]) for fact in facts]


def _promise(one: _Weighed) -> tuple[float, str]:
    return -one.guess, one.fact


class _Weighed:
    """The answers of one question, those that come to the same taken together, each with its weight."""

    __slots__ = ("_answers", "_found", "_guessed", "_none", "_scales", "_supposed", "_weights", "fact", "rough")

    def __init__(self, base: Base, suppositions: Suppositions, scales: Scales, question: Question) -> None:
        self.fact = question.asks
        self._guessed, self._found = 0, 0  # of the answers that were found out: what was guessed, and what was found
        self.rough = True  # weighed by the rules alone, so far
        self._scales = scales
        self._supposed = suppositions.of(answers_to(base, question))
        self._answers: dict[Any, tuple[Supposed, Turned]] = {}
        self._weights: dict[Any, Weight] = {}
        # Where several values can be held, none of them is an answer too, and changes nothing.
        described = base.attributes.get(question.asks)
        self._none = {None: Weight(0, 0)} if described is not None and described.kind == "many" else {}
        self._weights.update(self._none)
        for one in self._supposed:
            rough = scales.rough(one)
            self._weights[(one.silenced, one.fired) if rough.at_most else None] = rough

    def weigh(self) -> None:
        """Weigh the answers by their effects."""
        self.rough = False
        self._weights = dict(self._none)
        keys = set()
        for one in self._supposed:
            key = self._scales.key(one)
            turned = self._scales.turned(one) if key not in keys else None
            keys.add(key)
            if turned is None:
                continue
            same = self._scales.same(one, turned)
            if same is None:
                self._weights[None] = Weight(0, 0)
            elif same not in self._answers:
                self._answers[same] = one, turned
                self._weights[same] = self._scales.weigh(one, turned)

    @property
    def guess(self) -> float:
        """The change that the answers bring on average; guesses bear out as much as those that were found out did."""
        known = sum(weight.guess for weight in self._weights.values() if weight.exact)
        guessed: float = sum(weight.guess for weight in self._weights.values() if not weight.exact)
        if guessed and not self.rough:
            guessed = guessed * (self._found + DOUBT) / (self._guessed + DOUBT)
        return (known + guessed) / max(1, len(self._weights))

    @property
    def at_most(self) -> float:
        """What the change can be at most, on average."""
        if self.rough:
            return max((weight.at_most for weight in self._weights.values()), default=0)
        return sum(weight.at_most for weight in self._weights.values()) / max(1, len(self._weights))

    @property
    def known(self) -> bool:
        """Whether the change of every answer is known."""
        return all(weight.exact for weight in self._weights.values())

    def find_out(self, most: int) -> int:
        """Choose again for answers whose change is guessed, not more than so many; returns how many."""
        guessed = [same for same in self._answers if not self._weights[same].exact][:most]
        for same in guessed:
            worth = self._scales.exactly(*self._answers[same])
            self._guessed += self._weights[same].guess
            self._found += worth
            self._weights[same] = Weight(worth, worth)
        return len(guessed)

    def changes_something(self) -> bool:
        """Whether an answer is known to change something; chooses again until one is."""
        while not any(weight.exact and weight.guess for weight in self._weights.values()):
            if not self.find_out(1):
                return False
        return True
