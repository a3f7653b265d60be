"""Runs: names of things or exercises that follow one another, with only fillers, commas and figures between."""

from __future__ import annotations

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention
from backstay.language.scope import DENIED

FILLERS = frozenset({
    "a", "an", "the", "my", "our", "one", "two", "three", "four", "five", "some", "any", "those", "these", "and",
    "or", "nor", "plus", "also", "up", "to", "of", "from", "with", "few", "couple", "pair", "set", "light", "heavy",
    "big", "small", "old", "own", "good", "single", "proper", "normal", "adjustable", "kg", "kgs", "kilo", "kilos",
    "lb", "lbs", "maybe", "like", "even", "little", "kind", "sort", "is", "are", "it", "there", "in", "either",
    "real", "decent", "other", "no", "both", "ones", "on", "oh", "um", "uh", "er", "erm", "then",
})  # fmt: skip
ARTICLES = frozenset({"a", "an", "one", "some", "my", "our", "two", "three", "those", "these", "the", "of"})
MOST_ADJECTIVES = 4
CLOSING = frozenset({"no", "none", "yes", "yep", "yeah"})


class Run:
    """Names that follow one another."""

    __slots__ = ("denied", "end", "named", "start")

    def __init__(self, first: Mention) -> None:
        self.start = first.start
        self.end = first.end
        self.named = [first]
        self.denied = bool(first.scope & DENIED)


def _both_moves(one: Mention, other: Mention) -> bool:
    return bool(one.value("exercise") and other.value("exercise"))


def _opens_anew(draft: Draft, start: int, end: int) -> bool:
    """Whether a word for what is missing or refused opens another list: chin ups, there is no pull-up bar."""
    return any(
        one.name in ("lacks", "refuses") and one.extra[1] == "forward" and start <= one.start and one.end == end
        for one in draft.scene.triggers
    )


def _stands_apart(draft: Draft, last: Run, one: Mention) -> bool:
    """Whether a name has a verb of its own behind what is missing: lost its reverse hyper, the bench is still here."""
    words = draft.scene.words
    return words.words[one.end : one.end + 1] in (["is"], ["are"]) and any(
        trigger.name == "lacks" and trigger.extra[1] == "forward" and 0 <= last.start - trigger.end <= 3
        for trigger in draft.scene.triggers
    )


def _ends_no(words: Words, at: int) -> bool:
    """Whether a name is closed by a no: `bench no, rack no`."""
    return at < len(words) and words.words[at] in CLOSING and words.breaks[at] == NONE and words.breaks[at + 1] != NONE


def kitlike(draft: Draft, one: Mention) -> bool:
    """Whether a name is that of a thing, or of an exercise that goes by the name of its machine."""
    return bool(one.value("equipment")) or machine_of(draft, one.value("exercise")) is not None


def machine_of(draft: Draft, exercise: str) -> str | None:
    """The machine that goes by the same name as the exercise: `we have no reverse hyper`."""
    known = draft.attributes.get("has")
    for value in getattr(known, "values", ()) or ():
        if value.startswith(exercise + "-"):
            return str(value)
    return None


def inside_other(one: Mention, mentions: list[Mention]) -> bool:
    """Whether the words say a record or a test, not a thing for itself."""
    return any(
        other.start <= one.start and one.end <= other.end and other.end - other.start > one.end - one.start
        for other in mentions
        if other.kind == "phrase" and any(name.startswith("test.") for name, _ in other.says)
    )


def runs(draft: Draft, named: list[Mention]) -> list[Run]:
    """The runs that the names make, by place."""
    words = draft.scene.words
    found: list[Run] = []
    for one in sorted(named, key=lambda one: (one.start, one.end)):
        last = found[-1] if found else None
        if last is not None and one.start < last.end:
            last.named.append(one)
            continue
        if (
            last is not None
            and one.start - last.end <= 6
            and bool(one.scope & DENIED) == last.denied
            and (kitlike(draft, one) == kitlike(draft, last.named[0]) or _both_moves(one, last.named[-1]))
            and not _stands_apart(draft, last, one)
            and not _opens_anew(draft, last.end, one.start)
            and not (_ends_no(words, one.end) or _ends_no(words, last.end))
            and _one_list(draft, last.end, one.start)
            and all(words.breaks[at] != SENTENCE for at in range(last.end, one.start + 1))
        ):
            last.named.append(one)
            last.end = one.end
        else:
            found.append(Run(one))
    return found


def _one_list(draft: Draft, start: int, end: int) -> bool:
    """Whether nothing but fillers stands between two names, or what a thing is like behind its article."""
    text = draft.scene.words.words
    free = 0  # words left that an article allows
    for at in range(start, end):
        if text[at] in FILLERS or text[at][0].isdigit():
            free = MOST_ADJECTIVES if text[at] in ARTICLES else free
        elif free and not _speaks(draft, at):
            free -= 1
        else:
            return False
    return True


def _speaks(draft: Draft, at: int) -> bool:
    """Whether something else is said or framed at a place."""
    scene = draft.scene
    return any(one.start <= at < one.end for one in scene.triggers) or any(
        one.kind == "phrase" and one.says and one.start <= at < one.end for one in scene.mentions
    )
