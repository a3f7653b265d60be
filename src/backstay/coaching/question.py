"""Question: the one fact worth asking for.

First what an open safety question asks for, then what safety rules ask. Then, of all that rules ask for and of all that
an effect waits for, the fact whose answers change the advice most: each answer that rules can tell from the others is
supposed, answers that come to the same count once, and their changes are weighed evenly.

Always the question that promises most is looked at closer, until the one that does is known: answers are weighed by the
rules that they turn, then by the effects that move, and where that does not tell what they change, menus are chosen
anew, MOST_MENUS of them in all; after that its guess stands, if one of its answers is known to change something.

Nothing is asked that was said or follows from what was said, nothing twice, nothing for which there is no question, and
nothing that would change nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from backstay.coaching.deciding import Decision
from backstay.coaching.effects import Ledger, Resolved
from backstay.coaching.weighing import Scales, Turned, Weight
from backstay.knowledge.base import Base, Question
from backstay.reasoning.answers import possible
from backstay.reasoning.supposing import Supposed, Suppositions
from backstay.typed import Any, NamedTuple

MOST_MENUS = 4
EVERY = 1_000_000
DOUBT = 10  # how much is found out before it tells of the guesses that are left
OWN_ROOM = "question"  # of rules that only say when a question may be put
HOLDS, SAFETY, OTHER = range(3)


class Worth(NamedTuple):
    """A question, how much its answers change on average, and what no question can be worth more than."""

    fact: str
    score: float
    at_most: float


def next_question(
    base: Base,
    findings: Any,
    ledger: Ledger,
    decision: Decision,
    want: str,
    named: Sequence[str] = (),
    asked: Collection[str] = (),
) -> str | None:
    """Return the one fact to ask for, or None."""
    questions = {question.asks: question for question in base.questions.values()}
    ranked = worth_asking(base, findings, ledger.resolved, asked)
    for rank, fact in ranked:
        if rank < OTHER:
            return fact
    facts = [fact for _, fact in ranked if answers_to(base, questions[fact])]
    if not facts:
        return None
    found = best(base, findings, Scales(base, ledger, decision, want, named), facts)
    return found.fact if found is not None else None


def asked_for_by_rules(base: Base, findings: Any, resolved: Resolved, asked: Collection[str] = ()) -> str | None:
    """Return what rules ask for where no advice is given that answers could change: safety first, then by name."""
    for rank, fact in worth_asking(base, findings, resolved, asked):
        rules = resolved.asks.get(fact, ())
        if rank < OTHER or any(base.rules[rule].room != OWN_ROOM for rule in rules if rule in base.rules):
            return fact
    return None


def safety_question(base: Base, findings: Any, resolved: Resolved) -> str | None:
    """Return what an open safety question asks for; it may be asked again, for it must be answered."""
    held = set(resolved.hold)
    askable = {question.asks for question in base.questions.values()}
    facts = sorted(fact for fact, rules in resolved.asks.items() if held & set(rules) and fact in askable)
    return next((fact for fact in facts if not _is_held(findings, fact)), facts[0] if facts else None)


def worth_asking(
    base: Base, findings: Any, resolved: Resolved, asked: Collection[str] = ()
) -> tuple[tuple[int, str], ...]:
    """Return the facts that may be asked for, each with its rank: an open sign, safety, the rest; then by name."""
    askable = {question.asks for question in base.questions.values()}
    wanted = resolved.asks.keys() | resolved.silenced.keys()
    return tuple(
        sorted(
            (_rank(base, resolved, resolved.asks.get(fact, ())), fact)
            for fact in wanted
            if fact in askable and fact not in asked and not _is_held(findings, fact)
        )
    )


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


def answers_to(base: Base, question: Question) -> tuple[tuple[str, Any], ...]:
    """Return the answers to a question: those that rules tell apart, and one value for all that no rule names.

    Where rules tell none apart, what is answered can only matter itself: then these are the values there are, or the
    figures that the question offers.
    """
    fact = question.asks
    told_apart = possible(base, fact)
    described = base.attributes.get(fact)
    if described is not None and described.values and described.kind in ("one", "many"):
        others = [value for value in described.values if (fact, value) not in told_apart]
        return told_apart + tuple((fact, value) for value in (others[:1] if told_apart else others))
    offered = tuple((fact, answer) for answer in question.answers)
    return told_apart if len(told_apart) > 1 or not offered else offered


def _rank(base: Base, resolved: Resolved, rules: Iterable[str]) -> int:
    if any(rule in resolved.hold for rule in rules):
        return HOLDS
    if any(rule in base.rules and base.rules[rule].room == "screening" for rule in rules):
        return SAFETY
    return OTHER


def _is_held(findings: Any, fact: str) -> bool:
    return any(findings.standing(fact, value) != "assumed" for value in findings.values(fact))
