"""Spaces small enough for a test, and changes of the built-in knowledge without reading its files again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from backstay.knowledge.base import Base, ParsedRule
from backstay.knowledge.program import compile_program
from backstay.knowledge.trees import Atom
from backstay.review.rules import parsed_rules
from backstay.review.space import Product, Space

PHASES = ("general-preparation", "peaking")


def narrow(*choices: tuple[tuple[Atom, ...], ...]) -> Space:
    """Every combination of one from each of these."""
    return Space((Product("common", choices),), (), (("fault", "rounds"),), PHASES, 0, ())


def each(attribute: str, *values: str | float) -> tuple[tuple[Atom, ...], ...]:
    """Nothing told of an attribute, and each of its values."""
    return ((), *(((attribute, value),) for value in values))


def changed(base: Base, change: Callable[[ParsedRule], ParsedRule | None], *more: ParsedRule) -> Base:
    """The base with its rules changed, left out where the change gives none back, and with more of them."""
    rules = [*filter(None, map(change, parsed_rules(base))), *more]
    infos: dict[str, Any] = {rule.id: base.rules[rule.id] for rule in rules if rule.id in base.rules}
    for rule in rules:
        known = infos.get(rule.id) or base.rules["rounding-off-the-floor"]._replace(id=rule.id, over=())
        infos[rule.id] = known._replace(effects=rule.effects, place=rule.place)
    program = compile_program(base.attributes, list(base.measures.values()), rules)
    return Base({**base._sections, "program": program, "rules": infos})


def without(base: Base, *names: str) -> Base:
    """The base as if these rules had never been written."""
    return changed(base, lambda rule: None if rule.id in names else rule)
