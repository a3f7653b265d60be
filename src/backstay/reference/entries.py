"""Entries: all that is known of one rule, exercise, source or message, as plain values.

reference = Reference(base)
reference.rule(id), .exercise(id), .source(id), .message(id) -> a mapping that can be written as JSON
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from backstay.knowledge.base import Base, Node, ParsedRule
from backstay.knowledge.trees import NEVER, Atom, leaves
from backstay.reference.wording import Wording
from backstay.review.rules import parsed_rules

Entry = Mapping[str, Any]


class Reference:
    """The entries of one base, and how they hang together."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.wording = Wording(base)
        self.rules = {rule.id: rule for rule in parsed_rules(base)}
        self.makers: dict[Atom, list[str]] = {}
        for rule in self.rules.values():
            for atom in (*rule.concludes, *rule.assumes):
                self.makers.setdefault(atom, []).append(rule.id)

    def rule(self, id_: str) -> Entry:
        """Return a rule: what fires it, what it does, what leads to it and what it leads to."""
        rule, info = self.rules[id_], self.base.rules[id_]
        tests = tuple(dict.fromkeys(tests_of(rule)))
        gives = (*rule.concludes, *rule.assumes)
        leads_to = [
            other.id
            for other in self.rules.values()
            if other.id != id_ and any(passes(test, atom) for test in tests_of(other) for atom in gives)
        ]
        return {
            "kind": "rule",
            "id": id_,
            "because": info.because,
            "room": info.room,
            "place": place(info.place),
            "when": [list(line) for line in self.wording.lines(rule.when)],
            "unless": [list(line) for line in self.wording.lines(rule.unless)]
            if rule.unless not in (None, NEVER)
            else [],
            "concludes": [self.wording.fact(*atom) for atom in rule.concludes],
            "assumes": [self.wording.fact(*atom) for atom in rule.assumes],
            "effects": [self.wording.effect(effect) for effect in rule.effects],
            "led_to_by": self._led_to(tests, id_),
            "leads_to": leads_to,
            "over": list(info.over),
            "under": [other for other in self.base.rules if id_ in self.base.rules[other].over],
            "sources": self.sources(info.sources),
        }

    def exercise(self, id_: str) -> Entry:
        """Return an exercise: what it trains, when it fits, and all rules that speak of it."""
        exercise = self.base.exercises[id_]
        said: dict[str, list[str]] = {"gives": [], "keeps_out": [], "doses": [], "other": []}
        for name, info in self.base.rules.items():
            for effect in info.effects:
                if len(effect) > 1 and isinstance(effect[1], tuple) and id_ in effect[1]:
                    said[_HOW.get(effect[0], "other")].append(name)
                elif effect[0] == "need" and effect[1] in exercise.trains:
                    said["gives"].append(name)
        return {
            "kind": "exercise",
            "id": id_,
            "name": exercise.name,
            "trains": {self.wording.quality(one): points for one, points in exercise.trains.items()},
            "phases": dict(exercise.phases),
            "ways": [list(way["with"]) for way in exercise.ways],
            "doses": list(exercise.doses),
            "carry_over": exercise.carry_over,
            "easier": list(exercise.easier),
            "harder": list(exercise.harder),
            "swaps": list(exercise.swaps),
            "needed_by": list(dict.fromkeys(said["gives"])),
            "kept_out_by": list(dict.fromkeys(said["keeps_out"])),
            "dosed_by": list(dict.fromkeys(said["doses"])),
            "spoken_of_by": list(dict.fromkeys(said["other"])),
            "sources": self.sources(exercise.sources),
        }

    def source(self, id_: str) -> Entry:
        """Return a source, and who cites it."""
        source = self.base.sources[id_]
        rules = [name for name, info in self.base.rules.items() if id_ in info.sources and "/" not in name]
        exercises = [
            name
            for name, exercise in self.base.exercises.items()
            if id_ in exercise.sources or any(id_ in dose.get("source", ()) for dose in exercise.doses.values())
        ]
        return {
            "kind": "source",
            "id": id_,
            "cite": source.cite,
            "sort": source.kind,
            "seen": source.seen,
            "says": source.says,
            "cited_by_rules": rules,
            "cited_by_exercises": exercises,
        }

    def message(self, id_: str) -> Entry:
        """Return a message, and the rules that show it."""
        shown = [
            name
            for name, info in self.base.rules.items()
            if any(effect[0] in ("notice", "tell") and effect[1] == id_ for effect in info.effects)
        ]
        return {"kind": "message", "id": id_, "text": self.base.messages[id_].strip(), "shown_by": shown}

    def sources(self, ids: Iterable[str]) -> list[dict[str, str]]:
        """Return sources as they are cited."""
        found = []
        for id_ in ids:
            message = f"source-{id_}"
            known = self.base.sources.get(id_)
            cite = known.cite if known is not None else id_
            found.append(
                {"id": id_, "cite": self.wording.words.say(message) if self.wording.words.has(message) else cite}
            )
        return found

    def _led_to(self, tests: Iterable[Node], id_: str) -> dict[str, list[str]]:
        """For each fact that a rule looks at, the rules that conclude or assume it."""
        found: dict[str, list[str]] = {}
        for test in tests:
            for atom, makers in self.makers.items():
                if passes(test, atom):
                    others = [maker for maker in makers if maker != id_]
                    if others:
                        found[self.wording.fact(*atom)] = others
        return found


# Effects on exercises -> what they are to the exercise.
_HOW = MappingProxyType(
    {"favour": "gives", "forbid": "keeps_out", "avoid": "keeps_out", "dose": "doses", "dose-use": "doses"}
)


def tests_of(rule: ParsedRule) -> Iterator[Node]:
    """Yield each test of a rule's condition."""
    for node in (rule.when, rule.unless or NEVER):
        yield from (test for test, _ in leaves(node))


def passes(test: Node, atom: Atom) -> bool:
    """Whether a fact has a say in a test."""
    return bool(test[1] == atom[0] and (test[0] != "is" or test[2] == atom[1]))


def place(given: tuple[str, int, int]) -> str:
    """Return where something stands."""
    file, line, _ = given
    return f"{file}:{line}" if line else file
