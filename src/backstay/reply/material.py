"""Material: all that one answer is made of, handed to whoever writes a part of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from backstay.case import Case
    from backstay.reply.reply import AskNext, LeftOut, Notice, Shown
    from backstay.reply.words import Words


class Material:
    """What was read, found and planned, and what is shown of it."""

    __slots__ = (
        "ask", "assumed", "base", "case", "findings", "later", "left_out", "named", "notices", "outcome", "picks",
        "plan", "reading", "stop_words", "told", "want", "within", "words",
    )  # fmt: skip

    def __init__(
        self,
        *,
        base: Any,
        words: Words,
        want: str,
        reading: Any,
        case: Case,
        findings: Any,
        plan: Any,
        outcome: str,
        within: str | None,
        notices: tuple[Notice, ...],
        later: tuple[Notice, ...],
        told: tuple[str, ...],
        picks: tuple[Shown, ...],
        left_out: tuple[LeftOut, ...],
        assumed: Mapping[str, Any],
        ask: AskNext | None,
        named: tuple[str, ...],
        stop_words: tuple[str, ...],
    ) -> None:
        self.base = base
        self.words = words
        self.want = want
        self.reading = reading
        self.case = case
        self.findings = findings
        self.plan = plan
        self.outcome = outcome
        self.within = within
        self.notices = notices
        self.later = later  # notices that stand under the answer
        self.told = told
        self.picks = picks
        self.left_out = left_out
        self.assumed = assumed
        self.ask = ask
        self.named = named
        self.stop_words = stop_words  # the asker's own, that a stop stands on

    def but(self, **changes: Any) -> Material:
        """Return the same with some of it changed."""
        return Material(**{**{name: getattr(self, name) for name in self.__slots__}, **changes})
