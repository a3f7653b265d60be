"""Forms: how a run of words is written in phrase files.

    form  = item…            item = word | [form|form|…] | (form|form|…) | {slot} | ,
    [ ]   may be left out    ( ) one of them    ( )? one of them, or none
    {slot} an idea's or an attribute's words, a figure, or {gap n}: up to n words
    ,     a comma may stand here; without it words of a form are never read across a comma

A step is a word, or ("{", slot name), or ("~", most words of a gap), or (",",).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import Any, NamedTuple

from backstay.knowledge.contractions import opened

USUAL_GAP = 3
MOST_WORDS = 60  # on the longest way through a form
MOST_STEPS = 600  # in all its alternatives
MOST_NESTED = 8

Step = str | tuple[str, str] | tuple[str, int] | tuple[str]

_PIECES = re.compile(r"\{[^{}]*\}|[\[\]()|,]|[^\s\[\]()|{},]+")
_WORDS = re.compile(r"\d+(?:\.\d+)?(?:st|nd|rd|th)\b|\d+(?:\.\d+)?|[a-z]+(?:'[a-z]+)*|[@/]")


class FormError(ValueError):
    """A form that cannot be read; the text says why."""


def folded(text: str) -> str:
    """Lower case without accents, with straight quotes."""
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.replace("’", "'").replace("‘", "'"))
        text = "".join(sign for sign in text if not unicodedata.combining(sign))
    return text.lower()


def plain_words(text: str) -> list[str]:
    """The words of a name as they stand in a cleaned message: `C&J` is c, and, j."""
    text = folded(text).replace("&", " and ").replace("+", " and ").replace("%", " percent ")
    words: list[str] = []
    for word in _WORDS.findall(text):
        words += opened(word)
    return words


class Tree(NamedTuple):
    """A form taken apart: steps, and choices as ("|", trees); a choice that may be left out holds an empty tree."""

    parts: tuple[Any, ...]


def form_tree(form: str) -> Tree:
    """Take a form apart. Raises FormError."""
    pieces = _PIECES.findall(form)
    if len(pieces) > 2 * MOST_STEPS:
        raise FormError(f"it holds more than {MOST_STEPS} words; write several forms")
    found, rest = _read(pieces, 0, "")
    if rest != len(pieces):
        raise FormError(f"`{pieces[rest]}` closes nothing")
    if _longest(found[0]) > MOST_WORDS:
        raise FormError(f"it is longer than {MOST_WORDS} words; nobody says that in one breath")
    return found[0]


def _longest(tree: Tree) -> int:
    """The words on the longest way through."""
    return sum(max(map(_longest, part[1])) if isinstance(part, tuple) and part[0] == "|" else 1 for part in tree.parts)


def _read(pieces: list[str], at: int, closing: str, depth: int = 0) -> tuple[list[Tree], int]:
    """The alternatives up to `closing`, and where reading stopped."""
    if depth > MOST_NESTED:
        raise FormError(f"brackets are nested more than {MOST_NESTED} deep")
    every: list[Tree] = []
    here: list[Any] = []
    while at < len(pieces):
        piece = pieces[at]
        if piece == "|":
            if not closing:
                raise FormError("`|` stands outside of brackets")
            every.append(Tree(tuple(here)))
            here = []
        elif piece in ("[", "("):
            inner, end = _read(pieces, at + 1, "]" if piece == "[" else ")", depth + 1)
            if end >= len(pieces):
                raise FormError(f"`{piece}` is never closed")
            if end + 1 < len(pieces) and pieces[end + 1].startswith("?"):
                pieces[end + 1] = pieces[end + 1][1:]
                piece = "["
            if piece == "[":
                inner = [Tree(()), *inner]
            here.append(("|", tuple(inner)))
            at = end
        elif piece in ("]", ")"):
            if piece != closing:
                raise FormError(f"`{piece}` closes nothing")
            return [*every, Tree(tuple(here))], at
        elif piece:
            here += _steps(piece)
        at += 1
    if closing:
        raise FormError(f"`{closing}` is missing")
    return [Tree(tuple(here))], at


def _steps(piece: str) -> Iterator[Step]:
    if piece == ",":
        yield (",",)
    elif piece.startswith("{"):
        name = piece[1:-1].strip()
        if name == "gap" or name.startswith("gap "):
            most = name[3:].strip() or str(USUAL_GAP)
            if not most.isdigit() or not 1 <= int(most) <= 9:
                raise FormError(f"`{piece}`: a gap holds 1 to 9 words")
            yield ("~", int(most))
        elif name:
            yield ("{", name)
        else:
            raise FormError("`{}` names no slot")
    else:
        words = plain_words(piece)
        if not words:
            raise FormError(f"`{piece}` is no word")
        yield from words
