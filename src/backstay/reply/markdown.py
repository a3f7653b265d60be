"""Markdown: a sheet as headings, tables and lists that stay readable as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from backstay.reply.sheet import Entry, Sheet
from backstay.reply.tables import back, days, stretches, weeks
from backstay.reply.words import Words

SIGN = "<!-- backstay -->"  # by which a file is known as one of ours
MARKS = "\\`*_[]<>#|"


def markdown(words: Words, sheet: Sheet) -> str:
    """Return the sheet as Markdown, the notices before any exercise."""
    parts = [SIGN, f"# {plain(sheet.title)}", plain(sheet.told)]
    parts += [f"> **{plain(notice)}**" for notice in sheet.notices]
    if sheet.days:
        parts += [f"## {words.say('sheet-days')}", table(days(words, sheet))]
    if sheet.stretches:
        parts += [f"## {words.say('sheet-weeks')}", table(stretches(words, sheet))]
    if sheet.kind != "card":
        parts.append(f"## {words.say('sheet-each')}")
    parts += [_entry(words, number, entry) for number, entry in enumerate(sheet.entries, 1)]
    if sheet.kind != "card":
        parts += [f"## {words.say('sheet-back')}", table(weeks(words, sheet) if sheet.weeks else back(words, sheet))]
    parts += [plain(line) for line in sheet.load]
    parts += [_item(caution) for caution in sheet.cautions]
    parts.append(f"**{words.say('sheet-pain-rule')}.** {plain(sheet.pain_rule)}")
    parts.append(f"**{words.say('sheet-stop-rule')}.** {plain(sheet.stop_rule)}")
    parts += [plain(sheet.assumed), plain(sheet.made)]
    return "\n\n".join(part for part in parts if part) + "\n"


def table(rows: Sequence[Sequence[str]]) -> str:
    """Return rows as a table, the first as its head."""
    head, *rest = rows
    lines = [_row(head), "|" + " --- |" * len(head), *map(_row, rest)]
    return "\n".join(lines)


def plain(text: str) -> str:
    """Return text with the marks escaped that Markdown would read as its own."""
    for mark in MARKS:
        text = text.replace(mark, "\\" + mark)
    return text


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join("<br>".join(plain(cell).splitlines()) for cell in cells) + " |"


def _entry(words: Words, number: int, entry: Entry) -> str:
    lines = [words.say("sheet-numbered", number=number, name=f"**{plain(entry.name)}**"), ""]
    lines += ["   " + _item(line) for line in (entry.dose, entry.load, entry.effort, *entry.cues, entry.back) if line]
    return "\n".join(lines)


def _item(text: str) -> str:
    return f"- {plain(text)}"
