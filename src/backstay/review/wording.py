"""Wording: parts of a report in words, the same in a terminal and on a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from backstay.knowledge.base import Base
from backstay.reply.dosage import amount
from backstay.reply.words import Words, plain
from backstay.review.comparing import THE_REST

Part = Mapping[str, Any]


class Wording:
    """The words of one base for what a review found in it."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._words = Words(base)

    def say(self, message: str, **values: object) -> str:
        """Return a message of the knowledge with its places filled."""
        return self._words.say(message, **values)

    def join(self, parts: Iterable[str]) -> str:
        """Join words as a person does."""
        return self._words.join(parts)

    def number(self, count: int) -> str:
        """Write a count: 276,073."""
        return f"{count:,}"

    def exercise(self, name: str) -> str:
        """Write the name of an exercise."""
        return self._words.exercise(name)

    def quality(self, name: str) -> str:
        """Write the name of a quality."""
        known = self._base.qualities.get(name) or self._base.muscles.get(name)
        return known.name if known is not None else plain(name)

    def fact(self, fact: Sequence[Any]) -> str:
        """Write one fact as the knowledge holds it."""
        return self.say(
            "review-fact", attribute=plain(fact[0].replace(".", " ")), value=self._words.value(fact[0], fact[1])
        )

    def facts(self, facts: Sequence[Sequence[Any]]) -> str:
        """Write the facts of a situation."""
        return ", ".join(map(self.fact, facts)) if facts else self.say("review-no-facts")

    def counted_facts(self, facts: Iterable[Part]) -> str:
        """Write facts with how often each was told."""
        return ", ".join(
            self.say("review-times", what=self.fact(one["fact"]), count=self.number(one["situations"])) for one in facts
        )

    def walk(self, walk: Part) -> str:
        """Say what one walk is, and its size."""
        count = self.number(walk["situations"])
        about = f"review-walk-{walk['walk']}"
        design = self.say(f"review-design-{walk['design']}")
        return self.say(about, count=count, design=design)

    def outcome(self, answer: Part) -> str:
        """Name an outcome, with how soon somebody is to be seen."""
        within = answer["within"]
        name = self.say(f"review-outcome-{answer['outcome']}")
        return self.say("review-within", outcome=name, within=self.say(f"review-in-{within}")) if within else name

    def answer(self, answer: Part) -> str:
        """Write an answer: its picks with their doses, or its outcome."""
        if not answer["picks"]:
            return self.say("review-nothing-given") if answer["outcome"] == "advice" else self.outcome(answer)
        return "; ".join(map(self.pick, answer["picks"]))

    def pick(self, pick: Part) -> str:
        """Write one exercise with its dose."""
        one_sided = (
            self._base.exercises[pick["exercise"]].one_sided if pick["exercise"] in self._base.exercises else False
        )
        much = amount(self._words, pick, one_sided)
        return self.say("review-pick", exercise=self.exercise(pick["exercise"]), amount=much)

    def kind(self, kind: str, count: int) -> str:
        """Say how often one kind of difference is there."""
        return self.say("review-count", what=self.say(f"review-kind-{kind}"), count=self.number(count))

    def kinds(self, kinds: Mapping[str, int]) -> str:
        """Say how often each kind of difference is there, in one line."""
        return "; ".join(self.kind(kind, count) for kind, count in kinds.items())

    def cause(self, cause: Sequence[str], how: str = "") -> str:
        """Name what causes a difference, and what happened to it."""
        if cause[0] == THE_REST:
            return self.say("review-cause-rest")
        name = self.say(f"review-cause-{cause[0]}", name=cause[1])
        return self.say("review-cause-how", cause=name, how=self.say(f"review-how-{how}")) if how else name

    def clash(self, one: Part) -> str:
        """Write a contradiction about a dose."""
        count, facts = self.number(one["situations"]), self.facts(one["plainest"])
        if one["kind"] == "use":
            exercise, uses = self.exercise(one["exercise"]), self.join(map(plain, one["uses"]))
            return self.say("review-clash-use", exercise=exercise, uses=uses, count=count, facts=facts)
        rules = self.join(one["rules"])
        return self.say("review-clash-bounds", quantity=one["quantity"], rules=rules, count=count, facts=facts)

    def pair(self, pair: Part) -> str:
        """Write two rules that fire together."""
        count, (one, other) = self.number(pair["situations"]), pair["rules"]
        message = "review-pair-same" if pair["same"] else "review-pair"
        return self.say(message, one=one, other=other, count=count, same=self.join(map(plain, pair["same"])))
