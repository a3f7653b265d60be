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

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from backstay.coaching import days as training
from backstay.coaching import wants
from backstay.coaching.effects import Resolved
from backstay.coaching.load import with_loads
from backstay.coaching.picks import SORENESS_OR_PAIN, LeftOut, Pick, cards, choose, given, left_out
from backstay.coaching.progress import Step, next_steps
from backstay.coaching.question import next_question, safety_question
from backstay.coaching.week import Day, Item, lay_week
from backstay.knowledge.base import Base

if TYPE_CHECKING:
    from datetime import date

    from backstay.coaching.block import Stretch
    from backstay.coaching.timeline import Turn

SEE_CLINICIAN = "see-clinician"
URGENCY_OF_STOP: Mapping[str, str] = {"now": "emergency", "today": "urgent", "days": "urgent"}
# Training days that a week is laid out for when nobody said how many.
USUAL_DAYS = 4


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
    resolved = wants.resolve_for(base, findings, want, named)
    plan = Plan("noted", notices=_notices(resolved), told=tuple(resolved.tells), resolved=resolved)
    in_pain = SEE_CLINICIAN in resolved.notices
    if in_pain:
        plan = plan._replace(urgency="clinician")
    before = _before_advice(base, findings, resolved, plan)
    if before is not None:
        return before
    if want == wants.OUT_OF_SCOPE:
        return plan._replace(outcome=want)
    ask = next_question(base, findings, resolved, asked)
    plan = plan._replace(ask_next=ask, assumed=_assumed(findings))
    if want in wants.NOTED:
        reported = [*named, *findings.values("done.exercise")] if want == "log" else ()
        return plan._replace(steps=next_steps(base, resolved, reported, in_pain))
    plan = plan._replace(outcome="advice")
    if want in wants.CHOOSING:
        return _finished(base, findings, _with_choice(base, findings, want, named, today, plan, in_pain))
    if want in wants.NAMED:
        picks = given(base, resolved, named, training.training_days(findings), together=want in wants.TOGETHER)
        plan = plan._replace(picks=picks, left_out=left_out(base, resolved, named, picks, None))
        if want == "timing" and named:
            from backstay.coaching.timeline import turns

            plan = plan._replace(timeline=turns(base, findings, want, named))
    return _finished(base, findings, plan)


def _before_advice(base: Base, findings: Any, resolved: Resolved, plan: Plan) -> Plan | None:
    """What stands before any advice: a stop, a referral, an open safety question."""
    if resolved.stop is not None:
        within = resolved.stop.value
        return plan._replace(
            outcome="stop", urgency=URGENCY_OF_STOP[within], within=within, because=resolved.stop.rules
        )
    if resolved.refer is not None:
        return plan._replace(
            outcome="refer", urgency="clinician", within=resolved.refer.value, because=resolved.refer.rules
        )
    if resolved.hold:
        ask = safety_question(base, findings, resolved)
        if ask is None:
            # A sign is open and there is no question that could close it: somebody has to look.
            return plan._replace(outcome="refer", urgency="clinician", within="days", because=resolved.hold)
        return plan._replace(outcome="question", ask_next=ask, because=resolved.hold)
    return None


def _with_choice(
    base: Base, findings: Any, want: str, named: Sequence[str], today: date | None, plan: Plan, in_pain: bool
) -> Plan:
    resolved = plan.resolved
    assert resolved is not None
    count = training.training_days(findings)
    if want == "week":
        if count is None:
            count = USUAL_DAYS
            plan = plan._replace(assumed={**plan.assumed, "training-days": count})
        meant = given(base, resolved, named, count, together=True)
        if meant:
            # A week of what was named is that, and nothing added to it.
            plan = plan._replace(left_out=left_out(base, resolved, named, meant, None))
            return _with_week(findings, resolved, meant, count, plan)
    chosen = choose(base, resolved, count, sessions=count if want == "week" and count else 1)
    out = left_out(base, resolved, named, chosen.picks, chosen.choice)
    plan = plan._replace(picks=chosen.picks, left_out=out, proved=chosen.menu.proved)
    if not chosen.picks:
        return _nothing_left(plan, in_pain)
    if want == "week" and count is not None:
        return _with_week(findings, resolved, chosen.picks, count, plan)
    if want == "block" and today is not None:
        from backstay.coaching.block import make_block

        return plan._replace(block=make_block(base, findings, want, named, today))
    return plan


def _nothing_left(plan: Plan, in_pain: bool) -> Plan:
    """With pain somebody has to look; without, a fact may open something; without a question, that is the answer."""
    if in_pain:
        return plan._replace(outcome="refer", urgency="clinician", within="weeks", ask_next=None)
    return plan._replace(outcome="question") if plan.ask_next else plan


def _with_week(findings: Any, resolved: Resolved, picks: Sequence[Pick], count: int, plan: Plan) -> Plan:
    lie = training.calendar(findings, count)
    items = []
    for pick in picks:
        spacing = tuple(
            (hours, training.days_with(findings, load, lie))
            for hours, load, _ in resolved.spacing.get(pick.exercise, ())
            if load
        )
        times, stress = pick.dose.times_a_week, pick.dose.stress
        items.append(Item(pick.exercise, times, stress // max(times, 1), pick.minutes, pick.days, spacing))
    minutes = resolved.limits.get("minutes")
    week = lay_week(items, lie, int(minutes.value) if minutes is not None else None)
    placed = tuple(
        pick._replace(days=tuple(day.day for day in week if pick.exercise in day.exercises)) for pick in picks
    )
    return plan._replace(week=week, picks=placed)


def _finished(base: Base, findings: Any, plan: Plan) -> Plan:
    """Add to the doses their loads in kg, and the cards that belong to them."""
    if plan.resolved is not None:
        plan = plan._replace(picks=with_loads(base, findings, plan.resolved, plan.picks))
    notices, told = list(plan.notices), list(plan.told)
    for card in cards(base, plan.picks):
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
