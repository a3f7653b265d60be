"""Sheet as text: a table where the screen is wide enough, else one line under the other."""

from __future__ import annotations

from backstay.reply.layout import USUAL, Page, columns, wrap
from backstay.reply.sheet import Sheet
from backstay.reply.tables import Rows, back, days, stretches, weeks
from backstay.reply.words import Words

WIDE = 72
WIDEST = 110
GAP = 2
BAR, LEAST_BAR = 24, 6  # columns of the longest bar
FULL = "#"


def text(words: Words, sheet: Sheet, width: int | None = None) -> str:
    """Return the sheet for a terminal, the notices before any exercise."""
    room = min(width or USUAL, WIDEST)
    parts = [_lines(sheet.title, sheet.told, width=room)]
    parts += [_lines(notice, width=room) for notice in sheet.notices]
    if sheet.kind != "card":
        parts.append(table(days(words, sheet) if sheet.days else stretches(words, sheet), room))
        parts.append(words.say("sheet-each"))
    for number, entry in enumerate(sheet.entries, 1):
        page = Page()
        mark = words.say("pick-number", number=number) + " "
        page.line(entry.name, mark)
        back_load = entry.back if sheet.kind != "week" else ""  # of a week it stands in a table of its own
        for line in (entry.dose, entry.load, entry.effort, *entry.cues, back_load):
            page.line(line, " " * len(mark))
        parts.append(page.text(room))
    if sheet.kind != "card":
        parts.append(words.say("sheet-back"))
        parts.append(bars(weeks(words, sheet, each=True), 2, room) if sheet.weeks else table(back(words, sheet), room))
    parts.append(_lines(*sheet.load, width=room))
    parts += [_lines(caution, width=room, mark="! ") for caution in sheet.cautions]
    for rule, said in (("sheet-pain-rule", sheet.pain_rule), ("sheet-stop-rule", sheet.stop_rule)):
        parts.append(_lines(words.say("topic-line", topic=words.say(rule), text=said), width=room))
    parts.append(_lines(sheet.assumed, sheet.made, width=room))
    return "\n\n".join(part for part in parts if part)


def table(rows: Rows, room: int) -> str:
    """Lay rows out in columns, or, where the screen is narrow, the cells of a row under its first."""
    if room < WIDE:
        return _stacked(rows, room)
    widths = _widths(rows, room)
    lines = []
    for place, row in enumerate(rows):
        cells = [_cell(cell, width) for cell, width in zip(row, widths, strict=True)]
        for line in range(max(map(len, cells))):
            parts = [
                _filled(cell[line] if line < len(cell) else "", width)
                for cell, width in zip(cells, widths, strict=True)
            ]
            lines.append((" " * GAP).join(parts).rstrip())
        if place == 0:
            lines.append((" " * GAP).join("-" * width for width in widths))
    return "\n".join(lines)


def bars(rows: Rows, column: int, room: int) -> str:
    """Lay rows out with a bar for the figure in one column, as far as there is room for bars."""
    most = max((float(row[column]) for row in rows[1:]), default=0.0) or 1.0
    widths = [max(columns(row[place]) for row in rows[1:]) for place in (0, column, column + 1)]
    length = min(BAR, room - sum(widths) - GAP * len(widths))
    if length < LEAST_BAR:
        return _stacked(rows, room)
    lines = []
    for row in rows[1:]:
        bar = FULL * round(length * float(row[column]) / most)
        cells = _filled(row[0], widths[0]), f"{row[column]:>{widths[1]}}", _filled(bar, length), row[column + 1]
        lines.append((" " * GAP).join(cells).rstrip())
    return "\n".join(lines)


def _widths(rows: Rows, room: int) -> list[int]:
    """As wide as each column wants to be; the widest gives way until all fit."""
    wanted = [max(columns(line) for row in rows for line in row[place].split("\n")) for place in range(len(rows[0]))]
    while sum(wanted) + GAP * (len(wanted) - 1) > room:
        widest = wanted.index(max(wanted))
        wanted[widest] -= 1
    return wanted


def _stacked(rows: Rows, room: int) -> str:
    parts = []
    for row in rows[1:]:
        page = Page()
        page.line(row[0])
        for cell in row[1:]:
            for line in cell.split("\n"):
                page.line(line, "  - ", "    ")
        parts.append(page.text(room))
    return "\n".join(parts)


def _cell(cell: str, width: int) -> list[str]:
    lines = []
    for line in cell.split("\n"):
        lines += wrap(line, width, "", "  " if columns(line) > width else "") or [""]
    return lines


def _filled(text: str, width: int) -> str:
    return text + " " * (width - columns(text))


def _lines(*texts: str, width: int, mark: str = "") -> str:
    page = Page()
    for one in texts:
        page.line(one, mark)
    return page.text(width)
