"""Cleaning: a message as typed made into words, each knowing its place, with the breaks between them.

Folded: capitals, accents, curly quotes, full-width signs; pictures and control characters become breaks or nothing.
Opened: contractions with or without apostrophe. Taken apart: 4x7@40kg, c&j, 20kg, 5'9, 3/week.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from backstay.knowledge.contractions import opened

LONGEST = 20_000
MOST_WORDS = 2_500
LONGEST_HOLD = 6  # minutes
NONE, COMMA, SENTENCE = 0, 1, 2

_TOKEN = re.compile(
    r"(\d{4}-\d{2}-\d{2}(?!\d))"  # 1 a date
    r"|(\d{1,2}(?:st|nd|rd|th)\b)"  # 2 an ordinal
    r"|(\d{1,2}:[0-5]\d(?!\d)|\d+(?:\.\d+|,\d{1,2}(?=\s?(?:kg|kilo|m\b|cm\b|min|h\b|/\s?10)))?)"  # 3 a number
    r"|(w/o\b|w/|(?:b4|gr8|w8|m8)\b|[ap]\.\s?m\b\.?)"  # 4: with a sign or a figure inside
    r"|([a-z]+(?:'[a-z]+)*)"  # 5 a word
    r"|([.!?]+|\n+)"  # 6 an end
    r"|([,;:()\[\]{}|]+|(?<=\s)-+|-+(?=\s)|--+)"  # 7 a pause
    r"|([@/%&+'\"=-])"  # 8 a sign
)
_LETTERS = str.maketrans(
    {"’": "'", "‘": "'", "ʼ": "'", "´": "'", "“": '"', "”": '"', "–": "-", "—": " - ", "×": "x", "½": ".5"}
    | {"ø": "o", "Ø": "o", "ł": "l", "Ł": "l", "đ": "d", "æ": "ae", "Æ": "ae", "œ": "oe", "ß": "ss", "ı": "i"}
)
_SIGNS = {"@": "at", "%": "percent", "&": "and", "=": "is"}
_RATES = frozenset({"week", "wk", "weeks", "w", "day", "d", "session", "side", "leg", "arm", "workout", "min"})
_SHORT = frozenset(
    {"vs", "approx", "ca", "ext", "st", "dr", "ex", "e", "i", "g", "max", "min", "sec", "hrs", "yrs", "etc"}
)


class Words:
    """The words of one message; `breaks[k]` stands before word k, `breaks[0]` and the last are ends."""

    __slots__ = ("asks", "breaks", "ends", "fixed", "raw", "starts", "text", "unknown", "words")

    def __init__(self, raw: str) -> None:
        self.raw = raw
        self.words: list[str] = []
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.breaks: list[int] = [SENTENCE]
        self.asks: list[bool] = []  # whether the end before word k was a question mark
        self.unknown: list[int] = []
        self.fixed: dict[int, str] = {}

    def __len__(self) -> int:
        return len(self.words)

    def shown(self, start: int, end: int) -> str:
        """The message's own letters from word `start` to before word `end`."""
        return self.raw[self.starts[start] : self.ends[end - 1]] if end > start else ""


