"""Random rule sets and cases for oracles and properties: every kind of condition, head, attribute and standing.

Rules mostly conclude "later" attributes than those they test, so that most sets have strata; some reach back, so that
there is recursion too. Sets that have no strata are for their own tests.
"""

from __future__ import annotations

from random import Random

from backstay.knowledge.base import Attribute, Measure, Node, ParsedRule

Value = str | float

WORDS = ("a", "b", "c", "d")
FIGURES = (10, 20, 40, 50)
ORDER = ("m0", "o0", "n0", "n1", "gap", "m1", "o1", "m2", "n2", "o2", "m3", "o3", "m4")
WILD: dict[str, Attribute] = {
    name: Attribute(name, {"m": "many", "o": "one", "n": "number"}[name[0]], cautious=cautious)
    for name, cautious in {
        "m0": (), "m1": (), "m2": (), "m3": (), "m4": (),
        "o0": ("c", "b"), "o1": (), "o2": ("d",), "o3": ("b", "a", "c", "d"),
        "n0": (), "n1": ("lowest",), "n2": ("lowest",),
    }.items()
}  # fmt: skip
KINDS = ("percent-apart", "percent-of", "difference")


def measures(chance: Random) -> tuple[Measure, ...]:
    return (Measure("gap", ("n0", "n1"), chance.choice(KINDS)),)


def value(chance: Random, attribute: str) -> Value:
    return chance.choice(FIGURES) if attribute[0] in "ng" else chance.choice(WORDS)


def leaf(chance: Random, attribute: str, strict: bool) -> Node:
    kind = chance.random()
    if attribute[0] in "ng" and kind < 0.7:
        return ("number", attribute, chance.choice(("at-least", "at-most", "above", "below")), chance.choice(FIGURES))
    if kind < 0.12:
        return ("known", attribute)
    if kind < 0.2 and strict:
        return (
            "count",
            attribute,
            chance.choice(("at-least", "at-most", "above", "below")),
            chance.choice((0, 1, 2, 3)),
        )
    if kind < 0.4:
        return ("any", tuple(("is", attribute, value(chance, attribute)) for _ in range(chance.randint(2, 3))))
    return ("is", attribute, value(chance, attribute))


def _attribute(chance: Random, reach: int) -> str:
    """Often one of the last that may be tested, so that conclusions build upon each other."""
    return chance.choice(ORDER[max(0, reach - 4) : reach] if chance.random() < 0.5 else ORDER[:reach])


def tree(chance: Random, reach: int, below: int, depth: int) -> Node:
    """A condition over attributes up to `reach`; of what is negated or counted, up to `below`."""
    kind = chance.random()
    if depth == 0 or kind < 0.35:
        strict = below > 0 and chance.random() < 0.3
        return leaf(chance, _attribute(chance, below if strict else reach), strict)
    if kind < 0.5 and below:
        return ("not", tree(chance, below, below, depth - 1))
    children = tuple(tree(chance, reach, below, depth - 1) for _ in range(chance.choice((0, 1, 2, 2, 2, 3, 3))))
    if kind < 0.7:
        return ("all", children)
    if kind < 0.85:
        return ("any", children)
    return ("some", chance.randint(0, 3), children + children[:1] * (chance.random() < 0.2))


def rule(chance: Random, name: str) -> ParsedRule:
    place = chance.randint(4, len(ORDER))
    reach = place if chance.random() < 0.8 else len(ORDER)
    below = max(0, place - chance.choice((0, 1, 2)) - 1)
    heads = [head for head in ORDER[max(0, place - 2) : place] if head != "gap"]
    concludes: list[tuple[str, Value]] = []
    assumes: list[tuple[str, Value]] = []
    for _ in range(chance.choice((0, 1, 1, 1, 2))):
        attribute = chance.choice(heads)
        (assumes if chance.random() < 0.25 else concludes).append((attribute, value(chance, attribute)))
    when = tree(chance, reach, below, chance.choice((0, 0, 1, 2, 3)))
    unless = tree(chance, below, below, chance.randint(0, 2)) if below and chance.random() < 0.35 else None
    return ParsedRule(name, when, unless, tuple(concludes), tuple(assumes), (("tell", name),), ("wild.yaml", 1, 1))


def rules(chance: Random) -> tuple[ParsedRule, ...]:
    return tuple(rule(chance, f"r{number:02}") for number in range(chance.randint(2, 36)))


def case(chance: Random) -> tuple[tuple[str, Value], ...]:
    said = []
    for attribute in ORDER:
        for _ in range(chance.choice((0, 0, 1, 1, 2)) if attribute in ORDER[:4] else int(chance.random() < 0.15)):
            said.append((attribute, value(chance, attribute)))
    chance.shuffle(said)
    return tuple(said)
