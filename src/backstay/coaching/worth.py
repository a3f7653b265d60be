"""Worth: which question's answers change the advice most.

    best(base, findings, scales, facts) -> Worth, or None where no answer changes anything

Each answer that rules can tell from the others is supposed; answers that come to the same count once, and their changes
are weighed evenly.

Always the question that promises most is looked at closer, until the one that does is known: answers are weighed by the
rules that they turn, then by the effects that move, and where that does not tell what they change, menus are chosen
anew, MOST_MENUS of them in all; after that its guess stands, if one of its answers is known to change something.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from backstay.coaching.question import answers_to
from backstay.coaching.weighing import NOTHING, Scales, Turned, Weight
from backstay.knowledge.base import Base, Question
from backstay.knowledge.trees import Atom
from backstay.reasoning.supposing import Supposed, Suppositions

MOST_MENUS = 4
EVERY = 1_000_000
FEW = 5  # answers of a question that are weighed roughly
ROUGHLY = 0.55  # what rough guesses come to, over cases of many kinds: several rules often move the same
DOUBT = 100  # how much is found out before it tells of the guesses that are left


class Worth:
    """A question, how much its answers change on average, and what no question can be worth more than."""

    __slots__ = ("at_most", "fact", "score")

    def __init__(self, fact: str, score: float, at_most: float) -> None:
        self.fact = fact
        self.score = score
        self.at_most = at_most


def best(base: Base, findings: Any, scales: Scales, facts: Iterable[str], most_menus: int = MOST_MENUS) -> Worth | None:
    """Return the question whose answers change most, None where none changes anything."""
    weighed = _all_weighed(base, findings, scales, facts)
    left = most_menus
    while weighed:
        first = min(weighed, key=_promise)
        promise = first.promise
        if not promise:
            return None
        if first.rough:
            first.weigh()
        elif not first.known and left > 0:
            left -= first.find_out(1)
        elif first.changes_something():
            return Worth(first.fact, promise, max(one.at_most for one in weighed))
    return None


def exact_scores(base: Base, findings: Any, scales: Scales, facts: Iterable[str]) -> dict[str, float]:
    """Return for every question what it is worth, choosing again for each answer; what `best` is measured by."""
    found = {}
    for one in _all_weighed(base, findings, scales, facts):
        one.weigh()
        one.find_out(EVERY)
        found[one.fact] = one.promise
    return found


def _all_weighed(base: Base, findings: Any, scales: Scales, facts: Iterable[str]) -> list[_Weighed]:
    questions = {question.asks: question for question in base.questions.values()}
    suppositions, trust = Suppositions(base, findings), _Trust()
    return [_Weighed(base, suppositions, scales, trust, questions[fact]) for fact in facts]


def _promise(one: _Weighed) -> tuple[float, str]:
    return -one.promise, one.fact


def _spread(answers: Sequence[Atom]) -> tuple[Atom, ...]:
    """A few of many answers, from the first to the last."""
    if len(answers) <= FEW:
        return tuple(answers)
    return tuple(answers[place * (len(answers) - 1) // (FEW - 1)] for place in range(FEW))


class _Trust:
    """How far guesses are borne out: wholly at first, then as far as those were that were looked into."""

    __slots__ = ("_found", "_guessed")

    def __init__(self) -> None:
        self._guessed = self._found = DOUBT

    @property
    def share(self) -> float:
        """What of a guess is to be expected."""
        return self._found / self._guessed

    def learn(self, guessed: int, found: int) -> None:
        """Take in what was guessed and what it came to."""
        self._guessed += guessed
        self._found += max(0, found)


class _Weighed:
    """The answers of one question, those that come to the same taken together, each with its weight."""

    __slots__ = (
        "_answers",
        "_doubtful",
        "_none",
        "_possible",
        "_scales",
        "_supposed",
        "_suppositions",
        "_sure",
        "_trust",
        "_weights",
        "fact",
        "rough",
    )

    def __init__(
        self, base: Base, suppositions: Suppositions, scales: Scales, trust: _Trust, question: Question
    ) -> None:
        self.fact = question.asks
        self.rough = True  # weighed by the rules alone, so far
        self._scales = scales
        self._trust = trust
        self._suppositions = suppositions
        self._possible = answers_to(base, question)
        self._supposed: dict[Atom, Supposed] = {}
        self._answers: dict[Any, tuple[Supposed, Turned]] = {}
        self._weights: dict[Any, Weight] = {}
        # Where several values can be held, none of them is an answer too, and changes nothing.
        described = base.attributes.get(question.asks)
        self._none = {None: NOTHING} if described is not None and described.kind == "many" else {}
        self._weights.update(self._none)
        self._weigh_roughly(_spread(self._possible))
        if not self.promise:
            self._weigh_roughly(self._possible)

    def _weigh_roughly(self, answers: Iterable[Atom]) -> None:
        for one in self._suppose(answers):
            rough = self._scales.rough(one)
            self._weights[(one.silenced, one.fired) if rough.at_most else None] = rough
        self._add_up()

    def _suppose(self, answers: Iterable[Atom]) -> list[Supposed]:
        """What would hold with each of these answers; each is supposed once."""
        left = [answer for answer in answers if answer not in self._supposed]
        self._supposed.update(zip(left, self._suppositions.of(left), strict=True))
        return [self._supposed[answer] for answer in answers]

    def weigh(self) -> None:
        """Weigh the answers by their effects."""
        self.rough = False
        self._weights = dict(self._none)
        keys = set()
        for one in self._suppose(self._possible):
            key = self._scales.key(one)
            turned = self._scales.turned(one) if key not in keys else None
            keys.add(key)
            if turned is None:
                continue
            same = self._scales.same(one, turned)
            if same is None:
                self._weights[None] = NOTHING
            elif same not in self._answers:
                self._answers[same] = one, turned
                self._weights[same] = self._scales.weigh(one, turned)
        self._add_up()

    @property
    def promise(self) -> float:
        """The change that the answers bring on average, as far as guesses are trusted."""
        share = ROUGHLY if self.rough else self._trust.share
        return (self._sure + self._doubtful * share) / max(1, len(self._weights))

    def _add_up(self) -> None:
        """What the answers are sure to change together, and what they are guessed to change besides."""
        self._sure = sum([weight.sure for weight in self._weights.values()])
        self._doubtful = sum([weight.guess - weight.sure for weight in self._weights.values()])

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
            weight = self._weights[same]
            self._trust.learn(weight.guess - weight.sure, worth - weight.sure)
            self._weights[same] = Weight(worth, worth, worth)
        self._add_up()
        return len(guessed)

    def changes_something(self) -> bool:
        """Whether an answer is known to change something; chooses again until one is."""
        while not any(weight.exact and weight.guess for weight in self._weights.values()):
            if not self.find_out(1):
                return False
        return True
