"""Sheet as HTML: one page that needs nothing else and prints on one sheet of A4 or Letter.

It is laid out for the narrower and the lower of the two papers. The more there is on it, the smaller its print.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

from backstay.reply.chart import Bar, chart
from backstay.reply.drawing import drawing
from backstay.reply.sheet import DAYS_A_WEEK, Entry, Sheet
from backstay.reply.tables import Rows, days, stretches, weeks, whole
from backstay.reply.words import Words, capital

STYLE = """
:root{--ink:#22303c;--soft:#5b6873;--line:#d9d4c7;--rope:#b5651d;--sea:#1f5f73;--sand:#f6f2e8}
*{box-sizing:border-box}
html{background:#fff;color:var(--ink)}
body{margin:0 auto;padding:1.2em;max-width:62em;font:15px/1.35 "Liberation Sans","Helvetica Neue",Arial,sans-serif}
h1{font-size:1.55em;margin:0;padding-bottom:.2em;border-bottom:.18em double var(--rope)}
h2{font-size:1.02em;margin:.8em 0 .25em;color:var(--sea);text-transform:uppercase;letter-spacing:.06em}
h3{font-size:1em;margin:0 0 .1em}
p{margin:.25em 0}
.told,.small{color:var(--soft)}
.small{font-size:.9em}
.notice{border:.15em solid var(--rope);border-radius:.3em;padding:.4em .6em;margin:.5em 0;font-weight:700}
table{border-collapse:collapse;width:100%;font-size:.96em}
th,td{text-align:left;vertical-align:top;padding:.22em .5em .22em 0;border-bottom:1px solid var(--line)}
th{color:var(--soft);font-weight:600}
td:first-child{font-weight:600;white-space:nowrap}
td small{font-weight:400;color:var(--soft);font-size:.9em}
td.number,th.number{text-align:right;white-space:nowrap}
.rest td{color:var(--soft);font-weight:400}
.cards{display:grid;grid-template-columns:1fr 1fr;gap:.6em 1.2em}
.card{display:grid;grid-template-columns:10.5em 1fr;gap:.7em;break-inside:avoid}
.card svg{width:100%;max-height:6.6em;background:var(--sand);border-radius:.3em}
.card ul{margin:.15em 0 0;padding-left:1.1em}
.dose{font-weight:600}
.plots{display:grid;grid-template-columns:3fr 2fr;gap:1.2em;align-items:start}
.plots td{white-space:nowrap}
svg.chart{width:100%;height:auto}
.rules{display:grid;grid-template-columns:1fr 1fr;gap:1.2em;margin-top:.7em;border-top:.18em double var(--rope)}
@media(max-width:45em){.cards,.plots,.rules{grid-template-columns:1fr}}
@page{margin:9mm}
@media print{
body{padding:0;max-width:none;line-height:1.24}
.cards{grid-template-columns:1fr 1fr}
.plots{grid-template-columns:3fr 2fr}
.rules{grid-template-columns:1fr 1fr}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
"""
# What rows and a chart take up, in letters, and how many letters fill a sheet in the largest print: measured in a
# browser over thirteen pages of all kinds, within 5 %; a tenth is kept free.
A_ROW, A_CHART, FULL = 20, 930, 2780
LARGEST, SMALLEST = 9.6, 6.2  # points
MOST_CUES = 3


def html(words: Words, base: Any, sheet: Sheet) -> str:
    """Return the page, the notices before any exercise; where it is very full, with fewer cues."""
    for cues in range(MOST_CUES, -1, -1):
        body = "\n".join(part for part in _body(words, base, sheet, cues) if part)
        if _size(body) >= SMALLEST:
            break
    return document(sheet.title, body)


def document(title: str, body: str) -> str:
    """Return a whole page; how much stands on it settles the size of its print."""
    size = f"@media print{{body{{font-size:{max(SMALLEST, _size(body)):.1f}pt}}}}"
    head = (
        '<meta charset="utf-8"><meta name="generator" content="backstay">'
        '<meta name="viewport" content="width=device-width">'
        f"<title>{escape(title)}</title><style>{STYLE}{size}</style>"
    )
    return f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head>\n<body>\n{body}\n</body></html>\n'


def _size(body: str) -> float:
    """The print in points with which a body fills one sheet: what stands on it grows with the square."""
    letters = sum(len(part.partition(">")[2]) for part in _without_drawings(body).split("<"))
    room = letters + A_ROW * body.count("<tr>") + A_CHART * body.count('"chart"')
    return float(min(LARGEST, LARGEST * (FULL / room) ** 0.5))


def _without_drawings(body: str) -> str:
    """A body without the inside of its drawings."""
    first, *rest = body.split("<svg")
    return first + "".join(part.partition("</svg>")[2] for part in rest)


def _body(words: Words, base: Any, sheet: Sheet, cues: int) -> list[str]:
    body = [f"<h1>{escape(sheet.title)}</h1>", _p(sheet.told, "told")]
    body += [_p(notice, "notice") for notice in sheet.notices]
    if sheet.days:
        body += [_h2(words, "sheet-days"), _table(days(words, sheet), numbers=(2,))]
    elif sheet.stretches:
        body += [_h2(words, "sheet-weeks"), _table(stretches(words, sheet))]
    body.append(_h2(words, "sheet-each"))
    cards = [_card(words, base, number, entry, cues) for number, entry in enumerate(sheet.entries, 1)]
    body.append(f'<div class="cards">{"".join(cards)}</div>')
    if sheet.kind != "card":
        body += _back(words, sheet)
    body += [_p(caution, "caution") for caution in sheet.cautions]
    rules = (("sheet-pain-rule", sheet.pain_rule), ("sheet-stop-rule", sheet.stop_rule))
    said = "".join(f"<section>{_h2(words, rule)}{_p(text)}</section>" for rule, text in rules)
    body.append(f'<div class="rules">{said}</div>')
    body.append(_p(" ".join(filter(None, (sheet.assumed, sheet.made))), "small"))
    return body


def figure(words: Words, base: Any, entry: Entry) -> str:
    """Return the drawing of an exercise, or nothing where it has none."""
    posture = base.exercises[entry.exercise].posture
    if not posture:
        return ""
    title = "sheet-figure-of-front" if posture.get("view") == "front" else "sheet-figure-of"
    captions = [words.say("sheet-start-position"), words.say("sheet-end-position")] if len(posture["poses"]) > 1 else []
    return drawing(posture, words.say(title, name=entry.name), captions)


def _card(words: Words, base: Any, number: int, entry: Entry, cues: int) -> str:
    title = words.say("sheet-numbered", number=number, name=entry.name)
    lines = [
        _p(entry.dose, "dose"),
        _p(entry.load),
        _p(entry.effort),
        _items(entry.cues[:cues]),
        _p(entry.back, "small"),
    ]
    picture = f"<div>{figure(words, base, entry)}</div>"
    return f'<div class="card">{picture}<div><h3>{escape(title)}</h3>{"".join(lines)}</div></div>'


def _back(words: Words, sheet: Sheet) -> list[str]:
    """The load on the low back: over the weeks with the meet marked, else over the days of the week."""
    parts = [_h2(words, "sheet-back")]
    said = "".join(_p(line, "small") for line in sheet.load)
    if sheet.without:
        said += _p(words.say("sheet-back-without", exercises=words.join(sheet.without)), "small")
    if sheet.weeks:
        bars = [Bar(str(week.out), week.seconds, not whole(week)) for week in sheet.weeks]
        plot = chart(bars, words.say("sheet-chart"), words.say("sheet-meet"))
        numbers = (2, 3, 4)
        parts.append(
            f'<div class="plots"><div>{plot}{said}</div><div>{_table(weeks(words, sheet), numbers)}</div></div>'
        )
        return parts
    seconds = {day.weekday: day.seconds for day in sheet.days}
    if any(seconds.values()):
        names = [words.say(f"weekday-short-{day}") for day in range(DAYS_A_WEEK)]
        bars = [Bar(name, seconds.get(day, 0.0)) for day, name in enumerate(names)]
        parts.append(
            f'<div class="plots"><div>{chart(bars, words.say("sheet-chart-week"))}</div><div>{said}</div></div>'
        )
        return parts
    return [*parts, said]


def _table(rows: Rows, numbers: Sequence[int] = ()) -> str:
    """Return rows as a table; `numbers` are the columns of figures."""
    lines = []
    for place, row in enumerate(rows):
        cell = "td" if place else "th"
        cells = [
            f"<{cell}{_class('number' if column in numbers else '')}>" + _lines(text, small=not column) + f"</{cell}>"
            for column, text in enumerate(row)
        ]
        lines.append(f"<tr>{''.join(cells)}</tr>")
    return f"<table><thead>{lines[0]}</thead><tbody>{''.join(lines[1:])}</tbody></table>"


def _lines(text: str, small: bool) -> str:
    """Return the lines of a cell; those under the first of its row are `small`."""
    first, *rest = text.splitlines() or [""]
    return "<br>".join([escape(first), *(f"<small>{escape(line)}</small>" if small else escape(line) for line in rest)])


def _h2(words: Words, message: str) -> str:
    return f"<h2>{escape(capital(words.say(message)))}</h2>"


def _p(text: str, name: str = "") -> str:
    return f"<p{_class(name)}>{escape(text)}</p>" if text else ""


def _items(lines: Iterable[str]) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<ul>{items}</ul>" if items else ""


def _class(name: str) -> str:
    return f' class="{name}"' if name else ""
