"""Document: a page as headings, paragraphs, lists and tables, whatever it is written as."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Link(NamedTuple):
    """Words that lead to a heading of the page."""

    text: str
    to: str


Inline = str | Link | tuple[str | Link, ...]


class Heading(NamedTuple):
    """A heading: level 1 for the page, `anchor` where something leads to it."""

    level: int
    text: str
    anchor: str = ""


class Paragraph(NamedTuple):
    """Running text; with a topic, that stands before it."""

    text: Inline
    topic: str = ""


class Bullets(NamedTuple):
    """A list; each line with its depth. With a topic, that stands before it."""

    lines: tuple[tuple[int, Inline], ...]
    topic: str = ""


class Table(NamedTuple):
    """Rows under column heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Inline, ...], ...]


Block = Heading | Paragraph | Bullets | Table


def parts(text: Inline) -> tuple[str | Link, ...]:
    """Return inline text as its parts."""
    return (text,) if isinstance(text, str | Link) else text


def joined(items: Sequence[Link | str]) -> Inline:
    """Return some parts with commas between."""
    found: list[str | Link] = []
    for item in items:
        if found:
            found.append(", ")
        found.append(item)
    return tuple(found)
