"""Small worlds for tests: rules written as text a person can read, compiled to a Base that holds nothing else.

The attributes are those of a garden, since reasoning knows nothing of backs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from backstay.knowledge.base import Attribute, Base, Measure, Node, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.knowledge.program import compile_program
from backstay.reasoning.engine import conclude
from backstay.reasoning.findings import Findings

Value = str | float

GARDEN: dict[str, Attribute] = {
    attribute.name: attribute
    for attribute in (
        Attribute("soil", "one", cautious=("wet", "dry")),  # wet leads dry, dry leads the rest, then the alphabet
        Attribute("season", "one"),
        Attribute("frost", "one", cautious=("hard", "light")),
        Attribute("plants", "many"),
        Attribute("tools", "many"),
        Attribute("pests", "many"),
        Attribute("height", "number"),
        Attribute("nights", "number", cautious=("lowest",)),
        Attribute("yield", "map", unit="kg"),
        Attribute("yield.east", "number", of="yield"),
        Attribute("yield.west", "number", of="yield"),
    )
}


def every(*nodes: Node) -> Node:
    return ("all", nodes)


def either(*nodes: Node) -> Node:
    return ("any", nodes)


def some(least: int, *nodes: Node) -> Node:
    return ("some", least, nodes)


def no(node: Node) -> Node:
    return ("not", node)


def asks(attribute: str, value: object) -> Node:
    """A test as a coach writes it: a value, or text such as "known", "at-least 3", "count at-least 2"."""
    words = value.split() if isinstance(value, str) else []
    if value == "known":
        return ("known", attribute)
    if words and words[0] == "count":
        return ("count", attribute, words[1], int(words[2]))
    if words and words[0] in ("at-least", "at-most", "above", "below"):
        return ("number", attribute, words[0], float(words[1]))
    if isinstance(value, list):
        return either(*[asks(attribute, one) for one in value])
    return ("is", attribute, value)


def when(**tests: object) -> Node:
    """All of the tests; underscores in a name stand for dots."""
    return every(*[asks(name.replace("_", "."), value) for name, value in tests.items()])


def rule(
    name: str,
    condition: Node = ("all", ()),
    *,
    unless: Node | None = None,
    conclude: Iterable[tuple[str, Value]] = (),
    assume: Iterable[tuple[str, Value]] = (),
    place: tuple[str, int, int] | None = None,
) -> ParsedRule:
    return ParsedRule(name, condition, unless, tuple(conclude), tuple(assume), (("tell", name),), place or ("x", 1, 1))


def base_of(
    rules: Iterable[ParsedRule],
    measures: Iterable[Measure] = (),
    attributes: Mapping[str, Attribute] = GARDEN,
) -> Base:
    rules = tuple(rules)
    infos = {
        one.id: (one.id, f"since {one.id}", ("common-practice",), (), "rules", one.place, one.effects) for one in rules
    }
    return Base({"program": compile_program(attributes, measures, rules), "rules": infos, "attributes": attributes})


def facts_of(*said: tuple[str, Value]) -> tuple[Fact, ...]:
    return tuple(Fact(attribute, value, f"{attribute} is {value}") for attribute, value in said)


def run(
    rules: Iterable[ParsedRule], said: Iterable[tuple[str, Value]] = (), measures: Iterable[Measure] = ()
) -> Findings:
    return conclude(base_of(rules, measures), facts_of(*said))
