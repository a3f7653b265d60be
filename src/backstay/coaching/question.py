"""Question: the one fact worth asking for.

First what an open safety question asks for, then what safety rules ask. Then, of all that rules ask for and of all that
an effect waits for, the fact whose answers change the advice most; worth.py finds it.

Nothing is asked that was said or follows from what was said, nothing twice, nothing for which there is no question, and
nothing that would change nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any

from backstay.coaching.deciding import Decision
from backstay.coaching.effects import Ledger, Resolved
from backstay.knowledge.base import Base, Question
from backstay.reasoning.answers import possible

OWN_ROOM = "question"  # of rules that only say when a question may be put
HOLDS, SAFETY, OTHER = range(3)


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
    # Weighing is opened by those answers alone that have something to weigh.
    from backstay.coaching.weighing import Scales
    from backstay.coaching.worth import best

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
