"""Text: the report of a review as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from backstay.knowledge.base import Base
from backstay.reply.layout import Page
from backstay.reply.words import capital
from backstay.review.wording import Wording

MOST_LINES = 10
Report = Mapping[str, Any]


def text(base: Base, found: Report, seconds: float, width: int | None = None) -> str:
    """Return the whole report."""
    return _Text(base, found, seconds).page.text(width)


class _Text:
    def __init__(self, base: Base, found: Report, seconds: float) -> None:
        self.words = Wording(base)
        self.page = Page()
        if "against" in found:
            self._against(found["against"])
        self._walked(found, seconds)
        self._nothing_to_offer(found["nothing_to_offer"])
        self._list("rules-never", [self._rule(one) for one in found["rules_never"]])
        self._list("exercises-never", [capital(self.words.exercise(name)) for name in found["exercises_never"]])
        self._list("needs-never", [self.words.quality(name) for name in found["needs_never"]])
        self._list("needs-open", [self._open(one) for one in found["needs_open"]])
        self._list("doses", [self.words.clash(one) for one in found["doses_contradict"]])
        self._list("alone", [self._alone(one) for one in found["alone"]])
        self._list("together", [self.words.pair(one) for one in found["together"]])
        self._list("answers", [self._answer(one) for one in found["answers"]])

    def _say(self, message: str, **values: object) -> str:
        return self.words.say(message, **values)

    def _head(self, message: str, **values: object) -> None:
        self.page.gap()
        self.page.line(self._say(message, **values))

    def _item(self, line: str) -> None:
        self.page.line(line, "  - ", "    ")

    def _list(self, about: str, lines: Sequence[str]) -> None:
        if not lines:
            self._head(f"review-{about}-none")
            return
        self._head(f"review-{about}", count=self.words.number(len(lines)))
        self._lines(lines)

    def _lines(self, lines: Sequence[str]) -> None:
        for line in lines[:MOST_LINES]:
            self._item(line)
        if len(lines) > MOST_LINES:
            self._item(self._say("review-more", count=self.words.number(len(lines) - MOST_LINES)))

    def _walked(self, found: Report, seconds: float) -> None:
        words, space = self.words, found["space"]
        self._head(
            "review-walked",
            situations=words.number(found["situations"]),
            problems=words.number(found["problems"]),
            solved=words.number(found["solved"]),
            seconds=words.number(round(seconds)),
        )
        for walk in space["walks"]:
            self._item(words.walk(walk))
        told = {"dimensions": len(space["dimensions"]), "values": space["values"], "signs": space["stop_signs"]}
        self.page.line(self._say("review-space", **told))
        if found["unproved"]:
            self.page.line(self._say("review-unproved", count=words.number(found["unproved"])))
        self._head("review-outcomes")
        for one in found["outcomes"]:
            self._item(self._say("review-count", what=words.outcome(one), count=words.number(one["situations"])))

    def _nothing_to_offer(self, found: Report) -> None:
        words = self.words
        if not found["situations"]:
            self._head("review-nothing-none", of=words.number(found["of"]))
            return
        self._head("review-nothing", count=words.number(found["situations"]), of=words.number(found["of"]))
        self._item(self._say("review-nothing-told", facts=words.counted_facts(found["told"])))
        for facts in found["plainest"]:
            self._item(words.facts(facts))

    def _rule(self, one: Report) -> str:
        return self._say("review-rule-at", rule=one["rule"], file=one["file"], line=one["line"])

    def _open(self, one: Report) -> str:
        words = self.words
        quality = words.quality(one["quality"])
        return self._say("review-open", quality=quality, open=words.number(one["open"]), of=words.number(one["needed"]))

    def _alone(self, one: Report) -> str:
        count, facts = self.words.number(one["situations"]), self.words.facts(one["plainest"])
        return self._say("review-alone-line", rule=one["rule"], count=count, facts=facts)

    def _answer(self, one: Report) -> str:
        names = capital(self.words.join(map(self.words.exercise, one["exercises"])))
        return self._say("review-count", what=names, count=self.words.number(one["situations"]))

    def _against(self, found: Report) -> None:
        words = self.words
        count = words.number(found["situations"])
        if not found["differing"]:
            self.page.line(self._say("review-same", situations=count))
            if found["silent"]:
                self._silent(found["silent"])
            return
        self.page.line(self._say("review-differs", differing=words.number(found["differing"]), situations=count))
        self._lines([words.kind(kind, number) for kind, number in found["kinds"].items()])
        for error in found["errors"]:
            self._head(f"review-error-{error['kind']}", count=words.number(error["situations"]))
            self._example(error)
        for group in found["groups"][:MOST_LINES]:
            self._head(
                "review-group" if group["alone"] == group["situations"] else "review-group-shared",
                cause=words.cause(group["cause"], group["how"]),
                count=words.number(group["situations"]),
                alone=words.number(group["alone"]),
            )
            self._item(words.kinds(group["kinds"]))
            self._example(group)
        if len(found["groups"]) > MOST_LINES:
            self._head("review-more", count=len(found["groups"]) - MOST_LINES)
        if found["silent"]:
            self._silent(found["silent"])

    def _silent(self, causes: Iterable[Sequence[str]]) -> None:
        self._head("review-silent")
        self._lines([self.words.cause(cause) for cause in causes])

    def _example(self, one: Report) -> None:
        words = self.words
        self._item(self._say("review-plainest", facts=words.facts(one["plainest"])))
        self._item(self._say("review-before", answer=words.answer(one["before"])))
        self._item(self._say("review-after", answer=words.answer(one["after"])))
