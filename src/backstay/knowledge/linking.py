"""Linking: rules of rules/ and screening/ made ready to run, with every name in them followed.

Rules that are drafts are checked and left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from backstay.knowledge.base import Node, ParsedRule, RuleInfo
from backstay.knowledge.conditions import ALWAYS, condition
from backstay.knowledge.effects import Effects, Then
from backstay.knowledge.format import RuleEntry
from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.names import Names
from backstay.knowledge.problems import nearest
from backstay.knowledge.reading import Cursor, Marks


class Rule(NamedTuple):
    """One rule in both its clothes: as it is run, and as it is shown."""

    parsed: ParsedRule
    info: RuleInfo


def rule(
    id_: str,
    cursor: Cursor,
    room: str,
    then: Then,
    because: str,
    sources: tuple[str, ...],
    when: Node = ALWAYS,
    unless: Node | None = None,
    over: tuple[str, ...] = (),
) -> Rule:
    """A rule from its parts."""
    place = (cursor.file, cursor.marks.line, cursor.marks.column)
    parsed = ParsedRule(id_, when, unless, then.concludes, then.assumes, then.effects, place)
    return Rule(parsed, RuleInfo(id_, because, sources, over, room, place, then.effects))


def written_rules(gathered: Gathered, names: Names, effects: Effects) -> list[Rule]:
    """The rules of rules/ and screening/. `over` is left unchecked until all rules are known: see `check_over`."""
    rules = []
    for item in gathered.of("rule"):
        made = _written(item, names, effects)
        if made is not None:
            rules.append(made)
    said = {(note.file, note.line, note.column) for note in gathered.notes}
    for cursor, kind in gathered.refused:
        _look_over(cursor, kind == "screening", names, effects, said)
    return rules


def _look_over(
    cursor: Cursor, screening: bool, names: Names, effects: Effects, said: set[tuple[str, int, int]]
) -> None:
    """Note what else is wrong with a rule that is refused already, in those of its parts of which nothing is said."""
    for key in ("when", "unless", "then", "source"):
        if not cursor.has(key):
            continue
        places = (cursor.marks.keys[key], *_places(cursor.marks.below[key]))
        if any((cursor.file, *place) in said for place in places):
            continue
        if key == "then":
            effects.then(cursor.at(key), screening=screening)
        elif key == "source":
            sources_of(cursor, key, names)
        else:
            condition(cursor.at(key), names)


def _places(marks: Marks) -> Iterator[tuple[int, int]]:
    """Every place in a value."""
    yield marks.line, marks.column
    yield from marks.keys.values()
    for below in marks.below.values():
        yield from _places(below)


def _written(item: Item, names: Names, effects: Effects) -> Rule | None:
    model: RuleEntry = item.model
    cursor, notes = item.cursor, item.cursor.notes
    before = len(notes)
    when, unless = conditions_of(cursor, names)
    then = effects.then(cursor.at("then"), screening=item.kind == "screening")
    sources = sources_of(cursor, "source", names)
    unread = (model.when is not None and when is None) or (model.unless is not None and unless is None)
    if unread or any(note.severity == "error" for note in notes[before:]) or model.status == "draft":
        return None
    return rule(model.rule, cursor, item.kind, then, model.because, sources, when or ALWAYS, unless, tuple(model.over))


def conditions_of(cursor: Cursor, names: Names) -> tuple[Node | None, Node | None]:
    """`when` and `unless` of an entry, None where they are absent or wrong."""
    when = condition(cursor.at("when"), names) if cursor.has("when") else None
    unless = condition(cursor.at("unless"), names) if cursor.has("unless") else None
    return when, unless


def sources_of(cursor: Cursor, key: str, names: Names) -> tuple[str, ...]:
    """The sources an entry names, each checked."""
    if not cursor.has(key):
        return ()
    return tuple(item.value for item in cursor.at(key).items() if names.check("source", item.value, item))


def check_over(gathered: Gathered, rules: dict[str, Rule], unsure: bool) -> None:
    """`over` names rules that exist and are not of the screening, and goes round in no circle."""
    written = gathered.items.get("rule", {})
    edges: dict[str, tuple[str, ...]] = {}
    for item in gathered.of("rule"):
        if not item.model.over:
            continue
        edges[item.id] = tuple(item.model.over)
        for name in item.cursor.at("over").items():
            other = written.get(name.value)
            known = name.value in rules or other is not None or name.value in gathered.broken.get("rule", ())
            if not known and not unsure:
                name.error("unknown-rule", f"there is no rule `{name.value}`.", nearest(str(name.value), rules))
            elif other is not None and (other.kind == "screening" or other.shielded):
                what = f"`{name.value}` is a rule of the screening or of pain."
                name.error("over-screening", what, "Nothing stands over these.")
            elif "/caution-" in str(name.value):
                name.error("over-caution", f"`{name.value}` is a caution.", "Nothing stands over a caution.")
            elif name.value == item.id:
                name.error("over-itself", "a rule cannot stand over itself.", "Take it away.")
    for start in sorted(edges):
        circle = _circle(start, edges)
        if circle and start == min(circle):
            steps = " over ".join(f"`{name}`" for name in (*circle, start))
            written[start].cursor.at("over").error(
                "over-circle", f"the rules stand over each other: {steps}.", "Take one away."
            )


def _circle(start: str, edges: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The way from a rule back to itself, or nothing."""
    ways: list[tuple[str, ...]] = [(start,)]
    seen: set[str] = set()
    while ways:
        way = ways.pop()
        for after in edges.get(way[-1], ()):
            if after == start:
                return way if len(way) > 1 else ()
            if after not in seen:
                seen.add(after)
                ways.append((*way, after))
    return ()
