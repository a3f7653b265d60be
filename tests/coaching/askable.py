"""Random worlds for the tests of questions: exercises, rules of every kind of effect over a few facts, and cases."""

from __future__ import annotations

from random import Random
from typing import Any

from backstay.knowledge.base import Attribute, Base, Effect, Node, ParsedRule
from backstay.knowledge.facts import Fact

from .builders import base, exercise, rule

WORDS = ("p", "q", "r")
FACTS = {
    "hue": Attribute("hue", "one", WORDS, cautious=WORDS),
    "side": Attribute("side", "one", ("left", "right")),
    "flags": Attribute("flags", "many", WORDS),
    "marks": Attribute("marks", "many", WORDS),
    "size": Attribute("size", "number"),
    "minutes": Attribute("minutes", "number"),
    "level": Attribute("level", "one", WORDS),
}
QUALITIES = ("brace", "grip", "hinge", "row")


def world(chance: Random) -> Base:
    """A base of some exercises and rules; every fact has a question, and a rule that asks for it."""
    exercises = [
        exercise(
            f"x{number}",
            trains={quality: chance.randint(1, 3) for quality in chance.sample(QUALITIES, chance.randint(1, 2))},
            stress=chance.choice(("low", "medium", "high")),
            family=chance.choice("abcd"),
            sides=chance.choice(("both", "each")),
            dose={"sets": chance.randint(1, 4), "times-a-week": [1, chance.randint(1, 3)]},
        )
        for number in range(8)
    ]
    ids = [one.exercise for one in exercises]
    rules = [
        _rule("ask", ("all", ()), [("ask", fact) for fact in FACTS]),
        _rule("needs", ("all", ()), [("need", quality, chance.randint(1, 4)) for quality in QUALITIES[:2]]),
        _rule("size-counts", ("known", "minutes"), [("limit", "minutes", ("fact", "minutes"))]),
        _rule("usual", ("all", ()), [], assumes=[("level", chance.choice(WORDS))]),
    ]
    for number in range(chance.randint(4, 14)):
        effects = [_effect(chance, ids) for _ in range(chance.randint(1, 3))]
        rules.append(_rule(f"r{number:02d}", _test(chance), effects))
    screening = chance.choice(([("stop", "today")], [("refer", "days")], [("hold",), ("ask", "marks")]))
    rules.append(_rule("screen", ("is", "marks", "r"), screening))
    infos = [
        rule(one.id, "screening" if one.id == "screen" else "rules", _over(chance, one.id), one.effects)
        for one in rules
    ]
    made = base(exercises, (), [*FACTS], parsed=rules, attributes=FACTS)
    made.rules = {info.id: info for info in infos}
    return made


def case(chance: Random) -> list[Fact]:
    """A want, and some of the facts."""
    want = chance.choice(("recommend", "recommend", "week", "block"))
    said = {name: chance.choice(values(name)) for name in chance.sample(sorted(FACTS), chance.randint(0, 3))}
    return [Fact("want", want), *(Fact(name, value) for name, value in said.items())]


def values(name: str) -> tuple[Any, ...]:
    """Values that a fact may have."""
    if FACTS[name].kind == "number":
        return (1, 5, 12, 20, 40)
    return FACTS[name].values


def _rule(name: str, when: Node, effects: list[Effect], assumes: list[tuple[str, str]] | None = None) -> ParsedRule:
    return ParsedRule(name, when, None, (), tuple(assumes or ()), tuple(effects), ("x.yaml", 1, 1))


def _over(chance: Random, name: str) -> tuple[str, ...]:
    if not name.startswith("r") or chance.random() > 0.2:
        return ()
    other = f"r{chance.randrange(int(name[1:]) + 1, 20):02d}"  # always a later one, so that there is no circle
    return (other,)


def _test(chance: Random) -> Node:
    name = chance.choice(sorted(FACTS))
    if FACTS[name].kind == "number":
        return ("number", name, chance.choice(("at-least", "at-most")), chance.choice((3, 10, 18, 30)))
    test: Node = ("is", name, chance.choice(FACTS[name].values))
    if chance.random() < 0.2:
        return ("not", test)
    if chance.random() < 0.3:
        return ("all", (test, _test(chance)))
    return test


def _effect(chance: Random, ids: list[str]) -> Effect:
    some = tuple(sorted(chance.sample(ids, chance.randint(1, 4))))
    made: tuple[Effect, ...] = (
        ("need", chance.choice(QUALITIES), chance.randint(1, 3)),
        ("favour", some, chance.randint(1, 2)),
        ("avoid", some, chance.randint(1, 2)),
        ("forbid", some),
        ("dose", some, "sets", "at-most", chance.randint(1, 3)),
        ("dose", some, "sets", "times", 0.5),
        ("dose", some, "rest", "at-least", 120),
        ("side-first", some, ("is", chance.choice(("left", "right")))),
        ("side-first", some, (chance.choice(("fact", "opposite-of")), "side")),
        ("limit", chance.choice(("items", "stress", "minutes")), chance.choice((2, 6, 15))),
        ("times-a-week", some, 1),
        ("days", some, (1, 2), 4),
        ("notice", chance.choice(("n1", "n2"))),
        ("tell", chance.choice(("t1", "t2"))),
        ("need-each", "flags", 1),
    )
    return chance.choice(made)
