"""Shapes: conditions and effects as JSON Schema, by their grammars in conditions.py and effects.py.

The models leave them open, since what may stand in them hangs on the rest of the knowledge; their shape does not.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.conditions import COMPARISONS
from backstay.knowledge.effects import BOUNDS, FACTS, LIMITS, MOST_POINTS, QUANTITIES, SCREENING_ONLY, WHEN

Shape = dict[str, Any]
_TEXT: Shape = {"type": "string"}
_VALUE: Shape = {"type": ["string", "number"]}
_CONDITION: Shape = {"$ref": "#/$defs/condition"}
_TEST: Shape = {"$ref": "#/$defs/test"}
_CONDITIONS: Shape = {"type": "array", "minItems": 1, "items": _CONDITION}


class Offers(NamedTuple):
    """Names that an editor offers, besides which others may stand as well: attributes with their values, qualities."""

    attributes: dict[str, Shape]
    qualities: tuple[str, ...]


def offers(base: Base) -> Offers:
    """Return what there is to offer in a knowledge."""
    attributes: dict[str, Shape] = {}
    for name, one in base.attributes.items():
        values: Shape = {"anyOf": [_TEST, {"enum": list(one.values)}]} if one.values else dict(_TEST)
        attributes[name] = {"description": one.says, **values} if one.says else values
    return Offers(attributes, tuple(sorted({*base.qualities, *base.muscles})))


def shapes(kind: str, offered: Offers) -> dict[str, Shape]:
    """Return the definitions that the schema of a kind of file refers to."""
    return {"condition": _condition(offered), "test": _test(), "effects": _effects(kind, offered)}


def _object(properties: Shape, *required: str) -> Shape:
    return {
        "type": "object",
        "minProperties": 1,
        "additionalProperties": False,
        "properties": properties,
        **({"required": list(required)} if required else {}),
    }


def _map(values: Shape, named: Iterable[str] = ()) -> Shape:
    """A mapping of any names, some of them offered."""
    return {
        "type": "object",
        "minProperties": 1,
        "properties": dict.fromkeys(named, values),
        "additionalProperties": values,
    }


def _some(item: Shape) -> Shape:
    """One of it or a list of them."""
    return {"anyOf": [item, {"type": "array", "items": item}]}


def _whole(low: int, high: int) -> Shape:
    return {"type": "integer", "minimum": low, "maximum": high}


def _condition(offered: Offers) -> Shape:
    some = _object({"at-least": {"type": "integer", "minimum": 1}, "of": _CONDITIONS}, "at-least", "of")
    groups = {"not": _CONDITION, "all-of": _CONDITIONS, "any-of": _CONDITIONS, "some": some}
    tests = {
        "type": "object",
        "minProperties": 1,
        "properties": {**offered.attributes, **groups},
        "additionalProperties": _TEST,
    }
    return {"anyOf": [_CONDITIONS, tests]}


def _test() -> Shape:
    values = {"type": "array", "minItems": 1, "items": _VALUE}
    counts = _object({key: {"type": "integer", "minimum": 0} for key in COMPARISONS})
    asked = {"known": {"type": "boolean"}, "every": values, "count": counts, **dict.fromkeys(COMPARISONS, _VALUE)}
    return {"anyOf": [_VALUE, values, _object(asked)]}


def _effects(kind: str, offered: Offers) -> Shape:
    """What may stand under `then`: in an exercise it is the one meant and concludes nothing; only screening stops."""
    own = kind == "exercises"
    properties: Shape = {"type": "object", "minProperties": 1}
    any_of = {"type": "array", "minItems": 1, "items": properties}
    selector: Shape = {"anyOf": [{"const": "everything"}, properties, any_of]}
    chosen: Shape = {} if own else {"for": selector}
    bounds = _object({key: {"type": ["number", "string"]} for key in BOUNDS})
    reference = {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": _TEXT}
    points = {name: _whole(1, most) for name, most in MOST_POINTS.items()}
    each = _object({"each": _TEXT, "points": points["need"]}, "each", "points")
    found: Shape = {
        "need": {"if": {"required": ["each"]}, "then": each, "else": _map(points["need"], offered.qualities)},
        "forbid": {"const": True} if own else _some(selector),
        "dose": _some(_object({**chosen, "use": _TEXT, **dict.fromkeys(QUANTITIES, bounds)})),
        **dict.fromkeys(("notice", "tell", "ask"), _some(_TEXT)),
        "side-first": _object({**chosen, "side": {"anyOf": [{"enum": ["left", "right"]}, reference]}}, "side"),
        "limit": _object(dict.fromkeys(LIMITS, _object({"at-most": {"anyOf": [_VALUE, reference]}}, "at-most"))),
        "days": _some(_object({**chosen, "on": _some(_whole(1, 7)), "of": _whole(1, 7)}, "on", "of")),
        "spacing": _some(_object({**chosen, "hours": _whole(1, 240), "before": _TEXT}, "hours")),
        "times-a-week": _some(_object({**chosen, "at-most": _whole(0, 7)}, "at-most")),
    }
    for name in ("favour", "avoid"):
        found[name] = points[name] if own else _some(_object({**chosen, "points": points[name]}, "points"))
    if not own:
        found.update(dict.fromkeys(FACTS, _map(_some(_VALUE), offered.attributes)))
    if kind == "screening":
        found.update(
            {name: {"const": True} if name not in WHEN else {"enum": list(WHEN[name])} for name in SCREENING_ONLY}
        )
    return _object(found)
