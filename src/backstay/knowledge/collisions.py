"""Collisions: the same words said to mean different facts in two places.

The compiled net is walked once: where two phrases or names end at the same node, one run of words reaches both. They
collide if they give one attribute values of which neither holds all of the other's: an error, since only chance would
decide. A phrase of a folder laid over that means anything else than what the words meant already is a warning.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from backstay.knowledge.forms import form_tree
from backstay.knowledge.gathering import Item
from backstay.knowledge.net import Net
from backstay.knowledge.problems import WARNING
from backstay.knowledge.reading import Cursor

MOST = 3  # collisions of one phrase that are told
LOOKED_AT = 100  # phrases with the same words
NAMED = ("exercise", "equipment", "muscle")
Says = tuple[tuple[str, Any, str], ...]


class Collision(NamedTuple):
    """Two rows of the automaton that end with the same words, and the attribute they differ in."""

    earlier: int
    later: int
    words: tuple[str, ...]  # a way to both: words, and slots in braces
    attribute: str  # "" where they merely mean different things


def collisions(data: Mapping[str, Any], packed: memoryview, rows: Sequence[Says | None]) -> Iterator[Collision]:
    """Rows that share words with an earlier one, at most MOST of one row; rows of None collide with nothing."""
    found: set[tuple[int, int]] = set()
    counts: dict[int, int] = {}
    for words, ending in _ends(data, packed):
        meeting = [row for row in ending if rows[row] is not None]
        for place, later in enumerate(meeting):
            for earlier in meeting[: min(place, LOOKED_AT)]:
                if counts.get(later, 0) >= MOST or (earlier, later) in found:
                    continue
                if set(rows[earlier] or ()) != set(rows[later] or ()):
                    found.add((earlier, later))
                    counts[later] = counts.get(later, 0) + 1
                    yield Collision(earlier, later, words, _differing(rows[earlier] or (), rows[later] or ()))


def _differing(earlier: Says, later: Says) -> str:
    for attribute in dict.fromkeys(name for name, _, _ in earlier):
        one = {str(value) for name, value, _ in earlier if name == attribute}
        other = {str(value) for name, value, _ in later if name == attribute}
        if other and not one <= other and not other <= one:
            return attribute
    return ""


def _ends(data: Mapping[str, Any], packed: memoryview) -> Iterator[tuple[tuple[str, ...], tuple[int, ...]]]:
    """Nodes where more than one entry ends, with the shortest way there."""
    waiting: list[tuple[int, tuple[str, ...]]] = []
    for place in data["first"].values():
        waiting += [(node, (word,)) for word, node in marshal.loads(packed[place:]).items()]
    waiting += [(node, (f"{{{slot}}}",)) for slot, node in data["slots"].items()]
    seen = set()
    for place, words in waiting:  # grows while it is walked
        if place in seen:
            continue
        seen.add(place)
        node = marshal.loads(packed[place:])
        if len(node.get("", ())) > 1:
            yield words, node[""]
        for label, to in node.items():
            if label == "{":
                waiting += [(below, (*words, f"{{{slot}}}")) for slot, below in to.items()]
            elif label == "~":
                waiting += [(below, (*words, f"{{gap {most}}}")) for most, below in to]
            elif label:
                waiting.append((to, (*words, label)))


def check_collisions(items: Sequence[Item], named: Sequence[Item], data: Mapping[str, Any]) -> None:
    """Note collisions of phrases, and of the names of exercises, equipment and muscles; and hints named as others.

    `items` and `named` in the order in which the automaton was made of them.
    """
    packed = memoryview(data["packed"])
    rows = [item for item in items if item.head not in ("together", "lean", "tendency")] + list(named)
    says = [_says(packed, place, item) for place, item in zip(data["entries"], rows, strict=False)]
    says += [None] * (len(data["entries"]) - len(says))  # ideas made of the members of togethers
    for found in collisions(data, packed, says):
        _note(rows[found.earlier], rows[found.later], found)
    others = {_name(item): item for item in items if item.head in ("idea", "phrase", "together")}
    for item in items:
        other = others.get(_name(item)) if item.head == "hint" else None
        if other is not None:
            what = f"`{_name(item)}` is the name of a {other.head} too, at {other.cursor.place}."
            item.cursor.at("hint").error("same-name", what, "Leans could not tell them apart; give it another name.")


def _says(packed: memoryview, place: int, item: Item) -> Says | None:
    if item.head not in ("phrase", *NAMED):
        return None
    says: Says = marshal.loads(packed[place:])[2]
    return says


def _name(item: Item) -> str:
    return item.id.partition("@")[0]


def _note(earlier: Item, later: Item, found: Collision) -> None:
    if (later.layer, later.head not in NAMED) < (earlier.layer, earlier.head not in NAMED):
        earlier, later = later, earlier  # a phrase is easier to change than a name
    words = " ".join(found.words)
    other = f"{earlier.head} `{_name(earlier)}` ({earlier.cursor.place})"
    if found.attribute:
        what = f"`{words}` says another value of `{found.attribute}` in the {other}."
        follow = "Let the words say one thing, or say both in one phrase."
        _place(later, found.words).error("phrases-collide", what, follow)
    elif later.layer > earlier.layer:
        what = f"`{words}` means something else already, in the {other}."
        _place(later, found.words).error(
            "phrase-taken", what, "Both will be heard; choose other words if not.", WARNING
        )


def _place(item: Item, words: Sequence[str]) -> Cursor:
    """The form that holds these words, or the entry."""
    forms = item.cursor.at("forms").items() if item.cursor.has("forms") else iter(())
    return next((form for form in forms if _leads(str(form.value), words)), item.cursor)


def _leads(form: str, words: Sequence[str]) -> bool:
    net = Net({})
    net.add(form_tree(form), 0)
    points = {0}
    for word in words:
        steps = [net.steps[point] for point in points]
        points = {to for step in steps for label, ways in step.items() if _written(label) == word for to in ways}
    return any(net.ends[point] for point in points)


def _written(label: Any) -> str:
    if isinstance(label, str):
        return label
    return {"{": f"{{{label[-1]}}}", "~": f"{{gap {label[-1]}}}"}.get(label[0], ",")
