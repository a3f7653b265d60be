"""Numbers: figures and number words at a place in the message, ranges with their higher end.

5 · 2.5 · five · twenty two · a hundred and eighty · one and a half · half · a couple of · a dozen · 8-9 · eight to nine
one fifteen (115, as loads are said) is offered beside one, fifteen
"""

from typing import NamedTuple

from backstay.language.cleaning import NONE, SENTENCE, Words

UNITS = {
    "zero": 0, "nought": 0, "naught": 0,
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10,
    "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90,
}  # fmt: skip
HALVED = frozenset({"way", "of", "the", "my", "as", "speed", "depth", "rep", "reps", "squat", "squats", "kneeling"})
"""What stands behind a half that counts nothing: half way, half the time."""
STARTS = frozenset({*UNITS, *TENS, "hundred", "half", "couple", "dozen", "a", "an"})


class Number(NamedTuple):
    """A figure, the place after its last word, and whether it is the higher end of a range."""

    value: float
    end: int
    ranged: bool = False


def number_at(words: Words, at: int) -> Number | None:
    """The longest number that begins at a place, ranges left out."""
    text = words.words
    size = len(text)
    word = text[at]
    if word[0].isdigit():
        try:
            value = float(word)
        except ValueError:
            return None
        end = at + 1
    elif word in ("a", "an"):
        if at + 1 < size and text[at + 1] in ("couple", "dozen", "hundred", "half"):
            return number_at(words, at + 1) if text[at + 1] != "hundred" else _hundreds(words, 1, at + 1)
        return None
    elif word == "couple":
        end = at + 2 if at + 1 < size and text[at + 1] == "of" else at + 1
        return Number(2, end)
    elif word == "dozen":
        return Number(12, at + 1)
    elif word == "half":
        if at + 1 < size and text[at + 1] == "dozen":
            return Number(6, at + 2)
        if at + 1 < size and text[at + 1] in HALVED:
            return None
        return Number(0.5, at + 1)
    elif word == "hundred":
        return _hundreds(words, 1, at)
    else:
        small = _small(words, at)
        if small is None:
            return None
        value, end = small.value, small.end
        if end < size and text[end] == "hundred" and value < 10:
            return _hundreds(words, value, end)
    # one and a half, 2 and a half, two and half
    if end + 1 < size and text[end : end + 2] == ["and", "half"]:
        return Number(value + 0.5, end + 2)
    if end + 2 < size and text[end] == "and" and text[end + 1] == "a" and text[end + 2] == "half":
        return Number(value + 0.5, end + 3)
    if end + 2 < size and text[end : end + 3] == ["1", "/", "2"] and value < 50:
        return Number(value + 0.5, end + 3)
    if word == "1" and text[at + 1 : at + 3] == ["/", "2"]:
        return Number(0.5, at + 3)
    return Number(value, end)


def _small(words: Words, at: int) -> Number | None:
    """A number word up to ninety-nine."""
    text = words.words
    word = text[at]
    if word in UNITS:
        return Number(UNITS[word], at + 1)
    if word in TENS:
        value = TENS[word]
        if at + 1 < len(text) and words.breaks[at + 1] == NONE and 0 < UNITS.get(text[at + 1], 0) < 10:
            return Number(value + UNITS[text[at + 1]], at + 2)
        return Number(value, at + 1)
    return None


def _hundreds(words: Words, count: float, at: int) -> Number:
    """`count` hundred, read on from the word hundred."""
    text = words.words
    end = at + 1
    rest = end + 1 if end < len(text) and text[end] == "and" else end
    if rest < len(text):
        small = _small(words, rest)
        if small is None and text[rest].isdigit() and len(text[rest]) <= 2:
            small = Number(float(text[rest]), rest + 1)
        if small is not None:
            return Number(count * 100 + small.value, small.end)
    return Number(count * 100, end)


def load_at(words: Words, at: int) -> Number | None:
    """A load as it is spoken: one fifteen is 115, two ten is 210, one oh five is 105."""
    text = words.words
    first = UNITS.get(text[at], 0)
    if not 1 <= first <= 4 or at + 1 >= len(text) or words.breaks[at + 1] != NONE:
        return None
    if text[at + 1] in ("oh", "o") and at + 2 < len(text) and 0 < UNITS.get(text[at + 2], 0) < 10:
        return Number(first * 100 + UNITS[text[at + 2]], at + 3)
    second = _small(words, at + 1)
    if second is not None and second.value >= 10:
        return Number(first * 100 + second.value, second.end)
    return None


def ranges_at(words: Words, at: int) -> list[Number]:
    """The number at a place, and the range that it begins: 8-9, eight to nine, two or three."""
    first = number_at(words, at)
    if first is None:
        return []
    found = [first]
    end = first.end
    if end + 1 < len(words) and words.breaks[end] < SENTENCE and words.words[end] in ("-", "to", "or", "till", "until"):
        second = number_at(words, end + 1)
        if second is not None and words.words[end] == "or" and words.words[second.end : second.end + 1] == ["x"]:
            second = None  # 3x10 or 4x8
        if second is not None and words.breaks[end + 1] == NONE:
            found.append(Number(max(first.value, second.value), second.end, True))
    return found
