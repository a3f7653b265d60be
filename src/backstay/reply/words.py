"""How values become words: messages filled in, lists joined, figures and names written as people write them.

Every sentence and every joining word comes from the messages of the knowledge; only figures are made here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

# Control characters and terminal escapes: never passed on, whoever typed them.
_ESCAPE = r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|[@-Z\\-_])"
_CONTROL = r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff\ud800-\udfff]"


def harmless(text: str) -> str:
    """Return text without terminal escapes, control characters, direction marks and lone surrogates."""
    if text.isprintable():
        return text
    return re.sub(_CONTROL, "", re.sub(_ESCAPE, "", text))


class Words:
    """The messages of one base, and the names of its values."""

    __slots__ = ("_base", "_messages")

    def __init__(self, base: Any) -> None:
        self._base = base
        self._messages: Mapping[str, str] = base.messages

    def has(self, message: str) -> bool:
        """Whether there is such a message."""
        return message in self._messages

    def say(self, message: str, /, **values: object) -> str:
        """Return a message with its places filled; names are written with underscores for hyphens."""

        head, *places = self._messages[message].strip().split("{")
        filled = [head]
        for place in places:
            name, _, rest = place.partition("}")
            filled += harmless(str(values[name.replace("-", "_")])), rest
        return "".join(filled)

    def join(self, items: Iterable[str], last: str = "list-and") -> str:
        """Join words as a person does: "a, b and c"."""
        words = list(items)
        if len(words) < 2:
            return "".join(words)
        return self.say(last, first=", ".join(words[:-1]), last=words[-1])

    def span(self, pair: Sequence[float] | float | None) -> str:
        """Write a low and a high figure, "17 to 30", or the one figure that both are."""
        if pair is None:
            return ""
        if isinstance(pair, (int, float)):
            return figure(pair)
        low, high = pair[0], pair[-1]
        return figure(low) if low == high else self.say("span", low=figure(low), high=figure(high))

    def count(self, what: str, number: float | None) -> str:
        """Write how many of something: "1 set", "3 sets"."""
        shown = figure(number or 0)
        return self.say(f"{what}-one" if shown == "1" else f"{what}-many", count=shown)

    def exercise(self, exercise: str) -> str:
        """Return the shown name of an exercise, as it stands inside a sentence."""
        known = self._base.exercises.get(exercise)
        return lowered(str(known.name)) if known is not None else plain(exercise)

    def value(self, attribute: str, value: Any) -> str:
        """Return the words for one value of an attribute."""
        if isinstance(value, bool):
            return self.say("yes" if value else "no")
        if isinstance(value, (int, float)):
            return figure(value)
        if isinstance(value, (list, tuple)):
            return self.join(self.value(attribute, one) for one in value)
        message = f"value-{attribute}-{value}"
        if message in self._messages:
            return self.say(message)
        for kind in (self._base.exercises, self._base.equipment, self._base.muscles, self._base.phases):
            if value in kind:
                return lowered(str(kind[value].name))
        return plain(str(value))

    def answer(self, attribute: str, value: Any) -> str:
        """Return the words with which a question is answered: they are understood when they are typed back."""
        message = f"answer-{attribute}-{value}"
        return self.say(message) if message in self._messages else self.value(attribute, value)

    def question(self, question: str, answers: Sequence[str], figures: bool) -> str:
        """Return a question with what it may be answered with; not to be sure is always an answer."""
        if not answers:
            return question
        offered = self.join((*answers, self.say("not-sure")), "list-or")
        return self.say("question-figures" if figures else "question-words", question=question, answers=offered)

    def names_assumption(self, attribute: str, value: Any) -> bool:
        """Whether there are words for this as something that was taken for granted."""
        whole = attribute.partition(".")[0]
        return f"fact-{whole}" in self._messages or f"fact-{whole}-{value}" in self._messages

    def fact(self, attribute: str, value: Any) -> str:
        """Return one fact as a short run of words, such as "5 weeks to the meet"."""
        whole, _, key = attribute.partition(".")
        shown = self.value(whole, value)
        exact = f"fact-{whole}-{value}"
        if exact in self._messages:
            return self.say(exact)
        if f"fact-{whole}" in self._messages:
            return self.say(f"fact-{whole}", value=shown, key=self.value("lift", key))
        name = f"{plain(whole)}, {self.value('lift', key)}" if key else plain(whole)
        return self.say("fact-any", name=name, value=shown)


def figure(number: float) -> str:
    """Write a number without a needless decimal."""
    rounded = round(float(number), 1)
    return str(int(rounded)) if rounded == int(rounded) else str(rounded)


def plain(name: str) -> str:
    """Write an id as words."""
    return name.replace("-", " ")


def lowered(name: str) -> str:
    """Put the first letter of a name small, unless it is an abbreviation or a name of a country or person."""
    first = name.partition(" ")[0]
    small = first == "A" or (first[1:2].islower() and first not in _PROPER)
    return name[:1].lower() + name[1:] if small else name


def capital(text: str) -> str:
    """Put the first letter large."""
    return text[:1].upper() + text[1:]


_PROPER = frozenset({"Romanian", "Copenhagen", "Russian", "Turkish", "Nordic", "Swiss"})
