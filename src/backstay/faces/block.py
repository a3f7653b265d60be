"""Block: the weeks up to a meet as a table, a page to print, a calendar, JSON or Markdown."""

from __future__ import annotations

from datetime import date

from backstay.coaching.ahead import DAYS_A_WEEK, TO_MEET
from backstay.coaching.block import LONGEST
from backstay.faces import sheets
from backstay.faces.ask import day
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.facts import Fact

OPTIONS = (Option("meet", "YYYY-MM-DD"), *sheets.OPTIONS)


def run(call: Call) -> int:
    """Lay the weeks out; the meet is told by the option or in the message."""
    said = call.value("meet")
    if said is None:
        if not call.words and not call.on("case"):
            raise CallError("call-no-meet")
        return sheets.show(call, "block")
    days = (day(said) - (day(call.value("today")) or date.today())).days
    if not 0 < days <= LONGEST:
        raise CallError("call-meet-past", value=said)
    return sheets.show(call, "block", (Fact(TO_MEET, days / DAYS_A_WEEK, said),))
