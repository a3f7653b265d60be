"""Changes: what could be said, or taken back, to turn a test out otherwise.

    Options(base, findings, fixed)     what could be tried, the smallest and plainest first
    tried(base, findings, options, holds) -> the first of them with which the case, run again, `holds`

Only what people can say is changed, and nothing of an attribute that is `fixed` (nobody is told to have no pain). An
attribute that is the knowledge's own and that rules conclude is reached through its rules. Does not search all
combinations: a handful for each test, and a limit in all, so that asking stays quick.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable, Collection, Iterable, Iterator
from itertools import islice, product
from typing import TYPE_CHECKING, NamedTuple

from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import COMPARE, Atom, Value
from backstay.reasoning.answers import answers
from backstay.reasoning.engine import conclude
from backstay.reasoning.lacking import Failed, lacking
from backstay.reasoning.proof import Held

if TYPE_CHECKING:
    from backstay.knowledge.base import Base, Node
    from backstay.reasoning.findings import Findings

DEPTH = 3  # rules upon rules that are gone through
EACH = 4  # ways tried of each test
RUNS = 40  # of the case, for one change


class Change(NamedTuple):
    """What to say that was not said, and what to take back."""

    say: tuple[Atom, ...]
    take_back: tuple[Atom, ...]

    @property
    def size(self) -> int:
        """How many facts it touches."""
        return len(self.say) + len(self.take_back)


def changed(base: Base, findings: Findings, change: Change) -> Findings:
    """The case run again with the change."""
    one_valued = {attribute for attribute, _ in change.say if findings.holds_one(attribute)}
    kept = [
        fact
        for fact in findings.facts
        if fact.attribute not in one_valued and (fact.attribute, fact.value) not in change.take_back
    ]
    return conclude(base, [*kept, *[Fact(attribute, value) for attribute, value in change.say]])


def tried(
    base: Base, findings: Findings, options: Iterable[Change], holds: Callable[[Findings], bool]
) -> Change | None:
    """The first change after which the case holds what it should."""
    for change in islice(options, RUNS):
        if holds(changed(base, findings, change)):
            return change
    return None


class Options:
    """What could be changed in one case."""

    def __init__(self, base: Base, findings: Findings, fixed: Collection[str] = ()) -> None:
        self._base = base
        self.fixed = frozenset(fixed)
        self._attributes = base.attributes
        self._findings = findings

    def mending(self, failed: Iterable[Failed], depth: int = DEPTH) -> Iterator[Change]:
        """Changes that could turn all of these tests out otherwise, those that touch the fewest facts first."""
        ways = [list(islice(self._mend(one, depth), EACH)) for one in failed]
        joined = (_joined(parts) for parts in islice(product(*ways), RUNS * EACH))
        yield from self._allowed(change for change in joined if change is not None)

    def against(self, rule: str, depth: int = DEPTH) -> Iterator[Change]:
        """Changes that could make some part of a firing rule's condition fail."""
        when, unless, _, _ = marshal.loads(self._findings.tree(rule))
        found: list[Change] = []
        for part in (*(when[1] if when[0] == "all" else (when,)), ("not", unless)):
            failed = lacking(part, self._findings, wanted=False, fixed=self.fixed)
            if failed:
                found += islice(self.mending(failed, depth), EACH)
        yield from self._allowed(found)

    def saying(self, atom: Atom) -> Iterator[Change]:
        """Saying a fact, if that is something people say."""
        if self._sayable(atom[0]):
            yield Change((atom,), ())

    def without(self, attribute: str) -> Iterator[Change]:
        """Taking back all that was said of an attribute, or what its leading value rests on."""
        said = tuple((attribute, fact.value) for fact in self._findings.facts if fact.attribute == attribute)
        if said:
            yield from self._allowed([Change((), said)])
            return
        for value in self._findings.values(attribute):
            proof = self._findings.proof((attribute, value))
            if isinstance(proof, Held) and proof.by is not None:
                yield from self.against(proof.by.rule)

    def _allowed(self, changes: Iterable[Change]) -> list[Change]:
        """Those that touch nothing fixed, the smallest first; of equally small ones the one thought of first."""
        allowed = (
            change for change in changes if not any(one in self.fixed for one, _ in (*change.say, *change.take_back))
        )
        return sorted(dict.fromkeys(allowed), key=_order)

    # One test

    def _mend(self, failed: Failed, depth: int) -> Iterator[Change]:
        return self._passing(failed.test, depth) if failed.wanted else self._failing(failed.test, failed.facts, depth)

    def _passing(self, test: Node, depth: int) -> Iterator[Change]:
        """Ways to make a test pass."""
        attribute = test[1]
        if self._sayable(attribute):
            if test[0] == "count":
                yield from self._counting(test)
            for value in self._values(test, True):
                yield Change(((attribute, value),), ())
        if depth and test[0] != "count":
            yield from self._making(test, depth)

    def _failing(self, test: Node, facts: Iterable[Held], depth: int) -> Iterator[Change]:
        """Ways to make a test fail that these facts pass."""
        attribute = test[1]
        said = tuple((held.attribute, held.value) for held in facts if held.standing == "said")
        others = [Change(((attribute, value),), ()) for value in self._values(test, False)]
        one = self._findings.holds_one(attribute) and self._sayable(attribute) and test[0] != "known"
        if said and one and (test[0] == "number" or len(others) == 1):
            yield from others  # "three weeks more", "no pain": plainer than leaving it unsaid
        if said:
            yield Change((), said)
        if one:
            yield from others
        for held in facts:
            if held.by is not None and depth:
                yield from self.against(held.by.rule, depth - 1)
            for operand in held.of:
                yield Change((), ((operand.attribute, operand.value),))

    def _making(self, test: Node, depth: int) -> Iterator[Change]:
        """Ways to have a rule conclude what passes a test."""
        found: list[Change] = []
        for atom in self._findings.derivable(test):
            for rule in self._findings.makers(atom):
                when, unless, _, _ = marshal.loads(self._findings.tree(rule))
                failed = lacking(("all", (when, ("not", unless))), self._findings, fixed=self.fixed)
                if failed:
                    found += islice(self.mending(failed, depth - 1), 1)
        yield from sorted(dict.fromkeys(found), key=_order)

    def _counting(self, test: Node) -> Iterator[Change]:
        attribute, op, figure = test[1], test[2], test[3]
        held = self._findings.values(attribute)
        wanted = int(figure) + {"above": 1, "below": -1}.get(op, 0)
        if len(held) < wanted:
            more = [value for value in self._attributes[attribute].values if value not in held]
            if len(more) >= wanted - len(held):
                yield Change(tuple((attribute, value) for value in more[: wanted - len(held)]), ())
        elif wanted >= 1:
            said = [(attribute, value) for value in held if self._findings.standing(attribute, value) == "said"]
            yield Change((), tuple(said[wanted - len(held) :]))

    def _values(self, test: Node, passes: bool) -> list[Value]:
        """Values that pass a test, or fail it; figures next to the bound."""
        kind, attribute = test[0], test[1]
        if kind == "number":
            near = (test[3], test[3] + 1, test[3] - 1)
            return [_plain(figure) for figure in near if figure >= 0 and COMPARE[test[2]](figure, test[3]) == passes]
        if kind == "is" and passes:
            return [test[2]]
        listed: tuple[Value, ...] = self._attributes[attribute].values if attribute in self._attributes else ()
        return [value for value in listed or answers(self._base, attribute) if kind != "is" or value != test[2]]

    def _sayable(self, attribute: str) -> bool:
        described = self._attributes.get(attribute)
        if attribute in self.fixed:
            return False
        if described is None:
            return not self._findings.derivable(("known", attribute))
        own = described.shown == "own" and bool(self._findings.derivable(("known", attribute)))
        return not own and not described.measure


def _plain(figure: float) -> Value:
    return int(figure) if float(figure).is_integer() else round(figure, 3)


def _joined(parts: Iterable[Change]) -> Change | None:
    """Several changes as one; None if they say two things of one kind that exclude each other."""
    say: dict[Atom, None] = {}
    take_back: dict[Atom, None] = {}
    for part in parts:
        say.update(dict.fromkeys(part.say))
        take_back.update(dict.fromkeys(part.take_back))
    if set(say) & set(take_back):
        return None
    return Change(tuple(say), tuple(take_back))


def _order(change: Change) -> tuple[int, int]:
    return change.size, len(change.take_back)
