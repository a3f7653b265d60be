"""Conditions: from YAML to trees. The grammar stands in format.py, the shape of the trees in base.py.

A condition that cannot be read is noted and gives None; what stands beside it is read all the same.
"""

from __future__ import annotations

from collections.abc import Callable

from backstay.knowledge.base import Attribute, Node
from backstay.knowledge.figures import FigureError, figure
from backstay.knowledge.names import Names
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor
from backstay.knowledge.rooms import impossible

COMPARISONS = ("at-least", "at-most", "above", "below")
GROUPS = ("not", "some", "all-of", "any-of")
ALWAYS: Node = ("all", ())


def condition(cursor: Cursor, names: Names) -> Node | None:
    """A whole condition: a mapping of tests or a list of conditions."""
    value = cursor.value
    if isinstance(value, list):
        if not value:
            cursor.error(
                "empty-condition", "a condition without anything in it.", "Write a test, or take the key away."
            )
            return None
        return _group("any", [condition(item, names) for item in cursor.items()])
    if not isinstance(value, dict):
        cursor.error(
            "not-a-condition", "a condition is a mapping of tests, or a list of such.", "As in {pain: present}."
        )
        return None
    if not value:
        cursor.error("empty-condition", "a condition without anything in it.", "Write a test, or take the key away.")
        return None
    return _group("all", [_part(cursor, key, names) for key in value])


def _group(kind: str, nodes: list[Node | None]) -> Node | None:
    whole = [node for node in nodes if node is not None]
    if len(whole) < len(nodes):
        return None
    return whole[0] if len(whole) == 1 else (kind, tuple(whole))


def _part(cursor: Cursor, key: str, names: Names) -> Node | None:
    below = cursor.at(key)
    if key not in GROUPS:
        return _test(cursor, key, names)
    if key == "not":
        inner = condition(below, names)
        return None if inner is None else ("not", inner)
    if key == "some":
        return some(below, lambda item: condition(item, names))
    if not isinstance(below.value, list) or not below.value:
        below.error("not-a-list", f"`{key}` takes a list of conditions.")
        return None
    return _group("all" if key == "all-of" else "any", [condition(item, names) for item in below.items()])


def some(cursor: Cursor, read: Callable[[Cursor], Node | None]) -> Node | None:
    """`some: {at-least: n, of: [conditions]}`; `read` reads one of them."""
    value = cursor.value
    if not isinstance(value, dict) or set(value) != {"at-least", "of"}:
        cursor.error("bad-some", "`some` takes `at-least: n` and `of: [conditions]`.")
        return None
    of, least = cursor.at("of"), value["at-least"]
    if not isinstance(of.value, list) or not of.value:
        of.error("not-a-list", "`of` takes a list of conditions.")
        return None
    if not isinstance(least, int) or isinstance(least, bool) or not 1 <= least <= len(of.value):
        cursor.at("at-least").error("out-of-bounds", f"`at-least` is a whole number from 1 to {len(of.value)} here.")
        return None
    nodes = [read(item) for item in of.items()]
    whole = tuple(node for node in nodes if node is not None)
    return ("some", least, whole) if len(whole) == len(nodes) else None


def _test(cursor: Cursor, key: str, names: Names) -> Node | None:
    attribute = names.attribute(key, cursor, key)
    below = cursor.at(key)
    if attribute is None:
        return None
    if attribute.kind in ("map", "records"):
        return _known_parts(below, attribute, names)
    if isinstance(below.value, dict):
        return _mapped_test(below, attribute)
    return _values("any", below, attribute)


def _known_parts(cursor: Cursor, attribute: Attribute, names: Names) -> Node | None:
    value = cursor.value
    if not isinstance(value, dict) or set(value) != {"known"} or not isinstance(value["known"], bool):
        parts = sorted(name for name, other in names.attributes.items() if other.of == attribute.name)
        follow = f"Name the part: {listing(parts, 6)}."
        cursor.error("part-missing", f"`{attribute.name}` as a whole can only be tested for `known`.", follow)
        return None
    parts = [name for name, other in names.attributes.items() if other.of == attribute.name]
    node: Node = ("any", tuple(("known", name) for name in parts))
    return node if value["known"] else ("not", node)