def clean(message: str, slips: Mapping[str, tuple[str, ...]]) -> Words:
    """Cut a message into words. `slips` says what short or well-known misspellings mean."""
    raw = message[:LONGEST]
    words = Words(raw)
    text, places = _fold(raw)
    out, starts, ends, breaks, asks = words.words, words.starts, words.ends, words.breaks, words.asks
    pending, asked = SENTENCE, False
    last_end, last_group = -1, 0
    size = len(text)
    for found in _TOKEN.finditer(text):
        group = found.lastindex
        start, end = found.span()
        piece = found.group()
        parts: tuple[str, ...] = ()
        if group == 5:
            if "'" in piece:
                parts = tuple(word for part in opened(piece) for word in slips.get(part, (part,)))
            elif len(piece) == 1 and last_group == 3 and (last_end == start or piece == "y"):  # 6w, 20s, 23 y
                parts = ("years",) if piece == "y" else (piece,)
            else:
                parts = slips.get(piece) or (piece,)
        elif group == 3:
            minutes, colon, seconds = piece.partition(":")
            if colon and int(minutes) < LONGEST_HOLD:
                parts = (minutes, "minutes", seconds, "seconds")  # 2:05; later it is a time of day
            else:
                parts = (piece.replace(",", ".") if len(piece) <= 9 else piece[:9].rstrip(".,"),)
        elif group == 6:
            if piece[0] == "\n":
                pending = SENTENCE
            elif "?" in piece:
                pending, asked = SENTENCE, True
            elif "!" in piece:
                pending = SENTENCE
            elif len(piece) > 1:
                pending = max(pending, COMMA)
            elif not (end < size and (text[end].isdigit() or text[end].isalpha())) and not (out and out[-1] in _SHORT):
                pending = SENTENCE
            else:
                pending = max(pending, COMMA) if not (out and out[-1] in _SHORT) else pending
            continue
        elif group == 7:
            pending = max(pending, COMMA)
            continue
        elif group == 8:
            parts = _sign(piece, text, start, end, last_group if last_end == start else 0)
            if not parts:
                continue
        elif group == 4:
            if piece[1] == ".":
                parts = ("am",) if piece[0] == "a" else ("pm",)
            else:
                parts = slips.get(piece) or (("without",) if piece == "w/o" else ("with",))
        else:
            parts = (piece,)
        if len(out) + len(parts) > MOST_WORDS:
            break
        for part in parts:
            out.append(part)
            starts.append(start)
            ends.append(end)
            breaks.append(NONE)
            asks.append(False)
        first = len(out) - len(parts)
        breaks[first] = pending
        asks[first] = asked
        pending, asked = NONE, False
        last_end, last_group = end, group or 0
    breaks[len(out) :] = [SENTENCE]
    asks.append(asked)
    if places is not None:
        words.starts = [places[start] for start in starts]
        words.ends = [places[end - 1] + 1 for end in ends]
    return words


def _sign(piece: str, text: str, start: int, end: int, before: int) -> tuple[str, ...]:
    """What a sign between words means; `before` is the kind of what stands right before it."""
    after = text[end] if end < len(text) else " "
    if piece in _SIGNS:
        return (_SIGNS[piece],)
    if piece == "-":
        return ("-",) if before == 3 and after.isdigit() else ()
    if piece == "+":
        return () if before == 3 and not after.isalnum() else ("and",)
    if piece in "'\"":
        if before != 3:
            return ()
        return ("foot",) if piece == "'" else ("inches",)
    # a slash
    left = text[:start].rstrip()[-1:]
    right = text[end:].lstrip()[:1]
    if left.isdigit() and right.isdigit():
        return ("/",)
    word = re.match(r"\s*([a-z]+)", text[end : end + 12])
    if word and word.group(1) in _RATES:
        return ("per",)
    return ("or",)


def _fold(raw: str) -> tuple[str, list[int] | None]:
    """The text in plain lower-case letters, and for each of its letters the place in `raw` if that is not the same."""
    if raw.isascii():
        return raw.lower(), None
    import unicodedata  # only where a letter is not plain

    text: list[str] = []
    places: list[int] = []
    for place, letter in enumerate(raw):
        if letter < "\x80":
            plain = letter.lower()
        else:
            plain = letter.translate(_LETTERS)
            if plain == letter:
                plain = "".join(
                    sign for sign in unicodedata.normalize("NFKD", letter.lower()) if not unicodedata.combining(sign)
                )
                if not plain.isascii() or not plain:
                    plain = _stand_in(letter, plain)
        for sign in plain:
            text.append(sign)
            places.append(place)
    return "".join(text), places


def _stand_in(letter: str, plain: str) -> str:
    """What to read for a sign that is no plain letter: a pause for a picture, nothing for what cannot be seen."""
    import unicodedata

    kind = unicodedata.category(letter)
    if kind in ("So", "Sk", "Po", "Pd"):
        return " , " if kind != "Pd" else " - "
    if kind[0] == "Z":
        return "\n" if kind in ("Zl", "Zp") else " "
    if kind[0] == "M" or kind in ("Cf", "Cc", "Mn"):
        return ""
    return plain.encode("ascii", "ignore").decode() or " "
