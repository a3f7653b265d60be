"""What is held to be true of one asker: a value that can be written as JSON, handed out and handed in again.

A case never changes; `absorb` makes the next one. It keeps facts with the words they came from, the question that is
open, what was asked before, and what the last answer was about, so that a server needs no memory of its own.

It does not reason: what follows from the facts is for the engine, what is told of them for the reply.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from backstay.knowledge.facts import Fact

FORMAT = 1
LONGEST_WORDS = 400
MOST_FACTS = 400

# What a message is about, not what is true of the asker: gone with the next message.
OF_ONE_MESSAGE = frozenset({"exercise", "done", "want", "doubt"})
# What is asked for: a message that says any of it says all of it.
ASKED_FOR = frozenset({"muscle", "aim", "occasion", "variation", "today-state"})
# What describes a pain: without the pain it has no meaning.
DESCRIBES_PAIN = frozenset(
    {
        "pain-score",
        "pain-next-day",
        "pain-weeks",
        "pain-side",
        "provoked-by",
        "eased-by",
        "course",
        "onset",
        "episodes",
        "masked-by",
    }
)
# To say the one of a thing takes back the other.
OPPOSITES = MappingProxyType({"has": "lacks", "lacks": "has"})
# Of these a correction takes back what was said before; a sign is only taken back by a clear no.
AMENDED = frozenset({"area", "lift", "moment", "fault", "sensation", "twist-toward", "front-foot", "weak-side"})
# What was asked for in an earlier message goes on when a later one only adds facts.
GOES_ON = frozenset({"recommend", "swap", "week", "block", "lift-today", "hand-over"})
# Whoever tells of these has something to be helped with, asked for or not.
COMPLAINS = frozenset({"area", "fault", "moment", "sensation", "twist-toward", "weak-side"})
# Questions about exercises: without a name they mean those that were just spoken of.
ABOUT_EXERCISES = frozenset({"dose", "how-to", "why", "why-not", "compare", "muscles", "timing", "hand-over"})
# Of these, the ones that mean nothing at all without an exercise.
OF_NAMED = frozenset({"dose", "how-to", "compare", "timing"})


class CaseError(ValueError):
    """A case that was handed in and cannot be one; `where` is the place in it, `what` the kind of fault."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(f"{where}: {what}")
        self.where = where
        self.what = what


class Question:
    """The question that an answer ended with: what it asks for, and what silence on it counts as."""

    __slots__ = ("fact", "silence", "text")

    def __init__(self, fact: str, text: str = "", silence: tuple[Fact, ...] = ()) -> None:
        self.fact = fact
        self.text = text
        self.silence = silence


