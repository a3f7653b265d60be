"""A document as Markdown that reads well as it stands, too. Nothing in a text can become a mark of its own."""

from __future__ import annotations

import re
from collections.abc import Iterable

from backstay.reference.document import Block, Bullets, Heading, Inline, Link, Paragraph, parts
from backstay.reply.words import harmless

_SIGNS = re.compile(r"([\\`*_\[\]<>|~])")
# What would begin a heading, a list or a quotation at the beginning of a line.
_STARTS = re.compile(r"^(\s*\d*)([#+=>.)-])")


def markdown(blocks: Iterable[Block]) -> str:
    """Return the text of the page."""
    return "\n\n".join(_block(block) for block in blocks) + "\n"


def _block(block: Block) -> str:
    if isinstance(block, Heading):
        anchor = f'<a id="{block.anchor}"></a>\n\n' if block.anchor else ""
        return f"{anchor}{'#' * block.level} {_escaped(block.text)}"
    if isinstance(block, Paragraph):
        text = _inline(block.text)
        return f"**{_escaped(block.topic)}:** {text}" if block.topic else _start(text)
    if isinstance(block, Bullets):
        lines = [f"{'  ' * depth}- {_start(_inline(line))}" for depth, line in block.lines]
        return "\n".join([f"**{_escaped(block.topic)}**\n", *lines] if block.topic else lines)
    rows = [block.heads, tuple("---" for _ in block.heads), *block.rows]
    cells = [[cell if place == 1 else _inline(cell) for cell in row] for place, row in enumerate(rows)]
    return "\n".join(f"| {' | '.join(map(str, row))} |" for row in cells)


def _inline(text: Inline) -> str:
    return "".join(
        f"[{_escaped(part.text)}](#{part.to})" if isinstance(part, Link) else _escaped(part) for part in parts(text)
    )


def _escaped(text: str) -> str:
    return _SIGNS.sub(r"\\\1", " ".join(harmless(text).split(" "))).replace("\n", " ").replace("&", "&amp;")


def _start(text: str) -> str:
    return _STARTS.sub(r"\1\\\2", text)
