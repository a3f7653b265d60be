"""The one object that walks a message through the rooms: language, case, reasoning, coaching, reply.

It keeps the compiled knowledge and nothing of anybody: what is held of an asker goes out with each answer as a case and
comes back in with the next message. One assistant can serve any number of askers at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from backstay.case import Case
from backstay.knowledge.loading import load
from backstay.reply.compose import compose, unreadable

if TYPE_CHECKING:
    from datetime import date

    from backstay.knowledge.base import Base
    from backstay.reply.reply import Reply

LONGEST_MESSAGE = 20_000


class Assistant:
    """Answers messages from one knowledge: the built-in one, with folders of your own laid over it."""

    __slots__ = ("base",)

    def __init__(self, folders: Sequence[str] = ()) -> None:
        self.base: Base = load(tuple(folders))

    def answer(
        self,
        message: str,
        case: Case | Mapping[str, Any] | None = None,
        today: date | None = None,
        width: int | None = None,
    ) -> Reply:
        """Answer one message; `case` is what an earlier answer gave out, `width` the columns of the text."""
        held = self.held(case)
        if len(message) > LONGEST_MESSAGE:
            return self.cannot_read(held, "message-too-long")
        from backstay.coaching.plan import make_plan
        from backstay.language.reading import understand
        from backstay.reasoning.engine import conclude

        if today is None:
            from datetime import date as calendar

            today = calendar.today()
        asked = held.asked.fact if held.asked is not None else None
        reading = understand(self.base, message, today, asked, held.named)
        now = held.absorb(reading, self.base.attributes)
        want = now.wanted(reading)
        named = now.about(reading)
        findings = conclude(self.base, now.for_reasoning(want))
        plan = make_plan(self.base, findings, want, named, today, held.asked_before)
        return compose(self.base, reading, now, findings, plan, want, named, width)

    def held(self, case: Case | Mapping[str, Any] | None) -> Case:
        """Return the case to go on from; raises CaseError for what cannot be one."""
        if case is None:
            return Case()
        held = case if isinstance(case, Case) else Case.from_json(case)
        return held.known_to(self.base.attributes)

    def cannot_read(self, held: Case | None = None, message: str = "cannot-read-message") -> Reply:
        """Return the answer to a message that could not be read at all: nothing to train, and when to be seen."""
        return unreadable(self.base, held or Case(), message)
