"""Protected words: what phrases, questions and lists of an overlay may not do to the screening.

Matching sees to it that words of an overlay silence nothing that screening looks at (language/matching.py, law 3). What
is left is refused here:

    triggers            what is denied, past or somebody else's is decided by the built-in ones alone
    borrowed names      an idea or phrase named as a slot of built-in entries would speak for it
    facts that hinder   phrases that say what keeps a screening rule from firing, or push out what makes it fire
    marks               who is meant, and whether something is over
    exceptions          facts that built-in togethers take as a reason to be silent
    questions           that ask what the screening asks
    words/              slips and common words change what all other words are heard as
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from backstay.knowledge.base import Attribute
from backstay.knowledge.gathering import PHRASES, Gathered, Item
from backstay.knowledge.protection import Ground
from backstay.knowledge.slots import SAFETY, TOOLS

WHO = frozenset({"about", "person", "state", "frame", "sexes"})
"""Marks that decide whose words these are, and of when."""

_SLOT = re.compile(r"\{([^{}]+)\}")


def check_words(gathered: Gathered, ground: Ground, attributes: dict[str, Attribute]) -> None:
    """Note what entries of overlays do to what is heard."""
    own = [item for head in PHRASES for item in gathered.of(head) if item.layer == 0]
    own += [old for old, _ in gathered.replaced if old.head in PHRASES and old.layer == 0]
    slots, exceptions = _slots(own), _exceptions(own, ground)
    for head in (*PHRASES, "question"):
        for item in gathered.of(head):
            if item.layer == 0:
                continue
            if head == "trigger":
                what = "a trigger decides which words are heard as said here and now."
                item.cursor.at("trigger").error("shielded", what, "Write a phrase, or an idea of your own.")
            elif head == "question":
                _question(item, ground)
            elif head not in ("lean", "hint"):
                _named(item, slots)
                _says(item, ground, attributes, exceptions)


def _name(item: Item) -> str:
    return item.id.partition("@")[0]


def _slots(items: Iterable[Item]) -> set[str]:
    """Every slot that a built-in entry is made of, and the names of its ideas and togethers."""
    found: set[str] = set()
    for item in items:
        if item.head in ("idea", "together"):
            found.add(_name(item))
        for key in ("forms", "of", "unless"):
            for form in getattr(item.model, key, ()):
                found.update(slot.strip() for part in _SLOT.findall(form) for slot in part.split("|"))
    return found


def _exceptions(items: Iterable[Item], ground: Ground) -> set[str]:
    """The slots that keep a built-in together silent which says something that screening looks at."""
    looked_at = {name.partition(".")[0] for name in ground.attribute_names()} | SAFETY
    found: set[str] = set()
    for item in items:
        if item.head == "together" and looked_at & {name.partition(".")[0] for name in item.model.says}:
            found.update(slot for member in item.model.unless for slot in _SLOT.findall(member))
    return found - TOOLS


def _question(item: Item, ground: Ground) -> None:
    name = item.model.asks
    if name in ground.attribute_names():
        what = f"the screening looks at `{name}`, and asks for it in its own words."
        item.cursor.at("asks").error("shielded", what, "Ask for something else.")


def _named(item: Item, slots: set[str]) -> None:
    if _name(item) in slots or ": " in _name(item):
        what = f"`{_name(item)}` is a name that built-in phrases are made of."
        item.cursor.at(item.head).error("shielded", what, "Give it a name of its own.")


def _atoms(item: Item) -> Iterator[tuple[str, str | float, str]]:
    """(attribute, value, key) of all that an entry says."""
    for key, values in item.model.says.items():
        for value in values if isinstance(values, list) else [values]:
            yield key.partition(".")[0] if "{" in key else key, value, key


def _says(item: Item, ground: Ground, attributes: dict[str, Attribute], exceptions: set[str]) -> None:
    for name, value, key in _atoms(item):
        why = ""
        if name in WHO:
            why = f"`{name}` decides whose words are heard."
        elif value == "absent":
            why = f"`{value}` takes back all that is said by the same words."
        elif {name, f"{name}={value}"} & exceptions:
            why = f"`{name}: {value}` keeps a sign from being heard."
        elif _hinders(name, value, ground, attributes):
            why = f"to say `{name}: {value}` can keep a screening rule from firing."
        if why:
            item.cursor.at("says").key_error(key, "screening-weakened", why, "Say something else, or leave it out.")


def _hinders(name: str, value: str | float, ground: Ground, attributes: dict[str, Attribute]) -> bool:
    attribute = attributes.get(name)
    if attribute is None or name not in ground.attribute_names():
        return False
    if attribute.kind == "number":
        return True  # a second figure can push out the first
    if attribute.kind == "one":
        leads = attribute.cautious[:1] == (value,)
        return not leads and ((name, value) not in ground.helping or (name, value) in ground.hindering)
    # What helps by its own name may be said; what only helps as any value of its attribute still hinders by its name.
    if (name, value) in ground.helping:
        return False
    return (name, value) in ground.hindering or ((name, None) in ground.hindering - ground.helping)