class Case:
    """All that is held about one asker after some messages."""

    __slots__ = ("asked", "asked_before", "facts", "goal", "named", "picks", "records", "told", "turns", "want")

    def __init__(
        self,
        facts: Iterable[Fact] = (),
        records: Iterable[Any] = (),
        asked: Question | None = None,
        asked_before: Iterable[str] = (),
        want: str = "",
        named: Iterable[str] = (),
        turns: int = 0,
        picks: Iterable[str] = (),
        goal: str = "",
        told: Iterable[str] = (),
    ) -> None:
        self.facts = tuple(facts)
        self.records = tuple(records)
        self.asked = asked
        self.asked_before = tuple(asked_before)
        self.want = want
        self.named = tuple(named)
        self.turns = turns
        self.picks = tuple(picks)
        self.goal = goal
        self.told = tuple(told)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Case) and self.as_json() == other.as_json()

    def __hash__(self) -> int:
        return hash((self.facts, self.asked_before, self.want, self.named, self.turns))

    def __repr__(self) -> str:
        return f"Case({self.as_json()!r})"

    def values(self, attribute: str) -> tuple[str | float, ...]:
        """What is held of one attribute, in the order in which it was said."""
        return tuple(fact.value for fact in self.facts if fact.attribute == attribute)

    def wanted(self, reading: Any) -> str:
        """What this message asks for: bare facts go on with what was wanted before, and a complaint wants help."""
        complains = _complains(reading)
        if reading.goes_on and self.want not in ("", "state", "social"):
            return self.want
        if reading.want in OF_NAMED and complains and not self.about(reading):
            return "recommend"
        if reading.want != "state" or not (reading.facts or reading.answered):
            return str(reading.want)
        if self._goes_on_about(reading):
            return self.want
        return self.goal or ("recommend" if complains else "state")

    def about(self, reading: Any) -> tuple[str, ...]:
        """Return the exercises a message is about: those it names, or those just spoken of where it asks about some."""
        named = tuple(dict.fromkeys(str(fact.value) for fact in reading.facts if fact.attribute == "exercise"))
        if not named and self._goes_on_about(reading):
            return self.named
        if not named and reading.want in ABOUT_EXERCISES and not any(f.attribute == "muscle" for f in reading.facts):
            return self.named
        return named

    def _goes_on_about(self, reading: Any) -> bool:
        """Whether a message only answers what was asked back to a question about exercises."""
        if not reading.answered or reading.want != "state" or _complains(reading):
            return False
        return bool(self.named) and self.want in ABOUT_EXERCISES

    def for_reasoning(self, want: str) -> tuple[Fact, ...]:
        """All facts for the engine: those held, the fields of records by dotted names, and what is wanted."""
        facts = list(self.facts)
        for record in self.records:
            for field, value in record.value.items():
                for one in value if isinstance(value, list) else (value,):
                    facts.append(Fact(f"{record.attribute}.{field}", one, record.words))
        return (*facts, Fact("want", want))

    def absorb(self, reading: Any, kinds: Mapping[str, Any]) -> Case:
        """Return the case after one more message; `kinds` are the attributes of the knowledge by name."""
        # Whoever asked what a muscle does did not ask for work for it.
        passing = {*OF_ONE_MESSAGE, "muscle"} if self.want == "muscles" else OF_ONE_MESSAGE
        facts = [fact for fact in self.facts if fact.attribute not in passing]
        records = [record for record in self.records if record.attribute not in OF_ONE_MESSAGE]
        for gone in reading.retracted:
            facts = [fact for fact in facts if not _takes_back(gone, fact)]
            records = [record for record in records if not _takes_back(gone, record)]
        said = list(reading.facts)
        if any(fact.attribute == "doubt" for fact in said):
            # A new doubt near a sign is asked about again, whatever was answered before.
            facts = [fact for fact in facts if fact.value != "no" or fact.attribute not in self.asked_before]
        if self.asked is not None and not reading.answered:
            said += [fact for fact in self.asked.silence if fact not in said]
        facts = _replace(facts, said, kinds, reading.amends)
        return self._but(
            facts=facts + said,
            records=records + [record for record in reading.records if record not in records],
            asked=None,
            turns=self.turns + 1,
        )

    def adding(self, facts: Iterable[Fact], kinds: Mapping[str, Any]) -> Case:
        """Return the case with facts that no message said, as from a form."""
        said = list(facts)
        return self._but(facts=_replace(list(self.facts), said, kinds) + said)

    def answered_with(
        self,
        want: str,
        named: Iterable[str] = (),
        picks: Iterable[str] = (),
        told: Iterable[str] = (),
        asked: Question | None = None,
    ) -> Case:
        """Return the case as it goes out: what was wanted, spoken of, chosen, told and asked."""
        before = self.asked_before
        if asked is not None and asked.fact not in before:
            before = (*before, asked.fact)
        goal = want if want in GOES_ON else self.goal
        chosen = picks if want in GOES_ON else self.picks
        told = dict.fromkeys((*self.told, *told))
        return self._but(want=want, goal=goal, named=named, picks=chosen, told=told, asked=asked, asked_before=before)

    def without(self, attribute: str) -> Case:
        """Return the case without all that is held of one attribute."""
        return self._but(
            facts=[fact for fact in self.facts if not _belongs(fact.attribute, attribute)],
            records=[record for record in self.records if record.attribute != attribute],
        )

    def known_to(self, kinds: Mapping[str, Any]) -> Case:
        """Return the case without what this knowledge has no name for, as after a change of knowledge."""
        return self._but(
            facts=[fact for fact in self.facts if fact.attribute.partition(".")[0] in kinds],
            records=[record for record in self.records if record.attribute in kinds],
        )

    def _but(self, **changes: Any) -> Case:
        """Return the same case with some of its parts changed."""
        return Case(**{**{name: getattr(self, name) for name in self.__slots__}, **changes})

    def as_json(self) -> dict[str, Any]:
        """Return the case as plain JSON values."""
        value: dict[str, Any] = {
            "format": FORMAT,
            "turns": self.turns,
            "facts": [list(fact) for fact in self.facts],
            "records": [list(record) for record in self.records],
            "want": self.want,
            "goal": self.goal,
            "named": list(self.named),
            "picks": list(self.picks),
            "told": list(self.told),
            "asked_before": list(self.asked_before),
            "asked": None,
        }
        if self.asked is not None:
            silence = [list(fact) for fact in self.asked.silence]
            value["asked"] = {"fact": self.asked.fact, "text": self.asked.text, "silence": silence}
        return value

    @classmethod
    def from_json(cls, value: object) -> Case:
        """Read what `as_json` wrote; anything else raises a CaseError that names the place."""
        top = _mapping(value, "case")
        if top.get("format") != FORMAT:
            raise CaseError("case.format", "format")
        asked = None
        if top.get("asked") is not None:
            inner = _mapping(top["asked"], "case.asked")
            silence = _facts(inner.get("silence", []), "case.asked.silence", plain=True)
            asked = Question(_text(inner.get("fact"), "case.asked.fact"), str(inner.get("text", "")), silence)
        turns = top.get("turns", 0)
        if not isinstance(turns, int) or isinstance(turns, bool) or turns < 0:
            raise CaseError("case.turns", "number")
        return cls(
            _facts(top.get("facts", []), "case.facts", plain=True),
            _facts(top.get("records", []), "case.records", plain=False),
            asked,
            _texts(top.get("asked_before", []), "case.asked_before"),
            _text(top.get("want", ""), "case.want"),
            _texts(top.get("named", []), "case.named"),
            turns,
            _texts(top.get("picks", []), "case.picks"),
            _text(top.get("goal", ""), "case.goal"),
            _texts(top.get("told", []), "case.told"),
        )


