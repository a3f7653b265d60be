"""The one object that walks a message through the rooms: language, case, reasoning, coaching, reply.

It keeps the compiled knowledge and nothing of anybody: what is held of an asker goes out with each answer as a case and
comes back in with the next message. One assistant can serve any number of askers at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from backstay.case import Case
from backstay.knowledge.loading import load
from backstay.reply.compose import compose, unreadable

if TYPE_CHECKING:
    from datetime import date

    from backstay.knowledge.base import Base
    from backstay.knowledge.facts import Fact
    from backstay.knowledge.following import Following, News
    from backstay.language.reading import Understanding
    from backstay.reply.reply import Reply

LONGEST_MESSAGE = 20_000


class Assistant:
    """Answers messages from one knowledge: the built-in one, with folders of your own laid over it."""

    __slots__ = ("_folders", "_following", "base")

    def __init__(self, folders: Sequence[str] = ()) -> None:
        self._folders: tuple[str, ...] | None = tuple(folders)
        self._following: Following | None = None
        self.base: Base = load(self._folders)

    @classmethod
    def of(cls, base: Base) -> Assistant:
        """Return an assistant with a knowledge that is loaded already, and that it keeps."""
        made = cls.__new__(cls)
        made._folders, made._following, made.base = None, None, base
        return made

    def follow(self) -> News | None:
        """Take over the folders if they have changed, and tell what became of it; call it between answers.

        What cannot be used changes nothing, and is told once. The first call begins to watch.
        """
        if self._folders is None:
            return None
        if self._following is None:
            from backstay.knowledge.following import Following

            self._following = Following(self._folders, self.base)
        news = self._following.look()
        self.base = self._following.base
        return news

    def answer(
        self,
        message: str,
        case: Case | Mapping[str, Any] | None = None,
        today: date | None = None,
        width: int | None = None,
    ) -> Reply:
        """Answer one message; `case` is what an earlier answer gave out, `width` the columns of the text."""
        base = self.base  # another may come into its place meanwhile; this answer keeps to one
        held = _held(base, case)
        if len(message) > LONGEST_MESSAGE:
            return unreadable(base, held, "message-too-long")
        today = today or _today()
        return _advise(base, held, _read(base, held, message, today), today, width)

    def advise(
        self,
        facts: Iterable[Fact],
        want: str = "recommend",
        case: Case | Mapping[str, Any] | None = None,
        today: date | None = None,
        width: int | None = None,
    ) -> Reply:
        """Answer facts that are known without a message, as from a form."""
        from backstay.language.reading import Understanding

        base = self.base
        reading = Understanding(want, tuple(facts), (), (), (), {}, False, True)
        return _advise(base, _held(base, case), reading, today or _today(), width)

    def lay_out(
        self,
        want: str,
        message: str = "",
        facts: Iterable[Fact] = (),
        case: Case | Mapping[str, Any] | None = None,
        today: date | None = None,
        width: int | None = None,
    ) -> Reply:
        """Answer a message as one that asks for `want`, whatever its words ask for; `facts` stand over what it says."""
        said = tuple(facts)
        if not message.strip():
            return self.advise(said, want, case, today, width)
        base = self.base
        held = _held(base, case)
        if len(message) > LONGEST_MESSAGE:
            return unreadable(base, held, "message-too-long")
        today = today or _today()
        reading = _read(base, held, message, today)
        over = {fact.attribute for fact in said}
        kept = tuple(fact for fact in reading.facts if fact.attribute not in over)
        reading = reading._replace(want=want, goes_on=False, facts=(*kept, *said))
        return _advise(base, held, reading, today, width)

    def held(self, case: Case | Mapping[str, Any] | None) -> Case:
        """Return the case to go on from; raises CaseError for what cannot be one."""
        return _held(self.base, case)

    def cannot_read(self, held: Case | None = None, message: str = "cannot-read-message") -> Reply:
        """Return the answer to a message that could not be read at all: nothing to train, and when to be seen."""
        return unreadable(self.base, held or Case(), message)


def _held(base: Base, case: Case | Mapping[str, Any] | None) -> Case:
    if case is None:
        return Case()
    held = case if isinstance(case, Case) else Case.from_json(case)
    return held.known_to(base.attributes)


def _read(base: Base, held: Case, message: str, today: date) -> Understanding:
    """Read a message as the next one of what is held."""
    from backstay.language.reading import understand

    asked = held.asked.fact if held.asked is not None else None
    return understand(base, message, today, asked, held.named, held.facts, held.picks)


def _advise(base: Base, held: Case, reading: Understanding, today: date, width: int | None) -> Reply:
    """Walk what was understood through the rooms that follow."""
    from backstay.coaching.plan import make_plan
    from backstay.reasoning.engine import conclude

    now = held.absorb(reading, base.attributes)
    want = now.wanted(reading)
    named = now.about(reading)
    findings = conclude(base, now.for_reasoning(want))
    plan = make_plan(base, findings, want, named, today, held.asked_before)
    if reading.sounds and (plan.outcome != "stop" or (reading.sure and plan.urgency != "emergency")):
        heard = reading._replace(facts=(*reading.facts, *reading.sounds), sounds=())
        return _advise(base, held, heard, today, width)
    return compose(base, reading, now, findings, plan, want, named, width)


def _today() -> date:
    from datetime import date as calendar

    return calendar.today()
