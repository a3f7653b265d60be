"""Week: a week of back work as a table, a page to print, a calendar, JSON or Markdown."""

from __future__ import annotations

from backstay.faces import sheets
from backstay.faces.options import Call

OPTIONS = sheets.OPTIONS


def run(call: Call) -> int:
    """Lay a week out."""
    return sheets.show(call, "week")
