"""A talk: messages one after the other, with what is held of the asker kept in between. Knows no terminal.

`start over` empties it, `forget …` takes one thing out, `bye` ends it; all else is a message. A turn that fails
leaves what was held untouched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from backstay.case import Case
from backstay.reply.held import held
from backstay.reply.layout import Page
from backstay.reply.words import Words, harmless

if TYPE_CHECKING:
    from datetime import date

    from backstay.assistant import Assistant
    from backstay.knowledge.following import News
    from backstay.reply.reply import Reply

# Where it is felt or seen: in the body, in a lift, at a moment of it.
PLACES = ("area", "lift", "moment")
# How many faults of a changed knowledge are shown in the middle of a talk.
MOST_PROBLEMS = 3


class Talk:
    """One asker at one terminal."""

    def __init__(self, assistant: Assistant, today: date | None = None) -> None:
        assistant.follow()
        self.words = Words(assistant.base)
        self.case = Case()
        self.reply: Reply | None = None
        self.over = False
        self._assistant = assistant
        self._today = today
        self._answers: tuple[str, ...] = ()

    def greeting(self, width: int | None = None) -> str:
        """Return what a talk opens with."""
        page = Page()
        for message in ("chat-welcome", "chat-how"):
            page.line(self.words.say(message))
        return page.text(width)

    def turn(self, message: str, width: int | None = None) -> str:
        """Take one message and return what is said to it; empty for an empty one."""
        news = self._assistant.follow()
        if news is not None and not news.problems:
            self.words = Words(self._assistant.base)
        said = self._turn(message, width)
        # An answer may be a stop: what became of the knowledge comes after it.
        return "\n\n".join(part for part in (said, self._told(news, width)) if part)

    def _told(self, news: News | None, width: int | None) -> str:
        """Say that the knowledge has changed, or why the change is not taken."""
        if news is None:
            return ""
        page = Page()
        wrong = [problem for problem in news.problems if problem.severity == "error"]
        page.line(self.words.say("chat-knowledge-refused" if wrong else "chat-knowledge-new"))
        for problem in wrong[:MOST_PROBLEMS]:
            page.line(harmless(str(problem)), "  ", "    ")
        if len(wrong) > MOST_PROBLEMS:
            page.line(self.words.say("chat-knowledge-more", count=len(wrong) - MOST_PROBLEMS), "  ", "  ")
        return page.text(width)

    def _turn(self, message: str, width: int | None) -> str:
        plain = " ".join(harmless(message).split())
        if not plain:
            return ""
        steer = plain.casefold().strip(" .!")
        if steer in self._steering("leave"):
            self.over = True
            return self.words.say("chat-bye")
        if steer in self._steering("start-over"):
            self.case, self.reply, self._answers = Case(), None, ()
            return self.words.say("chat-new")
        for start in sorted(self._steering("forget"), key=len, reverse=True):
            if steer.startswith(start + " "):
                return self._forget(steer[len(start) + 1 :])
        for start in sorted(self._steering("show"), key=len, reverse=True):
            if steer.startswith(start + " ") and self.exercise(steer[len(start) + 1 :]):
                plain = self.words.say("chat-show", exercise=steer[len(start) + 1 :])
        return self._answer(plain, width)

    def held(self) -> str:
        """Return what is held of the asker, in a line."""
        facts = held(self.words, self._assistant.base.attributes, self.case.facts)
        if not facts:
            return self.words.say("chat-held-nothing")
        return self.words.say("chat-held", facts=" · ".join(facts))

    def completions(self) -> tuple[str, ...]:
        """Return what Tab may complete: answers to the question just asked, then exercises, then places."""
        base = self._assistant.base
        exercises = sorted(exercise.name.casefold() for exercise in base.exercises.values())
        places = sorted(
            self.words.value(attribute, value).casefold()
            for attribute in PLACES
            for value in base.attributes[attribute].values
        )
        return tuple(dict.fromkeys((*self._answers, *exercises, *places)))

    def exercise(self, words: str) -> bool:
        """Whether these words name an exercise by one of its names."""
        names = self._assistant.base.exercises.values()
        return any(words == one.name.casefold() or words == one.exercise or words in one.also for one in names)

    def _steering(self, message: str) -> tuple[str, ...]:
        return tuple(self.words.say(f"chat-words-{message}").split("|"))

    def _answer(self, message: str, width: int | None) -> str:
        try:
            reply = self._assistant.answer(message, case=self.case, today=self._today, width=width)
        except Exception:  # One turn must never end the talk, nor lose what was held.
            return self.words.say("chat-trouble", message=message)
        self.reply = reply
        self.case = Case.from_json(reply.case)
        self._answers = reply.ask_next.answers if reply.ask_next is not None else ()
        return reply.text

    def _forget(self, what: str) -> str:
        """Take out what is held under the attributes that these words speak of."""
        named = {fact.attribute for fact in self.case.facts if self._speaks_of(fact.attribute, fact.value, what)}
        before = self.case
        for attribute in named:
            self.case = self.case.without(attribute)
        gone = [self.words.fact(fact.attribute, fact.value) for fact in before.facts if fact.attribute in named]
        if not gone:
            return self.words.say("chat-forgot-nothing")
        return self.words.say("chat-forgot", facts=", ".join(gone))

    def _speaks_of(self, attribute: str, value: object, what: str) -> bool:
        """Whether words such as "the meet" or "my age" mean this fact."""
        asked = {word for word in what.replace("-", " ").split() if len(word) > 2} - set(self._steering("little"))
        names = f"{attribute} {value} {self.words.fact(attribute, value)}".casefold()
        return bool(asked & set(names.replace("-", " ").replace(".", " ").replace(":", " ").split()))
