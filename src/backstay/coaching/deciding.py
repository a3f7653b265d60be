"""Deciding: the outcome of a plan and its picks, before reasons, cards and words.

    decide(base, findings, resolved, want, named) -> Decision

Nothing to train stands in any outcome but advice. Forbids are never relaxed to fill a list.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from backstay.coaching import days as training
from backstay.coaching import wants
from backstay.coaching.ahead import days_to_meet
from backstay.coaching.dose import Dose
from backstay.coaching.effects import Resolved
from backstay.coaching.load import with_loads
from backstay.coaching.menu import Choice
from backstay.coaching.picks import Pick, as_picks, cards, choose, given, in_session_order
from backstay.knowledge.base import Base

if TYPE_CHECKING:
    from backstay.coaching.week import Day
else:
    Day = Any  # imported where a week is laid out

SEE_CLINICIAN = "see-clinician"
# Training days that a week is laid out for when nobody said how many.
USUAL_DAYS = 4
NOTHING_LEFT = "weeks"  # with pain and nothing left to choose from, how soon to be seen


class Decision(NamedTuple):
    """What is given, and from what it was chosen."""

    outcome: str
    within: str | None = None
    because: tuple[str, ...] = ()
    picks: tuple[Pick, ...] = ()
    cards: tuple[str, ...] = ()
    week: tuple[Day, ...] = ()
    placed: bool = True  # no better days for the picks of a week
    training_days: int | None = None
    undated: bool = False  # days up to the meet are asked for, and the meet has no day
    choice: Choice | None = None
    doses: Mapping[str, Dose] = {}


def decide(
    base: Base,
    findings: Any,
    resolved: Resolved,
    want: str,
    named: Sequence[str] = (),
    doses: Mapping[str, Dose] | None = None,
    stays: Collection[str] | None = None,
) -> Decision:
    """Decide on outcome and picks.

    `doses` are those known to be fixed already; `stays` are the exercises of a choice known to come out the same.
    """
    before = _before_advice(resolved)
    if before is not None:
        return before
    if want == wants.OUT_OF_SCOPE:
        return Decision(want)
    if want in wants.NOTED:
        return Decision("noted")
    count = training.training_days(findings)
    if want == "week":
        count = count or USUAL_DAYS
    made = Decision("advice", training_days=count, undated=want == "block" and days_to_meet(findings) is None)
    if want in wants.NAMED:
        made = made._replace(picks=given(base, resolved, named, count, together=want in wants.TOGETHER))
    elif want in wants.CHOOSING:
        # A week of what was named is that, and nothing added to it.
        meant = given(base, resolved, named, count, together=True) if want == "week" else ()
        if meant:
            made = made._replace(picks=meant)
        elif stays is not None:
            known = doses or {}
            picks = as_picks(base, resolved, in_session_order(base, stays, known), known, count)
            made = made._replace(picks=picks)
        else:
            sessions = count if want == "week" and count else 1
            chosen = choose(base, resolved, count, sessions=sessions, known=doses, lean=doses is not None)
            made = made._replace(picks=chosen.picks, choice=chosen.choice, doses=chosen.doses)
            if not chosen.picks and SEE_CLINICIAN in resolved.notices:
                # With pain and nothing left somebody has to look.
                return made._replace(outcome="refer", within=NOTHING_LEFT)
        if want == "week" and made.picks:
            from backstay.coaching.laying import on_days

            laid = on_days(findings, resolved, made.picks, made.training_days or USUAL_DAYS)
            made = made._replace(picks=laid.picks, week=laid.week, placed=laid.proved)
    picks = with_loads(base, findings, resolved, made.picks)
    return made._replace(picks=picks, cards=cards(base, picks))


def _before_advice(resolved: Resolved) -> Decision | None:
    """What stands before any advice: a stop, a referral, an open safety question."""
    for outcome, said in (("stop", resolved.stop), ("refer", resolved.refer)):
        if said is not None:
            return Decision(outcome, said.value, said.rules)
    return Decision("question", because=resolved.hold) if resolved.hold else None
