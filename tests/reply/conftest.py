"""Answers made from facts, without the words that would say them: the rooms behind language."""

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any, NamedTuple

import pytest

from backstay.case import Case
from backstay.coaching.plan import make_plan
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load
from backstay.reasoning.engine import conclude
from backstay.reply.compose import compose
from backstay.reply.reply import Reply

TODAY = date(2026, 11, 25)


class Read(NamedTuple):
    """What language would have understood."""

    want: str
    facts: tuple[Fact, ...] = ()
    retracted: tuple[Fact, ...] = ()
    records: tuple[Any, ...] = ()
    unknown: tuple[str, ...] = ()
    answered: bool = False
    readable: bool = True


Answer = Callable[..., Reply]


@pytest.fixture(scope="session")
def base() -> Base:
    return load()


@pytest.fixture(scope="session")
def answer(base: Base) -> Answer:
    def make(
        want: str,
        facts: Iterable[tuple[str, Any]] = (),
        case: Case | None = None,
        width: int | None = None,
        **more: Any,
    ) -> Reply:
        said = tuple(Fact(name, value, f"{name} {value}") for name, value in facts)
        reading = Read(want, said, **more)
        held = case or Case()
        now = held.absorb(reading, base.attributes)
        wanted, named = now.wanted(reading), now.about(reading)
        findings = conclude(base, now.for_reasoning(wanted))
        plan = make_plan(base, findings, wanted, named, TODAY, held.asked_before)
        return compose(base, reading, now, findings, plan, wanted, named, width)

    return make
