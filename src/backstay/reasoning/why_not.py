"""Why not: the rules that came nearest to a finding, what each lacked, and what would change it.

    why_not(base, findings, attribute, value, fixed) -> WhyNot | None     why a fact does not hold
    why_none(base, findings, rules, fixed) -> WhyNot | None               why none of these rules fires
    lifting(base, findings, rule, fixed) -> Change | None                 what would keep a firing rule from it

Nearest means: the fewest tests that would have to turn out otherwise, then the rule's id; at most three are given. A
change is the smallest found of what could be said or taken back, and none is given that was not run: with it the goal
holds. Nothing is changed of the attributes that are `fixed`. Where no such change was found, there is none to show.
Sentences are not made here.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable, Collection, Iterable
from typing import TYPE_CHECKING, NamedTuple

from backstay.reasoning.changes import Change, Options, tried
from backstay.reasoning.lacking import Failed, lacking
from backstay.reasoning.proof import Held

if TYPE_CHECKING:
    from backstay.knowledge.base import Base
    from backstay.knowledge.trees import Value
    from backstay.reasoning.findings import Findings

MOST = 3


class Near(NamedTuple):
    """A rule that would have given the goal."""

    rule: str
    because: str
    sources: tuple[str, ...]
    failed: tuple[Failed, ...]
    change: Change | None  # run: with it the goal holds


class WhyNot(NamedTuple):
    """Why something was not found."""

    near: tuple[Near, ...]
    rules: int  # how many rules would give it
    beaten: tuple[Held, ...]  # rules do conclude it, but these hold of its attribute instead
    change: Change | None  # of what beats it, or of what nothing concludes and could only be said


def why_not(
    base: Base, findings: Findings, attribute: str, value: Value, fixed: Collection[str] = (), most: int = MOST
) -> WhyNot | None:
    """Why a fact does not hold; None if it does."""
    if findings.has(attribute, value):
        return None

    def holds(after: Findings) -> bool:
        return after.has(attribute, value)

    options = Options(base, findings, fixed)
    makers = findings.makers((attribute, value))
    if set(makers) & set(findings.fired):
        proofs = (findings.proof((attribute, other)) for other in findings.values(attribute))
        beaten = tuple(proof for proof in proofs if isinstance(proof, Held))
        return WhyNot((), len(makers), beaten, tried(base, findings, options.without(attribute), holds))
    change = None if makers else tried(base, findings, options.saying((attribute, value)), holds)
    return WhyNot(_nearest(base, findings, options, makers, holds, most), len(makers), (), change)


def why_none(
    base: Base, findings: Findings, rules: Collection[str], fixed: Collection[str] = (), most: int = MOST
) -> WhyNot | None:
    """Why none of some rules fires; None if one does."""
    wanted = frozenset(rules)
    if not wanted.isdisjoint(findings.fired):
        return None

    def holds(after: Findings) -> bool:
        return not wanted.isdisjoint(after.fired)

    options = Options(base, findings, fixed)
    return WhyNot(_nearest(base, findings, options, wanted, holds, most), len(wanted), (), None)


def lifting(base: Base, findings: Findings, rule: str, fixed: Collection[str] = ()) -> Change | None:
    """What would keep a rule that fires from firing."""
    if rule not in findings.fired:
        return None
    return tried(base, findings, Options(base, findings, fixed).against(rule), lambda after: rule not in after.fired)


def _nearest(
    base: Base, findings: Findings, options: Options, rules: Iterable[str], holds: Callable[[Findings], bool], most: int
) -> tuple[Near, ...]:
    found = []
    for rule in sorted(set(rules)):
        when, unless, _, _ = marshal.loads(findings.tree(rule))
        failed = lacking(("all", (when, ("not", unless))), findings, fixed=options.fixed)
        if failed:
            found.append((len(failed), rule, failed))
    near = []
    for _, rule, failed in sorted(found, key=lambda item: item[:2])[:most]:
        info = base.rules[rule]
        change = tried(base, findings, options.mending(failed), holds)
        near.append(Near(rule, info.because, info.sources, failed, change))
    return tuple(near)
