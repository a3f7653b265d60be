"""One message, one answer: as text for people, as JSON for programs, or a message a line."""

from __future__ import annotations

import sys
from typing import Any

from backstay.assistant import Assistant
from backstay.case import CaseError
from backstay.faces import output
from backstay.faces.options import Call, CallError, Option

OPTIONS = (
    Option("json"),
    Option("batch"),
    Option("today", "YYYY-MM-DD"),
    Option("case", "FILE"),
    Option("knowledge", "FOLDER"),
    Option("width", "COLUMNS"),
    Option("help"),
)


def run(call: Call) -> int:
    """Answer what the call holds."""
    today = day(call.value("today"))
    columns = whole_number(call, "width")
    if call.on("batch"):
        return _batch(call, today)
    case = read_case(call.value("case"))
    message = _message(call)
    assistant = Assistant(call.all("knowledge"))
    try:
        held = assistant.held(case)
    except CaseError as error:
        raise CallError("call-bad-case", where=error.where, fault=error.what) from None
    reply = assistant.answer(message, case=held, today=today, width=columns or output.width())
    output.write(as_line(reply.as_json()) if call.on("json") else reply.text)
    return 0


def day(text: str | None) -> Any:
    """Read a day as the calendar writes it."""
    if text is None:
        return None
    from datetime import date

    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CallError("call-bad-day", value=text) from None


def whole_number(call: Call, name: str) -> int | None:
    """Read an option that counts something."""
    text = call.value(name)
    if text is None:
        return None
    if not text.isascii() or not text.isdigit() or not 0 < int(text[:9]) <= 10_000:
        raise CallError("call-bad-number", option="--" + name, value=text)
    return int(text)


def as_line(value: dict[str, Any]) -> str:
    """Write a value as one line that any locale can carry."""
    import json

    return json.dumps(value, separators=(", ", ": "))


def _message(call: Call) -> str:
    if call.words:
        return " ".join(call.words)
    if sys.stdin is None or sys.stdin.isatty() or call.value("case") == "-":
        raise CallError("call-no-message")
    return sys.stdin.buffer.read().decode("utf-8", "replace")


def read_case(place: str | None) -> Any:
    """Read the case that an earlier answer gave out."""
    if place is None:
        return None
    import json

    try:
        if place == "-":
            text = sys.stdin.read()
        else:
            with open(place, encoding="utf-8") as file:
                text = file.read()
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "UTF-8"
        raise CallError("call-unreadable-case", place=place, reason=reason or "") from None
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        raise CallError("call-bad-case", where="case", fault="json") from None
    # A whole answer may be handed in as well as the case inside it.
    return value["case"] if isinstance(value, dict) and "case" in value else value


def _batch(call: Call, today: Any) -> int:
    """Answer a message a line, each on its own, and hold to the order whatever a line is."""
    if call.words:
        raise CallError("call-batch-and-words", word=call.words[0])
    if call.on("case"):
        raise CallError("call-batch-and-case")
    if sys.stdin is None or sys.stdin.isatty():
        raise CallError("call-batch-at-terminal")
    assistant = Assistant(call.all("knowledge"))
    assistant.follow()
    for number, line in enumerate(sys.stdin.buffer, 1):
        _follow(assistant)
        try:
            reply = assistant.answer(line.decode("utf-8"), today=today)
            value = as_line(reply.as_json())
        except Exception as error:  # One line must never take the place or the order of the others.
            reply = assistant.cannot_read()
            value = as_line({**reply.as_json(), "line": number, "error": type(error).__name__})
        output.write(value)
    return 0


def _follow(assistant: Assistant) -> None:
    """Take a changed knowledge over; what keeps it from being used goes to whoever looks after the program."""
    news = assistant.follow()
    if news is None or not news.problems:
        return
    from backstay.reply.words import Words

    output.complain(Words(assistant.base).say("chat-knowledge-refused"))
    for problem in news.problems:
        output.complain(str(problem))
