"""One fact: an attribute, one value of it, and the words that said it."""

from typing import NamedTuple


class Fact(NamedTuple):
    """What is held true: `attribute` has `value`; `words` are the asker's own, where they were said."""

    attribute: str
    value: str | float
    words: str = ""
