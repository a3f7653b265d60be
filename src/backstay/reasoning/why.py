"""Why: a proof as what a reader is shown of it, level by level.

    why(base, findings, goal, levels=2) -> Reason | None

A Reason is a rule with its `because` and sources, the facts that it rests on, what it rests on the absence of, and the
reasons of those facts that rules made. Only what has words is shown: a rule without a `because` is left out, and its
facts move up. What was shown before is named `again` and not opened a second time; what lies deeper than `levels` is
`cut`. Sentences are not made here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from backstay.knowledge.trees import Atom, Value
from backstay.reasoning.proof import Absent, Firing, Held, Present

if TYPE_CHECKING:
    from backstay.knowledge.base import Base, Node
    from backstay.reasoning.findings import Findings


class Ground(NamedTuple):
    """A fact that a reason rests on, with the test that it passes."""

    test: Node
    attribute: str
    value: Value
    standing: str  # said | measured | concluded | assumed
    words: str  # the asker's own, of what was said
    rule: str  # that concludes or assumes it, else ""
    of: tuple[Ground, ...]  # the numbers that a measure was taken of


class Reason(NamedTuple):
    """Why a rule fires."""

    rule: str
    because: str
    sources: tuple[str, ...]
    level: int  # 1: the goal's own reason
    grounds: tuple[Ground, ...]
    absences: tuple[Absent, ...]
    deeper: tuple[Reason, ...]  # of the grounds that rules made, in their order
    again: bool  # shown before: grounds, absences and deeper are left out
    cut: bool  # deeper reasons are there and not shown


def why(base: Base, findings: Findings, goal: str | Atom, levels: int = 2) -> Reason | None:
    """The reason of a rule that fires or of a fact that rules made; None for what does not hold or was said."""
    proof = findings.proof(goal)
    if isinstance(proof, Held):
        proof = proof.by
    return _Teller(base, levels).reason(proof, 1) if proof is not None else None


class _Teller:
    def __init__(self, base: Base, levels: int) -> None:
        self._rules = base.rules
        self._levels = levels
        self._shown: set[str] = set()

    def reason(self, firing: Firing, level: int) -> Reason:
        info = self._rules[firing.rule]
        if firing.rule in self._shown:
            return Reason(firing.rule, info.because, info.sources, level, (), (), (), again=True, cut=False)
        self._shown.add(firing.rule)
        grounds: dict[Ground, Firing | None] = {}
        absences: dict[Absent, None] = {}
        self._gather(firing, grounds, absences)
        below = {made.rule: made for made in grounds.values() if made is not None}
        deep = level < self._levels
        deeper = tuple(self.reason(made, level + 1) for made in below.values()) if deep else ()
        return Reason(
            firing.rule, info.because, info.sources, level, tuple(grounds), tuple(absences), deeper,
            again=False, cut=bool(below) and not deep,
        )  # fmt: skip

    def _gather(self, firing: Firing, grounds: dict[Ground, Firing | None], absences: dict[Absent, None]) -> None:
        """What a rule rests on, with the grounds of rules without words in their place."""
        for premise in firing.premises:
            if isinstance(premise, Present):
                for held in premise.facts:
                    if held.by is not None and held.standing != "assumed" and not self._rules[held.by.rule].because:
                        self._gather(held.by, grounds, absences)
                    else:
                        grounds[_ground(premise.test, held)] = held.by
            else:
                absences[premise] = None


def _ground(test: Node, held: Held) -> Ground:
    operands = tuple(_ground(("known", operand.attribute), operand) for operand in held.of)
    made_by = held.by.rule if held.by is not None else ""
    return Ground(test, held.attribute, held.value, held.standing, held.words, made_by, operands)
