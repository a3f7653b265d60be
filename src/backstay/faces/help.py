"""Help pages, made from the table of commands and their options: what it does, two lines to paste, then the options."""

from __future__ import annotations

import sys

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option, nearest

OPTIONS = (Option("help"),)
VERSION = Option("version")


def run(call: Call) -> int:
    """Show the page of a command, or the page of all."""
    from backstay.faces.command import COMMANDS

    name = call.words[0] if call.words else "help"
    if name not in COMMANDS:
        raise CallError("call-unknown-command", command=name, near=nearest(name, [one for one in COMMANDS if one]))
    output.write(page("" if not call.words else name, output.width()))
    return 0


def page(name: str, width: int | None = None) -> str:
    """Write the help page of one command; without a name, of all."""
    from backstay.faces.command import COMMANDS
    from backstay.knowledge.loading import load
    from backstay.reply.layout import Page
    from backstay.reply.words import Words

    words = Words(load())
    of = name or "all"
    sheet = Page()
    sheet.line(words.say("help-usage", usage=words.say(f"help-usage-{of}")))
    sheet.gap()
    sheet.line(words.say(f"help-about-{of}"))
    sheet.gap()
    for line in words.say(f"help-shown-{of}").splitlines():
        sheet.line(line, "    ", "      ")
    if not name:
        sheet.gap()
        sheet.line(words.say("help-commands"))
        for command in COMMANDS:
            about = words.say(f"help-about-{command or 'chat'}")
            _entry(sheet, command or "(chat)", about)
    options = _options(COMMANDS[name])
    sheet.gap()
    sheet.line(words.say("help-options"))
    for option in (*options, VERSION) if not name else options:
        _entry(sheet, f"--{option.name} {option.value}".strip(), words.say(f"option-{option.name}"))
    sheet.gap()
    sheet.line(words.say("help-exit"))
    for status in (0, 1, 2):
        _entry(sheet, str(status), words.say(f"help-exit-{status}"))
    if not name:
        sheet.gap()
        sheet.line(words.say("help-more"))
    return sheet.text(width)


def _options(module: str) -> tuple[Option, ...]:
    whole = f"backstay.faces.{module}"
    __import__(whole)
    options: tuple[Option, ...] = sys.modules[whole].OPTIONS
    return options


def _entry(sheet: object, term: str, text: str) -> None:
    from backstay.reply.layout import Page

    assert isinstance(sheet, Page)
    sheet.line(text, f"  {term:<20} " if len(term) <= 20 else f"  {term}  ", " " * 8)
