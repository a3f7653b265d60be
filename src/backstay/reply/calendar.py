"""Calendar: the training days of a sheet as a calendar file (RFC 5545) that other programs take in.

Each day is an event of a whole day, without a time or a zone, so that no change of clocks can move it. Its id is made
of the day, the kind of plan and the name it is for: a file taken in a second time brings the same events up to date.
Lines end in CRLF and are folded at 75 octets, text is escaped, as the standard asks.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256

from backstay.reply.sheet import Session, Sheet, sessions
from backstay.reply.words import Words

OCTETS = 75
MAKER = "-//backstay//week and block//EN"
ID_ENDING = "@backstay.invalid"
HASHED = 12  # digits of a name in an id: enough to keep apart, too few to read back


def calendar(words: Words, sheet: Sheet, first: date, now: datetime | None = None) -> str:
    """Return the calendar of a sheet; a week is laid on the seven days from `first` on, `now` is when it is made."""
    moment = now or datetime.now(UTC)
    whose = f"-{sha256(sheet.name.encode()).hexdigest()[:HASHED]}" if sheet.name else ""
    stamp = moment.strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{MAKER}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"]
    for session in sessions(sheet, first):
        text = "\n\n".join(_described(words, sheet, session))
        names = ", ".join(entry.name for entry in session.entries)
        lines += _event(session.day, sheet.kind + whose, stamp, moment, words.say("sheet-event", exercises=names), text)
    if sheet.meet is not None:
        lines += _event(sheet.meet, "meet" + whose, stamp, moment, words.say("sheet-meet"), "")
    lines.append("END:VCALENDAR")
    return "".join(folded(line) + "\r\n" for line in lines)


def escaped(text: str) -> str:
    """Return text with the marks escaped that end a value or begin another."""
    for mark in ("\\", ";", ","):
        text = text.replace(mark, "\\" + mark)
    return text.replace("\r\n", "\\n").replace("\n", "\\n").replace("\r", "\\n")


def folded(line: str) -> str:
    """Break a line after at most 75 octets, never inside a character."""
    pieces, piece, size = [], "", 0
    for letter in line:
        octets = len(letter.encode())
        if size + octets > OCTETS:
            pieces.append(piece)
            piece, size = "", 1  # the blank that begins a line which goes on
        piece += letter
        size += octets
    return "\r\n ".join([*pieces, piece])


def _event(day: date, kind: str, stamp: str, moment: datetime, title: str, text: str) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{kind}-{day:%Y%m%d}{ID_ENDING}"
    yield f"DTSTAMP:{stamp}"
    yield f"LAST-MODIFIED:{stamp}"
    # Later files count higher, so that a calendar takes the newer of two.
    yield f"SEQUENCE:{int(moment.timestamp()) // 60}"
    yield f"DTSTART;VALUE=DATE:{day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escaped(title)}"
    if text:
        yield f"DESCRIPTION:{escaped(text)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _described(words: Words, sheet: Sheet, session: Session) -> Iterator[str]:
    """What stands in an event: the notices first, then the exercises, then the rules."""
    yield from sheet.notices
    for entry in session.entries:
        lines = words.say("sheet-with-dose", name=entry.name, dose=entry.dose), entry.load, entry.effort
        yield "\n".join(filter(None, lines))
    yield sheet.pain_rule
    yield sheet.stop_rule
