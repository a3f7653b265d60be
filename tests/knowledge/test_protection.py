"""What the screening stands on: which facts help its rules to fire, and which keep them from firing."""

from __future__ import annotations

import pytest

from backstay.knowledge.base import Attribute, Node, ParsedRule
from backstay.knowledge.protection import Atom, Ground, meets

ATTRIBUTES = {
    name: Attribute(name, kind)
    for name, kind in [("sign", "many"), ("doubt", "many"), ("mood", "one"), ("age", "number")]
}
SIGN: Node = ("is", "sign", "numb")
DOUBT: Node = ("is", "doubt", "old")


def rule(id_: str, when: Node, unless: Node | None = None, gives: tuple[tuple[str, str], ...] = ()) -> ParsedRule:
    return ParsedRule(id_, when, unless, gives, (), (), ("f", 1, 1))


@pytest.mark.parametrize(
    "when, unless, helping, hindering",
    [
        (SIGN, None, {("sign", "numb")}, set()),
        (SIGN, DOUBT, {("sign", "numb")}, {("doubt", "old")}),
        (("all", (SIGN, ("not", DOUBT))), None, {("sign", "numb")}, {("doubt", "old")}),
        (("not", ("not", SIGN)), None, {("sign", "numb")}, set()),
        (("any", (SIGN, DOUBT)), None, {("sign", "numb"), ("doubt", "old")}, set()),
        (("some", 1, (SIGN, ("not", DOUBT))), None, {("sign", "numb")}, {("doubt", "old")}),
        (("known", "sign"), ("known", "doubt"), {("sign", None)}, {("doubt", None)}),
        (("count", "sign", "at-least", 2), None, {("sign", None)}, set()),
        (("count", "sign", "at-most", 2), None, set(), {("sign", None)}),
        (("not", ("count", "sign", "below", 2)), None, {("sign", None)}, set()),
        (("number", "age", "below", 18.0), None, {("age", None)}, set()),
    ],
)
def test_the_conditions_of_a_screening_rule(
    when: Node, unless: Node | None, helping: set[Atom], hindering: set[Atom]
) -> None:
    ground = Ground(ATTRIBUTES)
    ground.follow([rule("r", when, unless)], [])
    assert ground.helping == helping
    assert ground.hindering == hindering


def test_what_gives_is_followed_back_and_back() -> None:
    ground = Ground(ATTRIBUTES)
    first = rule("a", ("is", "sign", "told"), ("is", "doubt", "denied"), (("sign", "numb"),))
    second = rule("b", ("is", "doubt", "asked"), ("is", "sign", "clear"), (("doubt", "denied"),))
    ground.follow([rule("r", SIGN)], [second, first])
    assert ground.helping == {("sign", "numb"), ("sign", "told"), ("sign", "clear")}
    assert ground.hindering == {("doubt", "denied"), ("doubt", "asked")}


def test_a_second_value_can_push_out_one_that_rules_gave() -> None:
    """`mood` holds one value: to conclude another takes the first away. What is only ever said cannot be taken."""
    screening = rule("r", ("is", "mood", "low"))
    ground = Ground(ATTRIBUTES)
    ground.follow([screening], [])
    assert not meets(("mood", "fine"), ground.hindering)
    ground.follow([screening], [rule("a", SIGN, None, (("mood", "low"),))])
    assert meets(("mood", "fine"), ground.hindering)


def test_other_rules_are_no_ground() -> None:
    ground = Ground(ATTRIBUTES)
    ground.follow([rule("r", SIGN)], [rule("a", DOUBT, None, (("mood", "low"),))])
    assert ground.attribute_names() == {"sign"}
