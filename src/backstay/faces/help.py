"""Help pages, made from the table of commands and their options: what it does, two lines to paste, then the options."""

from __future__ import annotations

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option, nearest
from backstay.reply.layout import USUAL, Page

OPTIONS = (Option("help"),)
WORDS = "COMMAND"
VERSION = Option("version")
# Columns of the terms, and how wide a screen must be to keep them apart from their meaning.
TERM = 20
WIDE = 60


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
    from backstay.faces.command import COMMANDS, EXITS, module_of
    from backstay.knowledge.loading import load
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
            _entry(sheet, command or "(chat)", about, width)
    options: tuple[Option, ...] = module_of(name).OPTIONS
    sheet.gap()
    sheet.line(words.say("help-options"))
    for option in (*options, VERSION) if not name else options:
        _entry(sheet, f"--{option.name} {option.value}".strip(), words.say(f"option-{option.name}"), width)
    sheet.gap()
    sheet.line(words.say("help-exit"))
    for status in EXITS:
        _entry(sheet, str(status), words.say(f"help-exit-{status}"), width)
    if not name:
        sheet.gap()
        sheet.line(words.say("help-more"))
    return sheet.text(width)


def _entry(sheet: Page, term: str, text: str, width: int | None) -> None:
    """Put a term in a column of its own, or, where the screen is narrow, its meaning under it."""
    rest = " " * (TERM + 3) if (width or USUAL) >= WIDE else " " * 8
    sheet.line(text, f"  {term:<{TERM}} ", rest)
