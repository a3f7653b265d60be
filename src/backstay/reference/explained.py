"""Explained: all that is known under a name, as plain values that can be written as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from backstay.knowledge.base import Base
from backstay.knowledge.stakes import STAKES
from backstay.reference.deciding import Decided, Deciding, decided_by_rule, deciding_for_exercise
from backstay.reference.entries import Entry, Reference


def explained(base: Base, name: str) -> Iterator[Entry]:
    """Yield what is known under a name: a rule and a message may share one."""
    reference = Reference(base)
    if name in base.rules:
        yield {**reference.rule(name), "situations": _situations(decided_by_rule(base, name))}
    plain = name.casefold()
    for exercise in base.exercises.values():
        if plain in (exercise.exercise, exercise.name.casefold(), *exercise.also):
            found = deciding_for_exercise(base, exercise.exercise)
            yield {**reference.exercise(exercise.exercise), "situations": _situations(found)}
    if name in base.sources:
        yield reference.source(name)
    if name in base.messages:
        yield reference.message(name)
    if name in STAKES:
        yield {"kind": "code", "id": name, "because": STAKES[name]}


def _situations(deciding: Deciding) -> dict[str, Any]:
    return {
        "walked": deciding.walked,
        "fires": deciding.fires,
        "tried": deciding.tried,
        "decides": deciding.decides,
        "plainest": [_decided(one) for one in deciding.plainest],
    }


def _decided(one: Decided) -> dict[str, Any]:
    value: dict[str, Any] = {
        "facts": [[attribute, told] for attribute, told in one.situation],
        "outcome": one.answer.outcome,
        "picks": [given.exercise for given in one.answer.given],
    }
    if one.without is not None:
        value["differs"] = list(one.differs)
        value["without"] = {
            "outcome": one.without.outcome,
            "picks": [given.exercise for given in one.without.given],
        }
    return value


def explainable(base: Base) -> dict[str, str]:
    """Return every name that can be explained, as people may write it, with the name it stands for."""
    ids = (*base.rules, *base.exercises, *base.sources, *base.messages, *STAKES)
    return {**{one.name.casefold(): one.exercise for one in base.exercises.values()}, **{id_: id_ for id_ in ids}}
