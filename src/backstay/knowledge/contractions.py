"""Contractions: words with an apostrophe taken apart, the same way in forms and in messages."""

from __future__ import annotations

_TAKES_IS = frozenset({
    "it", "he", "she", "that", "this", "there", "here", "what", "where", "when", "who", "how", "why", "everything",
    "nothing", "something", "one", "which",
})  # fmt: skip


def opened(word: str) -> tuple[str, ...]:
    """A word with an apostrophe taken apart: don't is do, not; a possessive loses its ending."""
    if "'" not in word:
        return (word,)
    for whole, parts in (("can't", ("can", "not")), ("won't", ("will", "not")), ("shan't", ("shall", "not"))):
        if word == whole:
            return parts
    if word == "ain't":
        return ("is", "not")
    if len(word) > 3 and word.endswith("n't"):
        return (word[:-3], "not")
    head, _, tail = word.partition("'")
    full = {"ve": "have", "re": "are", "m": "am", "ll": "will", "d": "would"}.get(tail)
    if full:
        return (head, full)
    if tail == "s" and head in _TAKES_IS:
        return (head, "is")
    return (head,) if tail in ("s", "") else (head + tail,)
