"""A document as one HTML page that needs nothing else: no script, no picture, no address outside of itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from backstay.reference.document import Block, Bullets, Heading, Inline, Link, Paragraph, parts
from backstay.reply.words import harmless

CONTENTS_LEVELS = (2, 3)
STYLE = """
:root { color-scheme: light dark; --line: #8886; }
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
body { overflow-wrap: anywhere; }
h1, h2, h3, h4 { line-height: 1.25; margin: 2em 0 0.5em; }
h2 { border-bottom: 1px solid var(--line); }
h4 { margin-top: 1.5em; }
p, ul { margin: 0.4em 0; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid var(--line); padding: 0.25rem 0.5rem; text-align: left; vertical-align: top; }
nav ul { columns: 18rem; }
nav ul ul { columns: auto; }
:target { background: #fc06; }
@media print {
  nav { display: none; }
  h2 { break-before: page; }
  h4 { break-after: avoid; }
  a { color: inherit; text-decoration: none; }
}
"""


def html(title: str, contents: str, blocks: Sequence[Block]) -> str:
    """Return the whole page; `contents` stands over the list of its parts."""
    body = "\n".join(_block(block) for block in blocks[1:])
    return "\n".join(
        (
            "<!doctype html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">",
            f"<title>{_escaped(title)}</title>",
            f"<style>{STYLE}</style>",
            "</head>",
            "<body>",
            _block(blocks[0]),
            f'<nav aria-label="{_escaped(contents)}">',
            f"<h2>{_escaped(contents)}</h2>",
            _contents([block for block in blocks if isinstance(block, Heading)]),
            "</nav>",
            "<main>",
            body,
            "</main>",
            "</body>",
            "</html>",
            "",
        )
    )


def _contents(headings: Iterable[Heading]) -> str:
    lines = ["<ul>"]
    inside = False
    for heading in headings:
        if heading.level not in CONTENTS_LEVELS or not heading.anchor:
            continue
        entry = f'<li><a href="#{escape(heading.anchor)}">{_escaped(heading.text)}</a>'
        if heading.level == CONTENTS_LEVELS[0]:
            lines += ["</ul></li>"] if inside else []
            lines += [entry, "<ul>"]
            inside = True
        else:
            lines.append(f"{entry}</li>")
    return "\n".join([*lines, *(["</ul></li>"] if inside else []), "</ul>"])


def _block(block: Block) -> str:
    if isinstance(block, Heading):
        anchor = f' id="{escape(block.anchor)}"' if block.anchor else ""
        return f"<h{block.level}{anchor}>{_escaped(block.text)}</h{block.level}>"
    if isinstance(block, Paragraph):
        topic = f"<strong>{_escaped(block.topic)}:</strong> " if block.topic else ""
        return f"<p>{topic}{_inline(block.text)}</p>"
    if isinstance(block, Bullets):
        topic = f"<p><strong>{_escaped(block.topic)}</strong></p>\n" if block.topic else ""
        return topic + _bullets(list(block.lines), 0)
    heads = "".join(f"<th>{_escaped(head)}</th>" for head in block.heads)
    rows = ["".join(f"<td>{_inline(cell)}</td>" for cell in row) for row in block.rows]
    inner = "\n".join(f"<tr>{row}</tr>" for row in rows)
    return f"<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{inner}\n</tbody>\n</table>"


def _bullets(lines: list[tuple[int, Inline]], depth: int) -> str:
    """Lines as nested lists: those that stand deeper belong to the one before them."""
    found = ["<ul>"]
    while lines and lines[0][0] >= depth:
        _, line = lines.pop(0)
        below = f"\n{_bullets(lines, depth + 1)}" if lines and lines[0][0] > depth else ""
        found.append(f"<li>{_inline(line)}{below}</li>")
    return "\n".join([*found, "</ul>"])


def _inline(text: Inline) -> str:
    return "".join(
        f'<a href="#{escape(part.to)}">{_escaped(part.text)}</a>' if isinstance(part, Link) else _escaped(part)
        for part in parts(text)
    )


def _escaped(text: str) -> str:
    return escape(harmless(text))
