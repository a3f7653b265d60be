"""Small bases and findings for the tests of coaching, written in a line each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from backstay.knowledge.base import Attribute, Base, Effect, Exercise, Node, ParsedRule, Phase, Question, RuleInfo
from backstay.knowledge.facts import Fact
from backstay.knowledge.program import compile_program

ATTRIBUTES = {
    "phase": Attribute("phase", "one", cautious=("peaking", "pre-competition", "specific-preparation")),
    "weeks-to-meet": Attribute("weeks-to-meet", "number"),
    "training-days": Attribute("training-days", "number"),
    "today-state": Attribute("today-state", "many"),
}

USUAL_DOSE: Mapping[str, Any] = {
    "sets": 3,
    "reps": [8, 12],
    "rest": [60, 90],
    "load": "light",
    "reserve": [2, 3],
    "times-a-week": [1, 1],
    "source": ["common-practice"],
}


def exercise(name: str, **fields: Any) -> Exercise:
    """An exercise with these fields, and something ordinary in all others."""
    usual: dict[str, Any] = {
        "exercise": name,
        "name": name.replace("-", " "),
        "also": (),
        "trains": {"brace": 1},
        "family": name,
        "pattern": "brace",
        "kind": "strength",
        "speed": "slow",
        "spine_motion": "none",
        "turning": False,
        "loaded": False,
        "bar_loaded": False,
        "head_down": False,
        "breath_hold": False,
        "floor": False,
        "jerky": False,
        "position": "standing",
        "skill": "simple",
        "soreness": "little",
        "provokes": (),
        "sides": "both",
        "one_sided": False,
        "one_leg": False,
        "side_means": "",
        "ways": ({"with": (), "as": ""},),
        "stress": "low",
        "phases": {},
        "doses": {"usual": dict(USUAL_DOSE)},
        "dose_for": (),
        "levels": {},
        "set_up": (),
        "cues": (),
        "carry_over": "",
        "mistakes": (),
        "cautions": (),
        "easier": (),
        "harder": (),
        "swaps": (),
        "soreness_card": False,
        "sources": (),
    }
    usual.update(fields)
    if "dose" in usual:
        usual["doses"] = {"usual": {**USUAL_DOSE, **usual.pop("dose")}}
    extra = set(Exercise._fields) - set(usual)
    for field in extra:  # fields that the format has gained since
        usual[field] = ()
    return Exercise(**usual)


def rule(name: str, room: str = "rules", over: Iterable[str] = (), effects: Iterable[Effect] = ()) -> RuleInfo:
    place = ("x.yaml", 1, 1)
    return RuleInfo(name, f"because of {name}", ("common-practice",), tuple(over), room, place, tuple(effects))


def base(
    exercises: Iterable[Exercise] = (),
    rules: Iterable[RuleInfo] = (),
    questions: Iterable[str] = (),
    phases: Iterable[Phase] = (),
    parsed: Iterable[ParsedRule] = (),
    attributes: Mapping[str, Attribute] = MappingProxyType({}),
) -> Base:
    """A base of these parts; exercises in the order of their ids, as the compiled one has them.

    `rules` are known by name only, for findings that a test makes up; `parsed` ones are run by the engine.
    """
    made = Base({})
    run = tuple(parsed)
    made.messages = {"high-repetitions": "…", "soreness-or-pain": "…"}
    known = {**ATTRIBUTES, **attributes}
    made.attributes = known
    made.program = compile_program(known, (), run)
    rules = [*rules, *(rule(one.id, effects=one.effects) for one in run)]
    made.exercises = {one.exercise: one for one in sorted(exercises, key=lambda one: one.exercise)}
    made.rules = {one.id: one for one in rules}
    made.questions = {name: Question(name, name, f"{name}?", (), "") for name in questions}
    made.phases = {one.phase: one for one in phases}
    return made


def parsed(
    name: str, when: Node = ("all", ()), *effects: Effect, assumes: Iterable[tuple[str, str]] = ()
) -> ParsedRule:
    """A rule for the engine."""
    return ParsedRule(name, when, None, (), tuple(assumes), effects, ("x.yaml", 1, 1))


def weeks(at_most: float) -> Node:
    """The condition that the meet is so many weeks away, or less."""
    return ("number", "weeks-to-meet", "at-most", at_most)


class Findings:
    """What held and fired, as a test says it: (rule, effect) pairs, and facts with their standing."""

    def __init__(
        self,
        effects: Iterable[tuple[str, Effect]] = (),
        facts: Mapping[str, Any] | None = None,
        assumed: Mapping[str, Any] | None = None,
    ) -> None:
        self.effects = tuple(effects)
        self._facts: dict[str, tuple[Any, ...]] = {}
        for held in (assumed or {}, facts or {}):
            for name, value in held.items():
                self._facts[name] = tuple(value) if isinstance(value, (list, tuple)) else (value,)
        self._assumed = dict(assumed or {})

    @property
    def fired(self) -> tuple[str, ...]:
        return tuple(sorted({name for name, _ in self.effects}))

    @property
    def assumed(self) -> tuple[tuple[str, Any], ...]:
        return tuple((name, value) for name, value in sorted(self._assumed.items()))

    @property
    def facts(self) -> tuple[Fact, ...]:
        return tuple(
            Fact(name, value) for name, values in self._facts.items() if name not in self._assumed for value in values
        )

    def values(self, attribute: str) -> tuple[Any, ...]:
        return self._facts.get(attribute, ())

    def has(self, attribute: str, value: Any) -> bool:
        return value in self.values(attribute)

    def number(self, attribute: str) -> float | None:
        values = self.values(attribute)
        return values[0] if values and not isinstance(values[0], str) else None

    def standing(self, attribute: str, value: Any) -> str:
        if not self.has(attribute, value):
            return ""
        return "assumed" if attribute in self._assumed else "said"


def rules_of(effects: Sequence[tuple[str, Effect]], over: Mapping[str, Iterable[str]] | None = None) -> list[RuleInfo]:
    """One RuleInfo for each rule that has effects, with what it stands over."""
    names = sorted({name for name, _ in effects})
    return [rule(name, over=(over or {}).get(name, ())) for name in names]
