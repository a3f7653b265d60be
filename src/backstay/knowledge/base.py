"""Base: the compiled knowledge as the other rooms read it.

Everything here is made from plain data (text, numbers, tuples, dicts), so that it can be kept in one file and read back
fast. A section is unpacked when it is first asked for: an answer that never shows a source never reads the sources.
Nothing in a Base may be changed; two answers share one.

Keys of inner mappings (of a dose, a phase table, a level) stay as they are written in YAML, with hyphens; fields of the
tuples below have underscores instead.
"""

import marshal
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

Node = tuple[Any, ...]
"""A condition as a tree: ("all", nodes) ("any", nodes) ("some", n, nodes) ("not", node) ("is", attribute, value)
("known", attribute) ("count", attribute, op, n) ("number", attribute, op, figure)
op: at-least, at-most, above, below."""

Effect = tuple[Any, ...]
"""A compiled effect: its name first, then its particulars; see knowledge/effects.py."""


class Attribute(NamedTuple):
    """What can be held true. A map or records attribute has an entry for each dotted name too."""

    name: str
    kind: str  # one | many | number | map | records
    values: tuple[str, ...] = ()  # allowed values in order; empty: any
    unit: str = ""  # of a number, or of a map's figures
    cautious: tuple[str, ...] = ()  # most cautious first
    shown: str = "own"  # facts | more | own
    says: str = ""
    keys: tuple[str, ...] = ()  # of a map
    fields: tuple[tuple[str, str], ...] = ()  # of records: (field, what it holds)
    of: str = ""  # the map or records attribute that a dotted name belongs to
    measure: bool = False  # computed from other numbers, never said


class Measure(NamedTuple):
    """A number computed from two numbers before any rule is run."""

    measure: str
    of: tuple[str, str]
    how: str  # ratio | difference | percent-apart | percent-of


class Exercise(NamedTuple):
    """One exercise, a field for every key of its file."""

    exercise: str
    name: str
    also: tuple[str, ...]
    trains: dict[str, int]
    family: str
    pattern: str
    kind: str
    speed: str
    spine_motion: str
    turning: bool
    loaded: bool
    bar_loaded: bool
    head_down: bool
    breath_hold: bool
    floor: bool
    jerky: bool
    position: str
    skill: str
    soreness: str
    provokes: tuple[str, ...]
    sides: str
    one_sided: bool  # sides: each
    one_leg: bool
    side_means: str
    ways: tuple[dict[str, Any], ...]  # {"with": (equipment, …), "as": text}; at least one, possibly with nothing needed
    stress: str
    phases: dict[str, str]
    doses: dict[str, dict[str, Any]]  # the first is the usual one
    dose_for: tuple[dict[str, Any], ...]
    levels: dict[str, Any]
    set_up: tuple[str, ...]
    cues: tuple[str, ...]
    carry_over: str
    mistakes: tuple[str, ...]
    cautions: tuple[dict[str, Any], ...]
    easier: tuple[str, ...]
    harder: tuple[str, ...]
    swaps: tuple[str, ...]
    soreness_card: bool
    posture: dict[str, Any]  # empty: there is no figure
    spine_load: dict[str, Any]
    sources: tuple[str, ...]

    @property
    def id(self) -> str:
        """The exercise's id, which is also its file's name."""
        return self.exercise


class Quality(NamedTuple):
    """What can be needed; each muscle is one as well."""

    quality: str
    name: str
    says: str


class Muscle(NamedTuple):
    """A muscle: its parts, what it does, and to which side its work turns and bends the trunk."""

    muscle: str
    name: str
    parts: tuple[str, ...]
    does: tuple[str, ...]
    side_effects: dict[str, str]
    sources: tuple[str, ...]
    also: tuple[str, ...]
    says: str


class Equipment(NamedTuple):
    """A piece of equipment, whether it stands in a usual gym, and what it can stand in for."""

    equipment: str
    name: str
    usual: bool
    also: tuple[str, ...]
    serves_as: tuple[str, ...]
    says: str


class Iron(NamedTuple):
    """What a load is made of; `kg` from the heaviest down, in quarters of a kilogram."""

    iron: str
    name: str
    of: str  # the equipment it belongs to
    part: str  # bar | disc | collar | single
    kg: tuple[float, ...]
    usual: bool  # the bar that is taken where nobody says which
    sources: tuple[str, ...]
    says: str


