"""Lines that fit: wrapping by the width that characters take on a screen, with hanging indents.

The standard textwrap counts characters, not columns, and is slow to import; this is the little of it that is needed.
"""

from __future__ import annotations

from collections.abc import Iterable

WIDEST = 88
NARROWEST = 20
USUAL = 80


def columns(text: str) -> int:
    """Return how many columns a text takes."""
    if text.isascii():
        return len(text)
    return sum(_width(letter) for letter in text)


def _width(letter: str) -> int:
    import unicodedata  # only where a letter is not plain

    if unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Break a paragraph into lines of at most `width` columns; a word that is longer is cut."""
    room = max(NARROWEST, width)
    lines: list[str] = []
    line, empty = first, True
    for word in text.split():
        for piece in _cut(word, room - max(columns(first), columns(rest))):
            if empty:
                line, empty = line + piece, False
            elif columns(line) + 1 + columns(piece) <= room:
                line += " " + piece
            else:
                lines.append(line)
                line = rest + piece
    if not empty or first.strip():
        lines.append(line.rstrip())
    return lines


def _cut(word: str, room: int) -> Iterable[str]:
    """Cut a word that no line can hold."""
    if columns(word) <= room:
        return (word,)
    pieces, piece = [], ""
    for letter in word:
        if piece and columns(piece) + _width(letter) > room:
            pieces.append(piece)
            piece = ""
        piece += letter
    return (*pieces, piece)


class Page:
    """Paragraphs of an answer, put to width when read."""

    __slots__ = ("_blocks",)

    def __init__(self) -> None:
        self._blocks: list[tuple[str, str, str]] = []

    def line(self, text: str, first: str = "", rest: str | None = None) -> None:
        """Add a paragraph; `first` stands before it, `rest` before its further lines."""
        if text.strip():
            self._blocks.append((text, first, " " * columns(first) if rest is None else rest))

    def gap(self) -> None:
        """Add an empty line, never two."""
        if self._blocks and self._blocks[-1][0]:
            self._blocks.append(("", "", ""))

    def text(self, width: int | None = None) -> str:
        """Return the page at a width of the screen."""
        room = min(width or USUAL, WIDEST)
        lines: list[str] = []
        for text, first, rest in self._blocks:
            lines += wrap(text, room, first, rest) if text else [""]
        while lines and not lines[-1]:
            lines.pop()
        return "\n".join(lines)
