"""Options of a command line, read by a table.

The standard readers cost more time to import than a whole answer takes to make; this reads the little that is needed:
`--name`, `--name value`, `--name=value`, `--` before words that begin with a dash. The same table makes the help pages.
"""

from __future__ import annotations

from collections.abc import Sequence


class Option:
    """One option: its name, and what kind of value follows (nothing: it is a switch)."""

    __slots__ = ("name", "value")

    def __init__(self, name: str, value: str = "") -> None:
        self.name = name
        self.value = value  # the kind of value, as the help writes it


class CallError(Exception):
    """A call that makes no sense: a message of the knowledge and what fills its places."""

    def __init__(self, message: str, **values: object) -> None:
        super().__init__(message, values)
        self.message = message
        self.values = values


class Call:
    """A call as it was read."""

    __slots__ = ("values", "words")

    def __init__(self, words: tuple[str, ...], values: dict[str, list[str]]) -> None:
        self.words = words
        self.values = values

    def on(self, name: str) -> bool:
        """Whether an option was given."""
        return name in self.values

    def value(self, name: str) -> str | None:
        """The last value given to an option."""
        given = self.values.get(name)
        return given[-1] if given else None

    def all(self, name: str) -> list[str]:
        """All values given to an option."""
        return self.values.get(name, [])


def read(arguments: Sequence[str], options: Sequence[Option]) -> Call:
    """Read a call; raises CallError with what is wrong and what was probably meant."""
    known = {option.name: option for option in options}
    words: list[str] = []
    values: dict[str, list[str]] = {}
    rest = list(arguments)
    while rest:
        word = rest.pop(0)
        if word == "--":
            words += rest
            break
        # A message may begin with a dash ("- 3x10 bird dogs"); an option never holds a space before its value.
        name, equals, value = word[2:].partition("=")
        if not word.startswith("-") or word == "-" or any(letter.isspace() for letter in word.partition("=")[0]):
            words.append(word)
            continue
        if word in ("-h", "-?"):
            name = "help"
        option = known.get(name) if word.startswith("--") or name == "help" else None
        if option is None:
            raise CallError("call-unknown-option", option=word.partition("=")[0], near=nearest(name, known))
        if not option.value:
            if equals:
                raise CallError("call-needless-value", option="--" + name, value=value)
            values[name] = []
            continue
        if not equals:
            if not rest:
                raise CallError("call-missing-value", option="--" + name, value=option.value)
            value = rest.pop(0)
        values.setdefault(name, []).append(value)
    return Call(tuple(words), values)


def nearest(word: str, known: Sequence[str] | dict[str, Option]) -> str:
    """Return the known name that a word was probably meant to be, or nothing."""
    from difflib import get_close_matches  # only when something is wrong

    near = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return near[0] if near else ""
