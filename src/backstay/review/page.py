"""Page: the report of a review as one HTML file that needs nothing else, with the matrix of complaints and phases."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from backstay.knowledge.base import Base
from backstay.reply.words import capital
from backstay.review.wording import Wording

STYLE = """
:root{--ink:#1d2433;--soft:#5d667a;--paper:#fbfaf7;--field:#fff;--line:#ddd8cc;--mast:#0f4c5c;--stop:#f6c8c4;
--wait:#f7e7b0;--none:#e4e4e4}
@media(prefers-color-scheme:dark){:root{--ink:#e8e6e0;--soft:#a4a9b6;--paper:#15181f;--field:#1d212b;--line:#363c4a;
--mast:#7cc3d2;--stop:#5e2a28;--wait:#574a17;--none:#333842}}
*{box-sizing:border-box}
body{margin:0;padding:1.5rem;color:var(--ink);background:var(--paper);font:15px/1.45 system-ui,sans-serif}
main{max-width:100rem;margin:auto}
h1,h2{color:var(--mast);line-height:1.2;font-weight:650}
h1{font-size:1.6rem;margin:0;padding-bottom:.5rem;border-bottom:3px solid var(--mast)}
h2{font-size:1.1rem;margin:2rem 0 .5rem}
p{max-width:46rem;margin:.5rem 0}
ul{padding-left:1.2rem;max-width:60rem;margin:.3rem 0}
.err{color:#b3261e;font-weight:650}
@media(prefers-color-scheme:dark){.err{color:#ff9b92}}
.wide{overflow:auto;max-height:90vh;border:1px solid var(--line);background:var(--field)}
table{border-collapse:separate;border-spacing:0;font-size:13px}
th,td{padding:.35rem .5rem;border:0 solid var(--line);border-width:0 1px 1px 0;text-align:left;vertical-align:top}
thead th{position:sticky;top:0;z-index:2;background:var(--mast);color:var(--paper)}
tbody th{position:sticky;left:0;z-index:1;background:var(--field);font-weight:600;min-width:9rem}
thead th:first-child{left:0;z-index:3}
td{min-width:13rem}
td ol{margin:0;padding-left:1.1rem}
.stop{background:var(--stop)}.wait{background:var(--wait)}.none{background:var(--none)}
.pain{margin-top:.3rem;padding-top:.3rem;border-top:1px dashed var(--line);color:var(--soft)}
"""
CLASSES = {"stop": "stop", "refer": "wait", "question": "wait", "none-left": "none"}
Part = Mapping[str, Any]


def page(base: Base, found: Part, seconds: float) -> str:
    """Return the page."""
    return _Page(base, found, seconds).html()


def write(path: str, html: str) -> None:
    """Write a file at once or not at all."""
    folder, name = os.path.split(os.path.abspath(path))
    handle, part = tempfile.mkstemp(dir=folder, prefix=f".{name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(html)
        os.chmod(part, 0o644)
        os.replace(part, path)
    except BaseException:
        os.unlink(part)
        raise


class _Page:
    def __init__(self, base: Base, found: Part, seconds: float) -> None:
        self._base = base
        self._found = found
        self._seconds = seconds
        self._words = Wording(base)

    def html(self) -> str:
        title = self._say("review-page-title")
        body = [f"<h1>{title}</h1>", *self._walked()]
        if "against" in self._found:
            body += self._against(self._found["against"])
        body += self._matrix()
        body += self._lists()
        head = f'<meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>{title}</title>'
        inside = "\n".join(body)
        return (
            f'<!DOCTYPE html>\n<html lang="en"><head>{head}<style>{STYLE}</style></head>\n'
            f"<body><main>\n{inside}\n</main></body></html>\n"
        )

    def _say(self, message: str, **values: object) -> str:
        return escape(self._words.say(message, **values))

    def _walked(self) -> list[str]:
        words, found = self._words, self._found
        sizes = {name: words.number(found[name]) for name in ("situations", "problems", "solved")}
        seconds = words.number(round(self._seconds))
        space = found["space"]
        told = {"dimensions": len(space["dimensions"]), "values": space["values"], "signs": space["stop_signs"]}
        outcomes = [
            words.say("review-count", what=words.outcome(one), count=words.number(one["situations"]))
            for one in found["outcomes"]
        ]
        return [
            f"<p>{self._say('review-walked', **sizes, seconds=seconds)}</p>",
            _items([words.walk(one) for one in space["walks"]]),
            f"<p>{self._say('review-space', **told)}</p>",
            f"<p>{self._say('review-outcomes')}</p>",
            _items(map(capital, outcomes)),
        ]

    def _matrix(self) -> list[str]:
        phases = [cell["phase"] for cell in self._found["matrix"][0]["cells"]]
        heads = [self._say("review-page-complaint")]
        heads += [escape(capital(self._base.phases[name].name)) if name in self._base.phases else "" for name in phases]
        rows = [self._row(row) for row in self._found["matrix"]]
        return [
            f"<h2>{self._say('review-page-matrix')}</h2>",
            f"<p>{self._say('review-page-matrix-about')}</p>",
            '<div class="wide"><table><thead><tr>',
            "".join(f'<th scope="col">{head}</th>' for head in heads),
            "</tr></thead><tbody>",
            *rows,
            "</tbody></table></div>",
        ]

    def _row(self, row: Part) -> str:
        complaint = row["complaint"]
        name = self._words.fact(complaint) if complaint else self._words.say("review-page-anything")
        cells = "".join(map(self._cell, row["cells"]))
        return f'<tr><th scope="row">{escape(capital(name))}</th>{cells}</tr>'

    def _cell(self, cell: Part) -> str:
        answer = cell["answer"]
        if answer["picks"]:
            inside = "<ol>" + "".join(f"<li>{escape(self._words.pick(one))}</li>" for one in answer["picks"]) + "</ol>"
        else:
            inside = escape(capital(self._words.answer(answer)))
        if "in_pain" in cell:
            in_pain = self._say("review-page-in-pain", answer=self._words.answer(cell["in_pain"]))
            inside += f'<div class="pain">{in_pain}</div>'
        return f'<td class="{_class(answer)}">{inside}</td>'

    def _lists(self) -> list[str]:
        words, found, number = self._words, self._found, self._words.number
        empty = found["nothing_to_offer"]
        html: list[str] = []
        if empty["situations"]:
            html.append(
                f"<h2>{self._say('review-nothing', count=number(empty['situations']), of=number(empty['of']))}</h2>"
            )
            html.append(f"<p>{self._say('review-nothing-told', facts=words.counted_facts(empty['told']))}</p>")
            html.append(_items(map(words.facts, empty["plainest"])))
        else:
            html.append(f"<h2>{self._say('review-nothing-none', of=number(empty['of']))}</h2>")
        lists = {
            "rules-never": [
                words.say("review-rule-at", rule=one["rule"], file=one["file"], line=one["line"])
                for one in found["rules_never"]
            ],
            "exercises-never": list(map(words.exercise, found["exercises_never"])),
            "needs-never": list(map(words.quality, found["needs_never"])),
            "needs-open": [
                words.say(
                    "review-open",
                    quality=words.quality(one["quality"]),
                    open=number(one["open"]),
                    of=number(one["needed"]),
                )
                for one in found["needs_open"]
            ],
            "doses": list(map(words.clash, found["doses_contradict"])),
            "together": list(map(words.pair, found["together"])),
            "alone": [
                words.say(
                    "review-alone-line",
                    rule=one["rule"],
                    count=number(one["situations"]),
                    facts=words.facts(one["plainest"]),
                )
                for one in found["alone"]
            ],
            "answers": [
                words.say(
                    "review-count",
                    what=words.join(map(words.exercise, one["exercises"])),
                    count=number(one["situations"]),
                )
                for one in found["answers"]
            ],
        }
        for about, lines in lists.items():
            if lines:
                html.append(f"<h2>{self._say(f'review-{about}', count=number(len(lines)))}</h2>{_items(lines)}")
            else:
                html.append(f"<h2>{self._say(f'review-{about}-none')}</h2>")
        return html

    def _against(self, found: Part) -> list[str]:
        words, number = self._words, self._words.number
        html = [f"<h2>{self._say('review-page-against')}</h2>"]
        if not found["differing"]:
            return [*html, f"<p>{self._say('review-same', situations=number(found['situations']))}</p>"]
        counts = {"differing": number(found["differing"]), "situations": number(found["situations"])}
        html.append(f"<p>{self._say('review-differs', **counts)}</p>")
        html.append(_items([words.kind(kind, count) for kind, count in found["kinds"].items()]))
        for error in found["errors"]:
            about = self._say(f"review-error-{error['kind']}", count=number(error["situations"]))
            html.append(f'<p class="err">{about}</p>{self._example(error)}')
        for group in found["groups"]:
            message = "review-group" if group["alone"] == group["situations"] else "review-group-shared"
            cause = words.cause(group["cause"], group["how"])
            about = self._say(message, cause=cause, count=number(group["situations"]), alone=number(group["alone"]))
            html.append(f"<h2>{about}</h2><p>{escape(words.kinds(group['kinds']))}</p>{self._example(group)}")
        return html

    def _example(self, one: Part) -> str:
        words = self._words
        return _items(
            [
                words.say("review-plainest", facts=words.facts(one["plainest"])),
                words.say("review-before", answer=words.answer(one["before"])),
                words.say("review-after", answer=words.answer(one["after"])),
            ]
        )


def _class(answer: Part) -> str:
    if answer["outcome"] == "advice":
        return "" if answer["picks"] else "none"
    return CLASSES.get(answer["outcome"], "")


def _items(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"
