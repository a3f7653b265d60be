"""Material: all that one answer is made of, handed to whoever writes a part of it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from backstay.case import Case
from backstay.reply.reply import AskNext, LeftOut, Notice, Shown
from backstay.reply.words import Words


class Material(NamedTuple):
    """What was read, found and planned, and what is shown of it."""

    base: Any
    words: Words
    want: str
    reading: Any
    case: Case
    findings: Any
    plan: Any
    outcome: str
    within: str | None
    notices: tuple[Notice, ...] = ()
    told: tuple[str, ...] = ()
    later: tuple[Notice, ...] = ()  # notices that stand under the answer
    picks: tuple[Shown, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    assumed: Mapping[str, Any] = MappingProxyType({})
    ask: AskNext | None = None
    named: tuple[str, ...] = ()
    stop_words: tuple[str, ...] = ()  # the asker's own, that the stop stands on