def _mapped_test(cursor: Cursor, attribute: Attribute) -> Node | None:
    if not cursor.value:
        cursor.error("empty-condition", "a test without anything in it.")
        return None
    return _group("all", [_one_test(cursor, word, attribute) for word in cursor.value])


def _one_test(cursor: Cursor, word: str, attribute: Attribute) -> Node | None:
    below, name = cursor.at(word), attribute.name
    if word == "known":
        if not isinstance(below.value, bool):
            below.error("wrong-type", "`known` is true or false.")
            return None
        return ("known", name) if below.value else ("not", ("known", name))
    if word == "every":
        if not isinstance(below.value, list):
            below.error("not-a-list", "`every` takes a list of values.")
            return None
        return _values("all", below, attribute)
    if word == "count":
        return _count(below, attribute)
    if word in COMPARISONS:
        return _comparison(below, word, attribute)
    hint = nearest(word, ("known", "every", "count", *COMPARISONS))
    cursor.key_error(word, "unknown-test", f"`{word}` is no test of a value.", hint)
    return None


def _comparison(cursor: Cursor, word: str, attribute: Attribute) -> Node | None:
    if attribute.kind != "number":
        cursor.error("not-a-number", f"`{attribute.name}` is no number, so `{word}` does not fit.")
        return None
    number = _figure(cursor, attribute)
    return None if number is None else ("number", attribute.name, word, number)


def _figure(cursor: Cursor, attribute: Attribute) -> float | None:
    """A figure of a number attribute, in its unit and within what can be."""
    try:
        number = figure(cursor.value, attribute.unit)
    except FigureError as error:
        cursor.error("wrong-unit", f"`{attribute.name}`: {error}")
        return None
    why = impossible(number, attribute.unit)
    if why:
        cursor.error("impossible-figure", f"`{attribute.name}`: {why}.", "Look at the figure and its unit.")
        return None
    return number


def _count(cursor: Cursor, attribute: Attribute) -> Node | None:
    value = cursor.value
    if attribute.kind != "many":
        cursor.error("not-countable", f"`{attribute.name}` has no set of values to count.")
        return None
    if not isinstance(value, dict) or not value or not set(value) <= set(COMPARISONS):
        cursor.error("bad-count", "`count` takes at-least, at-most, above or below with a whole number.")
        return None
    nodes: list[Node | None] = []
    for word, number in cursor.entries():
        if not isinstance(number.value, int) or isinstance(number.value, bool) or number.value < 0:
            number.error("wrong-type", f"`{word}` of a count is a whole number.")
            nodes.append(None)
        else:
            nodes.append(("count", attribute.name, word, number.value))
    return _group("all", nodes)


def _values(kind: str, cursor: Cursor, attribute: Attribute) -> Node | None:
    if isinstance(cursor.value, list) and not cursor.value:
        cursor.error("empty-condition", "a list of values with nothing in it.")
        return None
    nodes: list[Node | None] = []
    for item in cursor.items():
        value = fact_value(item, attribute)
        nodes.append(None if value is None else ("is", attribute.name, value))
    return _group(kind, nodes)


def fact_value(cursor: Cursor, attribute: Attribute) -> str | float | None:
    """One value of an attribute as facts carry it, or None with the problem noted."""
    value = cursor.value
    if attribute.kind == "number":
        return _figure(cursor, attribute)
    if isinstance(value, int) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        follow = "Put it in quotes." if isinstance(value, bool) else ""
        cursor.error("wrong-type", f"a value of `{attribute.name}` is expected here.", follow)
        return None
    if attribute.values and value not in attribute.values:
        follow = nearest(value, attribute.values) or f"It is one of {listing(attribute.values)}."
        cursor.error("unknown-value", f"`{value}` is not a value of `{attribute.name}`.", follow)
        return None
    return value
