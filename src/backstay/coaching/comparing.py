"""Comparing: how much two decisions differ, in points.

What was picked counts most, after the outcome; then the side that goes first, what is told beside the picks, days, and
single figures of a dose.
"""

from __future__ import annotations

from collections.abc import Iterable

from backstay.coaching.deciding import Decision
from backstay.coaching.picks import Pick

# What a change is worth.
OUTCOME = 40  # advice becomes a stop, a referral or an open question; or days can be laid out up to the meet
ONE_PICK = 10  # an exercise comes in or goes out
SIDE = 4  # another side goes first
A_NOTICE = 3
DAYS = 2
A_FIGURE = 1  # of a dose
A_TELL = 1
FIGURES = ("use", "sets", "reps", "seconds", "metres", "rest", "load_percent", "weight", "effort_at_most", "reserve",
           "times_a_week")  # fmt: skip


def change(before: Decision, after: Decision) -> int:
    """How much two decisions differ, apart from what is told beside them."""
    worth = OUTCOME if (before.outcome, before.within) != (after.outcome, after.within) else 0
    worth += OUTCOME if before.undated != after.undated else 0
    stood = {pick.exercise: pick for pick in before.picks}
    stand = {pick.exercise: pick for pick in after.picks}
    worth += ONE_PICK * len(stood.keys() ^ stand.keys())
    return worth + sum(_of_pick(stood[name], stand[name]) for name in stood.keys() & stand.keys())


def told(notices: Iterable[str], tells: Iterable[str], cards: Iterable[str]) -> dict[str, int]:
    """Return all that is told beside the picks, with what each message is worth; a card is told once, whoever asks."""
    return {**dict.fromkeys(tells, A_TELL), **dict.fromkeys(notices, A_NOTICE), **dict.fromkeys(cards, A_NOTICE)}


def _of_pick(before: Pick, after: Pick) -> int:
    worth: int = A_FIGURE * sum(getattr(before.dose, name) != getattr(after.dose, name) for name in FIGURES)
    worth += SIDE if before.first_side != after.first_side else 0
    return worth + (DAYS if before.days != after.days else 0)