class Lift(NamedTuple):
    """What a lift of the sport itself loads on the low back; both parts as in an exercise file."""

    lift: str
    posture: dict[str, Any]
    seconds_a_rep: float  # under load; 0 where there is no figure
    spine_load: dict[str, Any]
    sources: tuple[str, ...]
    says: str


class Phase(NamedTuple):
    """A part of the season, in the order of the season."""

    phase: str
    name: str
    aim: str
    weeks_to_meet: dict[str, float]  # at-least, at-most, above, below: in weeks
    stress_limit: float
    items: int
    sources: tuple[str, ...]
    says: str


class Question(NamedTuple):
    """A question that can be put back to the asker."""

    question: str
    asks: str
    text: str
    answers: tuple[str | float, ...]
    because: str


class Source(NamedTuple):
    """What a claim stands on, and how much of it was seen."""

    source: str
    cite: str
    kind: str
    seen: str
    says: str


class RuleInfo(NamedTuple):
    """What an answer can show of a rule; how it is run stands in the program."""

    id: str
    because: str
    sources: tuple[str, ...]
    over: tuple[str, ...]
    room: str  # screening | rules | exercise | kit
    place: tuple[str, int, int]
    effects: tuple[Effect, ...]


class ParsedRule(NamedTuple):
    """A rule ready for knowledge/program.py. A rule without `when` has ("all", ()), which always holds."""

    id: str
    when: Node
    unless: Node | None
    concludes: tuple[tuple[str, str | float], ...]
    assumes: tuple[tuple[str, str | float], ...]
    effects: tuple[Effect, ...]
    place: tuple[str, int, int]


_KINDS: dict[str, Any] = {
    "attributes": Attribute,
    "measures": Measure,
    "exercises": Exercise,
    "qualities": Quality,
    "muscles": Muscle,
    "equipment": Equipment,
    "iron": Iron,
    "lifts": Lift,
    "phases": Phase,
    "questions": Question,
    "sources": Source,
}


class Rules(Mapping[str, RuleInfo]):
    """The rules by their ids, each unpacked when it is first asked for: an answer is made of a few of them."""

    __slots__ = ("_packed", "_rules")

    def __init__(self, packed: Mapping[str, Any]) -> None:
        self._packed = packed
        self._rules: dict[str, RuleInfo] = {}

    def __getitem__(self, id_: str) -> RuleInfo:
        rule = self._rules.get(id_)
        if rule is None:
            row = self._packed[id_]
            rule = self._rules[id_] = RuleInfo._make(marshal.loads(row) if row.__class__ is bytes else row)
        return rule

    def __contains__(self, id_: object) -> bool:
        return id_ in self._packed

    def __iter__(self) -> Iterator[str]:
        return iter(self._packed)

    def __len__(self) -> int:
        return len(self._packed)


class Base:
    """The whole knowledge, compiled. Made from sections: plain data, or bytes that marshal unpacks on first use."""

    attributes: dict[str, Attribute]
    measures: dict[str, Measure]
    exercises: dict[str, Exercise]
    qualities: dict[str, Quality]
    muscles: dict[str, Muscle]
    equipment: dict[str, Equipment]
    iron: dict[str, Iron]
    lifts: dict[str, Lift]
    phases: dict[str, Phase]
    questions: dict[str, Question]
    sources: dict[str, Source]
    messages: dict[str, str]
    rules: Mapping[str, RuleInfo]
    program: dict[str, Any]
    automaton: dict[str, Any]
    alarm: dict[str, Any]

    __slots__ = (*_KINDS, "_sections", "alarm", "automaton", "messages", "program", "rules")

    def __init__(self, sections: Mapping[str, Any]) -> None:
        self._sections = sections

    def but(self, **sections: Any) -> "Base":
        """Return a base with other sections in the place of these."""
        return Base({**self._sections, **sections})

    def __getattr__(self, name: str) -> Any:
        # Reached only while the slot is empty: unpack the section and keep it.
        if name.startswith("_") or name not in self._sections:
            raise AttributeError(name)
        section = self._sections[name]
        if isinstance(section, bytes | memoryview):
            section = marshal.loads(section)
        if name == "automaton":
            section = {**section, "packed": self._sections["packed"]}
        if name == "rules":
            section = Rules(section)
        kind = _KINDS.get(name)
        if kind is not None:
            make = kind._make
            section = {key: make(row) for key, row in section.items()}
        setattr(self, name, section)
        return section
