"""Rules: the rules of a base as they were written, and what its screening stands on."""

from __future__ import annotations

import marshal
from collections.abc import Iterator

from backstay.knowledge.base import Base, ParsedRule
from backstay.knowledge.protection import Ground


def parsed_rules(base: Base) -> Iterator[ParsedRule]:
    """Return every rule with its conditions, facts and effects."""
    for name, tree in zip(base.program["rules"], base.program["trees"], strict=True):
        when, unless, concludes, assumes = marshal.loads(tree)
        info = base.rules[name]
        yield ParsedRule(name, when, unless, concludes, assumes, info.effects, info.place)


def follow_screening(base: Base) -> Ground:
    """Return the facts that the screening of a base looks at, followed back through all rules."""
    screening: list[ParsedRule] = []
    others: list[ParsedRule] = []
    for rule in parsed_rules(base):
        (screening if base.rules[rule.id].room == "screening" else others).append(rule)
    ground = Ground(base.attributes)
    ground.follow(screening, others)
    return ground
