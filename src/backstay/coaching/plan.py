"""Plan: what is answered to one message, before it is put into words.

Outcomes, the first that holds:

    stop            a stop rule fired: nothing to train, where to go and how soon
    refer           a referral fired: a clinician first
    question        a sign is open: the closed question before anything else
    out-of-scope    not what this is for
    noted           facts, a report, a greeting: nothing is given
    advice          else; where nothing is left to choose from, a referral if there is pain, a question if not

Nothing to train stands in any but the last. Forbids are never relaxed to fill a list.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from backstay.coaching import wants
from backstay.coaching.deciding import SEE_CLINICIAN, Decision, decide
from backstay.coaching.effects import Ledger, Resolved
from backstay.coaching.picks import SORENESS_OR_PAIN, LeftOut, Pick, left_out
from backstay.coaching.question import asked_for_by_rules, next_question, safety_question
from backstay.knowledge.base import Base

if TYPE_CHECKING:
    from datetime import date

    from backstay.coaching.block import Stretch
    from backstay.coaching.missing import Missing
    from backstay.coaching.progress import Step
    from backstay.coaching.timeline import Turn
    from backstay.coaching.week import Day
else:
    date = Stretch = Missing = Step = Turn = Day = Any  # imported where they are made

__all__ = ["SEE_CLINICIAN", "Plan", "make_plan"]

URGENCY_OF_STOP: Mapping[str, str] = {"now": "emergency", "today": "urgent", "days": "urgent"}


class Plan(NamedTuple):
    """All that was decided. Messages and facts go by their ids, reasons by the ids of rules."""

    outcome: str
    urgency: str = "none"
    within: str | None = None
    notices: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    picks: tuple[Pick, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    assumed: Mapping[str, Any] = {}
    ask_next: str | None = None
    week: tuple[Day, ...] = ()
    block: tuple[Stretch, ...] = ()
    steps: tuple[Step, ...] = ()
    timeline: tuple[Turn, ...] = ()
    missing: tuple[Missing, ...] = ()
    because: tuple[str, ...] = ()  # of a stop, a referral, an open sign
    proved: bool = True
    resolved: Resolved | None = None


def make_plan(
    base: Base,
    findings: Any,
    want: str,
    named: Sequence[str] = (),
    today: date | None = None,
    asked: Collection[str] = (),
) -> Plan:
    """Make the plan for one message: `named` are the exercises it is about, `asked` what was asked before."""
    ledger = wants.ledger_for(base, findings, want, named)
    resolved = ledger.resolved
    decision = decide(base, findings, resolved, want, named)
    plan = Plan(
        decision.outcome,
        within=decision.within,
        because=decision.because,
        notices=_notices(resolved),
        told=tuple(resolved.tells),
        resolved=resolved,
    )
    if decision.outcome == "stop":
        return plan._replace(urgency=URGENCY_OF_STOP[str(decision.within)])
    in_pain = SEE_CLINICIAN in resolved.notices
    if in_pain or decision.outcome == "refer":
        plan = plan._replace(urgency="clinician")
    if decision.outcome == "question":
        return _open_question(base, findings, resolved, plan)
    if decision.outcome == wants.OUT_OF_SCOPE or (decision.outcome == "refer" and decision.because):
        return plan
    plan = plan._replace(assumed=_assumed(findings))
    if decision.outcome == "noted":
        reported = [*named, *findings.values("done.exercise")] if want == "log" else ()
        ask = asked_for_by_rules(base, findings, resolved, asked)
        from backstay.coaching.progress import next_steps

        return plan._replace(ask_next=ask, steps=next_steps(base, resolved, reported, in_pain))
    return _advice(base, findings, ledger, decision, want, named, today, asked, plan)


def _open_question(base: Base, findings: Any, resolved: Resolved, plan: Plan) -> Plan:
    ask = safety_question(base, findings, resolved)
    if ask is None:
        # A sign is open and there is no question that could close it: somebody has to look.
        return plan._replace(outcome="refer", urgency="clinician", within="days")
    return plan._replace(ask_next=ask)


def _advice(
    base: Base,
    findings: Any,
    ledger: Ledger,
    decision: Decision,
    want: str,
    named: Sequence[str],
    today: date | None,
    asked: Collection[str],
    plan: Plan,
) -> Plan:
    resolved = ledger.resolved
    plan = plan._replace(picks=decision.picks, week=decision.week)
    if want in wants.CHOOSING or want in wants.NAMED:
        plan = plan._replace(left_out=left_out(base, resolved, named, decision.picks, decision.choice))
    chosen = decision.choice is None or decision.choice.menu.proved
    plan = plan._replace(proved=chosen and decision.placed)
    if decision.outcome == "refer":
        return plan
    ask = next_question(base, findings, ledger, decision, want, named, asked)
    plan = plan._replace(ask_next=ask)
    if want == "week" and not findings.values("training-days"):
        plan = plan._replace(assumed={**plan.assumed, "training-days": decision.training_days})
    if want in wants.CHOOSING and not decision.picks:
        # A fact may open something; without a question, that is the answer.
        return plan._replace(outcome="question") if ask else plan
    if want == "timing" and named:
        from backstay.coaching.timeline import turns

        plan = plan._replace(timeline=turns(base, findings, want, named))
    elif want == "why-not":
        from backstay.coaching.missing import missing

        plan = plan._replace(missing=tuple(missing(base, findings, one) for one in named if one in base.exercises))
    elif want == "block" and today is not None:
        from backstay.coaching.block import make_block

        block = make_block(base, findings, want, named, today)
        plan = plan._replace(block=block, proved=plan.proved and all(stretch.proved for stretch in block))
    return _with_cards(plan, decision.cards)


def _with_cards(plan: Plan, cards: Iterable[str]) -> Plan:
    """Add the cards that belong to the doses given."""
    notices, told = list(plan.notices), list(plan.told)
    for card in cards:
        into = notices if card == SORENESS_OR_PAIN else told
        if card not in into:
            into.append(card)
    return plan._replace(notices=tuple(notices), told=tuple(told))


def _notices(resolved: Resolved) -> tuple[str, ...]:
    """The notices, the one on clinicians first."""
    return tuple(sorted(resolved.notices, key=lambda notice: (notice != SEE_CLINICIAN, notice)))


def _assumed(findings: Any) -> dict[str, Any]:
    """What was taken for granted: a value for each attribute, a list where there are several."""
    values: dict[str, list[Any]] = {}
    for attribute, value in findings.assumed:
        values.setdefault(attribute, []).append(value)
    return {name: held[0] if len(held) == 1 else sorted(held) for name, held in sorted(values.items())}
