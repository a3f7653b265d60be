"""Card: one answer to take away, as text, a page to print or Markdown."""

from __future__ import annotations

from backstay.faces import sheets
from backstay.faces.options import Call, CallError

OPTIONS = tuple(option for option in sheets.OPTIONS if option.name != "ics")


def run(call: Call) -> int:
    """Answer the message and make a card of it."""
    if not call.words:
        raise CallError("call-no-message")
    return sheets.show(call, "")