def _complains(reading: Any) -> bool:
    """Whether a message tells of something that wants help."""
    return any(
        fact.attribute in COMPLAINS or (fact.attribute, fact.value) == ("pain", "present") for fact in reading.facts
    )


def _replace(facts: list[Fact], said: Sequence[Fact], kinds: Mapping[str, Any], amends: bool = False) -> list[Fact]:
    """Drop what the new facts stand in the place of; the rest is united with them, unless it is put right."""
    exact = {(fact.attribute, fact.value) for fact in said}
    whole = {fact.attribute for fact in said if fact.attribute in ASKED_FOR or _single(fact.attribute, kinds)}
    if amends:
        whole |= {fact.attribute for fact in said if fact.attribute in AMENDED}
    opposite = {(OPPOSITES[fact.attribute], fact.value) for fact in said if fact.attribute in OPPOSITES}
    if any(fact.attribute == "lacks" and fact.value == "everything" for fact in said):
        whole.add("has")
    if any(fact.attribute == "has" for fact in said):
        opposite.add(("lacks", "everything"))
    if ("pain", "absent") in exact:
        whole |= DESCRIBES_PAIN
    return [
        fact
        for fact in facts
        if fact.attribute not in whole
        and (fact.attribute, fact.value) not in exact
        and (fact.attribute, fact.value) not in opposite
    ]


def _single(attribute: str, kinds: Mapping[str, Any]) -> bool:
    """Whether an attribute, or one place of a map, holds one value at a time."""
    kind = kinds.get(attribute.partition(".")[0])
    return kind is not None and kind.kind in ("one", "number", "map")


def _belongs(name: str, attribute: str) -> bool:
    return name == attribute or name.startswith(attribute + ".")


def _takes_back(gone: Fact, fact: Fact) -> bool:
    """Whether a retraction means this fact; without a value it means all of its attribute."""
    if gone.attribute == "pain" and gone.value == "" and fact.attribute in (*DESCRIBES_PAIN, "hurting"):
        return True
    return _belongs(fact.attribute, gone.attribute) and gone.value in ("", None, fact.value)


def _mapping(value: object, where: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise CaseError(where, "object")
    return value


def _text(value: object, where: str) -> str:
    if not isinstance(value, str) or len(value) > LONGEST_WORDS:
        raise CaseError(where, "text")
    return value


def _texts(value: object, where: str) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) > MOST_FACTS:
        raise CaseError(where, "list")
    return tuple(_text(one, f"{where}[{place}]") for place, one in enumerate(value))


def _facts(value: object, where: str, plain: bool) -> tuple[Fact, ...]:
    if not isinstance(value, list) or len(value) > MOST_FACTS:
        raise CaseError(where, "list")
    facts = []
    for place, one in enumerate(value):
        at = f"{where}[{place}]"
        if not isinstance(one, list) or len(one) != 3:
            raise CaseError(at, "fact")
        attribute, figure, words = one
        number = isinstance(figure, (int, float)) and not isinstance(figure, bool) and abs(figure) < 1e9
        if plain and not number:
            figure = _text(figure, at + "[1]")
        if not plain and not isinstance(figure, dict):
            raise CaseError(at + "[1]", "object")
        facts.append(Fact(_text(attribute, at + "[0]"), figure, str(words)[:LONGEST_WORDS]))
    return tuple(facts)
