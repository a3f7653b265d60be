"""Sheets made from messages, for the tests of what is made of them."""

from datetime import date
from functools import cache

from backstay.assistant import Assistant
from backstay.knowledge.facts import Fact
from backstay.reply.reply import Reply
from backstay.reply.sheet import Sheet, sheet
from backstay.reply.words import Words

TODAY = date(2026, 11, 25)
WEEK = "lower back and the body turns to the right in the catch, 5 days a week, clean 120, heavy pulls wednesday"
PAIN = "lower back, pain 2/10 when bending, 4 days a week"
STOP = "lower back, numb between my legs since yesterday"


@cache
def assistant() -> Assistant:
    return Assistant()


def words() -> Words:
    return Words(assistant().base)


@cache
def reply(want: str, message: str, today: date = TODAY, weeks: float | None = None) -> Reply:
    """Return the answer to a message laid out as a week or a block, or, without a want, as it stands."""
    if not want:
        return assistant().answer(message, today=today)
    facts = [Fact("weeks-to-meet", weeks)] if weeks is not None else []
    return assistant().lay_out(want, message, facts, today=today)


def made(want: str, message: str = WEEK, today: date = TODAY, weeks: float | None = None) -> Sheet:
    """Return a sheet that has to be there."""
    found = sheet(assistant().base, reply(want, message, today, weeks), today, card=not want)
    assert found is not None
    return found
