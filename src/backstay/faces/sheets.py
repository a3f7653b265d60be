"""Sheets: what the commands for a week and for a block share: the answer, and the forms it is printed or written in."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from backstay.assistant import Assistant
from backstay.case import CaseError
from backstay.faces import output
from backstay.faces.ask import as_line, day, read_case, whole_number
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.facts import Fact
from backstay.reply.words import Words, harmless

if TYPE_CHECKING:
    from backstay.reply.reply import Reply
    from backstay.reply.sheet import Sheet

FORMS = ("html", "ics", "markdown")
OPTIONS = (
    Option("html", "FILE"),
    Option("ics", "FILE"),
    Option("markdown", "FILE"),
    Option("json"),
    Option("for", "NAME"),
    Option("today", "YYYY-MM-DD"),
    Option("case", "FILE"),
    Option("knowledge", "FOLDER"),
    Option("width", "COLUMNS"),
    Option("force"),
    Option("help"),
)
STANDARD = "-"
DONE, FAILED = 0, 1
# What our own files begin with or hold near their beginning: these are written over without being asked.
SIGNS = ('<meta name="generator" content="backstay">', "PRODID:-//backstay//", "<!-- backstay -->")
LOOKED_AT = 1000


def show(call: Call, want: str, facts: Sequence[Fact] = ()) -> int:
    """Answer the call and print or write its forms; where there is no sheet, say what the chat would say.

    Without a `want` the message is answered as it stands, and what is made is a card.
    """
    today = day(call.value("today")) or date.today()
    columns = whole_number(call, "width") or output.width()
    asked = [(form, path) for form in FORMS for path in call.all(form)]
    if call.on("json") and any(path == STANDARD for _, path in asked):
        raise CallError("call-one-form", one="--json", other="-")
    assistant = Assistant(call.all("knowledge"))
    reply = _reply(call, assistant, want, facts, today, columns)
    words = Words(assistant.base)
    from backstay.reply.sheet import sheet as made

    sheet = made(assistant.base, reply, today, card=not want)
    if call.on("json"):
        output.write(as_line(reply.as_json()))
    if sheet is None:
        if not call.on("json"):
            output.write(reply.text)
        if asked:
            output.complain(words.say("sheet-not-written", paths=", ".join(path for _, path in asked)))
        return DONE
    name = " ".join(harmless(call.value("for") or "").split())
    if name:
        sheet = sheet._replace(title=words.say("sheet-title-for", title=sheet.title, name=name), name=name)
    if asked:
        return _write(call, words, asked, lambda form: _form(form, words, assistant, sheet, today))
    if not call.on("json"):
        from backstay.reply.sheet_text import text

        output.write(text(words, sheet, columns))
    return DONE


def _reply(
    call: Call, assistant: Assistant, want: str, facts: Sequence[Fact], today: date, columns: int | None
) -> Reply:
    case = read_case(call.value("case"))
    message = " ".join(call.words)
    try:
        if not want:
            return assistant.answer(message, case, today, columns)
        return assistant.lay_out(want, message, facts, case, today, columns)
    except CaseError as error:
        raise CallError("call-bad-case", where=error.where, fault=error.what) from None


def _form(form: str, words: Words, assistant: Assistant, sheet: Sheet, today: date) -> str:
    if form == "html":
        from backstay.reply.sheet_html import html

        return html(words, assistant.base, sheet)
    if form == "ics":
        from backstay.reply.calendar import calendar

        return calendar(words, sheet, today)
    from backstay.reply.markdown import markdown

    return markdown(words, sheet)


def _write(call: Call, words: Words, asked: Sequence[tuple[str, str]], form_of: Callable[[str], str]) -> int:
    """Write what was asked for, each file whole or not at all; what is not ours is not written over unasked."""
    places = [path for _, path in asked]
    for path in places:
        if places.count(path) > 1:
            raise CallError("call-one-place", path=path)
        if path != STANDARD and not call.on("force") and os.path.lexists(path) and not _ours(path):
            raise CallError("call-file-there", path=path)
    for form, path in asked:
        text = form_of(form)
        if path == STANDARD:
            output.write(text.rstrip("\n"))
            continue
        reason = output.save(path, text)
        if reason:
            output.complain("backstay: " + words.say("sheet-unwritable", path=path, reason=reason))
            return FAILED
        output.complain(words.say("sheet-written", path=path))
    return DONE


def _ours(path: str) -> bool:
    """Whether a file is one that these commands wrote, or is empty."""
    try:
        with open(path, encoding="utf-8", errors="replace") as file:
            head = file.read(LOOKED_AT)
    except OSError:
        return False
    return not head or any(sign in head for sign in SIGNS)
