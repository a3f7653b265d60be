"""Answers made from facts, without the words that would say them: the rooms behind language."""

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

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
    amends: bool = False
    goes_on: bool = False


class Answering:
    """Makes answers over one base."""

    def __init__(self) -> None:
        self.base: Base = load()

    def __call__(
        self,
        want: str,
        facts: Iterable[tuple[str, Any]] = (),
        case: Case | None = None,
        width: int | None = None,
        **more: Any,
    ) -> Reply:
        said = tuple(Fact(name, value, f"{name} {value}") for name, value in facts)
        reading = Read(want, said, **more)
        held = case or Case()
        now = held.absorb(reading, self.base.attributes)
        wanted, named = now.wanted(reading), now.about(reading)
        findings = conclude(self.base, now.for_reasoning(wanted))
        plan = make_plan(self.base, findings, wanted, named, TODAY, held.asked_before)
        return compose(self.base, reading, now, findings, plan, wanted, named, width)
