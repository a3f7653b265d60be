"""What was understood, as the machine face shows it: facts under the headings and in the shapes of the vocabulary."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

RED_FLAG = "red-flag"


def understood(
    want: str,
    said: Sequence[Any],
    records: Sequence[Any],
    derived: Iterable[tuple[str, Any]],
    unknown: Sequence[str],
    attributes: Mapping[str, Any],
) -> dict[str, Any]:
    """Put facts said, records said and facts derived under their headings."""
    headings: dict[str, dict[str, Any]] = {"facts": {}, "more": {}, "derived": {}}
    for fact in said:
        _put(headings[heading(fact.attribute, attributes)], fact.attribute, fact.value, attributes)
    for record in records:
        headings[heading(record.attribute, attributes)].setdefault(record.attribute, []).append(dict(record.value))
    for attribute, value in derived:
        _put(headings["derived"], attribute, value, attributes)
    for facts in headings.values():
        for attribute, value in facts.items():
            if isinstance(value, list) and not any(isinstance(one, dict) for one in value):
                value.sort()
            elif isinstance(value, dict):
                facts[attribute] = dict(sorted(value.items()))
    return {
        "want": want,
        **{name: dict(sorted(facts.items())) for name, facts in headings.items()},
        "unknown_words": list(unknown),
    }


def heading(attribute: str, attributes: Mapping[str, Any]) -> str:
    """Under which heading a fact that was said stands."""
    kind = attributes.get(attribute.partition(".")[0])
    return "facts" if kind is not None and kind.shown == "facts" else "more"


def _put(facts: dict[str, Any], attribute: str, value: Any, attributes: Mapping[str, Any]) -> None:
    whole, _, key = attribute.partition(".")
    kind = attributes.get(whole)
    if key:
        inner = facts.setdefault(whole, {})
        if key not in inner or (kind is not None and kind.kind == "map" and not kind.values):
            inner[key] = value
        else:  # one value stands as itself, several as a list
            there = inner[key] if isinstance(inner[key], list) else [inner[key]]
            if value not in there:
                inner[key] = sorted([*there, value], key=str)
    elif kind is not None and kind.kind == "many":
        values = facts.setdefault(whole, [])
        if value not in values:
            values.append(value)
    else:
        facts[whole] = value
