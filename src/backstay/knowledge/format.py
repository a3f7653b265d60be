"""Format: what may stand in a knowledge folder, format 1.

    folder        base.yaml                 {format: 1, name: text}, and emergency-number if 112 is not the number
                  KIND.yaml, KIND/*.yaml    lists of entries; KIND says which entries (kinds.py)
                  exercises/ID.yaml         one mapping a file; ID is the exercise's id
                  words/*.txt               common words, one a line, `#` begins a comment

    id            lower-case letters and digits, joined by hyphens
    entry         a mapping that begins with its head key; the head's value is the entry's id
                  `replaces: [ids]` in an overlay's entry takes entries of the same kind out of the folders below
    text          a text of 1 to 2,000 characters
    word          a text, or a plain number that is meant as one
    source(s)     one source id or a list of them; `common-practice` and `from-memory` are always known
    figure        a number, or a text of a number and a unit: `3`, `21 days`, `225 lb`

    condition     a mapping of tests: all of them; a list of conditions: any of them
      key         an attribute, a dotted name (`best.clean`, `limit.what`, `day-load.monday`), or one of
                  not: condition · all-of: [conditions] · any-of: [conditions] · some: {at-least: n, of: [conditions]}
      test        a value, a list of values (any of them), or a mapping of
                  every: [values] · known: true|false · count: {at-least|at-most|above|below: n} (many only) ·
                  at-least, at-most, above, below: figure (numbers only); several of these: all of them
                  a number attribute tested by a value or a list is tested for equality
                  a map or records attribute by its bare name takes only `known`: whether any of it is known

    selector      as a condition, over the properties of exercises (table in selectors.py); `everything` selects all

    effects       see effects.py

    question      `when` and `unless` say when it may be put; without either only a rule's `ask:` puts it

The models below say the shape of each entry; names that point elsewhere are checked by linking.py, conditions by
conditions.py, selectors by selectors.py, effects by effects.py. Pydantic is used here and nowhere else.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, WithJsonSchema

FORMAT = 1
ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
RULE_PATTERN = r"^[a-z0-9-]+(/[a-z0-9-]+)*$"
UNITS_OF_FIGURES = (
    "weeks", "years", "kg", "cm", "days", "minutes", "hours", "seconds", "score", "times", "percent", "people",
    "sessions", "reps", "metres", "ratio",
)  # fmt: skip


def listed(value: Any) -> Any:
    """A single value as a list of one."""
    return value if isinstance(value, list) else [value]


def worded(value: Any) -> Any:
    """A plain number among words is the word: a day `3`, a heard "45"."""
    return f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else value


Id = Annotated[str, StringConstraints(pattern=ID_PATTERN, max_length=80)]
Text = Annotated[str, StringConstraints(min_length=1, max_length=2000)]
Word = Annotated[Text, BeforeValidator(worded)]
Ids = Annotated[list[Id], BeforeValidator(listed)]
Words = Annotated[list[Word], BeforeValidator(listed)]
Texts = Annotated[list[Text], BeforeValidator(listed)]
RuleNames = Annotated[list[Annotated[str, StringConstraints(pattern=RULE_PATTERN)]], BeforeValidator(listed)]
Number = int | float
Count = Annotated[int, Field(ge=0, le=10_000)]
# What stands inside these is read elsewhere; schemas.py says their shape under these names.
Condition = Annotated[dict[str, Any] | list[Any], WithJsonSchema({"title": "condition"})]
Then = Annotated[dict[str, Any], WithJsonSchema({"title": "effects"})]
Unit = Literal[
    "weeks", "years", "kg", "cm", "days", "minutes", "hours", "seconds", "score", "times", "percent", "people",
    "sessions", "reps", "metres", "ratio",
]  # fmt: skip


def hyphened(name: str) -> str:
    """A field's key in YAML: no underscores, and none of those that keep it from being a word of Python."""
    return name.rstrip("_").replace("_", "-")


class Entry(BaseModel):
    """What every entry has in common: no key that is not named, and nothing read as something else."""

    model_config = ConfigDict(extra="forbid", strict=True, alias_generator=hyphened)

    replaces: Ids = Field(default=[])


class Part(BaseModel):
    """A mapping inside an entry."""

    model_config = ConfigDict(extra="forbid", strict=True, alias_generator=hyphened)


class BaseFile(BaseModel):
    """base.yaml."""

    model_config = ConfigDict(extra="forbid", strict=True, alias_generator=hyphened)

    format: int
    name: Text
    emergency_number: Annotated[
        str, StringConstraints(pattern=r"^[0-9][0-9 -]*$", max_length=20), BeforeValidator(worded)
    ] = ""


class AttributeEntry(Entry):
    """What can be held true of an asker."""

    attribute: Id
    kind: Literal["one", "many", "number", "map", "records"]
    values: Words = Field(default=[])
    values_from: Ids = Field(default=[])
    unit: Unit | None = None
    keys: Words = Field(default=[])
    keys_from: Id | None = None
    fields_: dict[Id, Any] = Field(default={}, alias="fields")
    cautious: Words = Field(default=[])
    shown: Literal["facts", "more", "own"] = "own"
    says: Text = ""


class MeasureEntry(Entry):
    """A number computed from two others."""

    measure: Id
    of: Annotated[list[Text], Field(min_length=2, max_length=2)]
    as_: Literal["ratio", "difference", "percent-apart", "percent-of"]
    says: Text = ""


class QualityEntry(Entry):
    """What can be needed and trained."""

    quality: Id
    name: Text
    says: Text = ""


class SideEffects(BaseModel):
    """Where one side of a muscle turns and bends the trunk to, seen from that side."""

    model_config = ConfigDict(extra="forbid", strict=True)

    turns: Literal["same", "opposite", "none"]
    bends: Literal["same", "none"]


class MuscleEntry(Entry):
    """A muscle; a quality by itself as well."""

    muscle: Id
    name: Text
    also: Words = Field(default=[])
    parts: Texts = Field(default=[])
    does: Texts
    side_effects: SideEffects
    says: Text = ""
    sources: Ids


class EquipmentEntry(Entry):
    """A piece of equipment."""

    equipment: Id
    name: Text
    usual: bool
    also: Words = Field(default=[])
    serves_as: Ids = Field(default=[])
    says: Text = ""


class PhaseEntry(Entry):
    """A part of the season."""

    phase: Id
    name: Text
    aim: Text
    weeks_to_meet: dict[Literal["at-least", "at-most", "above", "below"], Number | Text] = Field(default={})
    stress_limit: Annotated[Number, Field(ge=0, le=1000)]
    items: Annotated[int, Field(ge=0, le=20)]
    says: Text = ""
    source: Ids


class IronEntry(Entry):
    """What a load is made of: bars, discs, collars, and weights that are taken as they are."""

    iron: Id
    name: Text
    of: Id
    as_: Literal["bar", "disc", "collar", "single"]
    kg: Annotated[list[Annotated[Number, Field(gt=0, le=100)]], BeforeValidator(listed), Field(min_length=1)]
    usual: bool = False
    says: Text = ""
    source: Ids


class QuestionEntry(Entry):
    """A question that can be put back."""

    question: Id
    asks: Text
    when: Condition | None = None
    unless: Condition | None = None
    text: Text
    answers: list[Number | Text] = Field(default=[])
    because: Text = ""


class MessageEntry(Entry):
    """A sentence shown to people."""

    message: Id
    text: Text


class SourceEntry(Entry):
    """What claims stand on."""

    source: Id
    cite: Text
    kind: Literal["paper", "book", "guideline", "standard", "practice", "memory"]
    seen: Literal["abstract", "page", "secondary", "from memory"]
    says: Text


class RuleEntry(Entry):
    """A rule of rules/ or screening/."""

    rule: Id
    when: Condition | None = None
    unless: Condition | None = None
    then: Then
    because: Text
    source: Ids
    over: RuleNames = Field(default=[])
    status: Literal["draft", "in-use"] = "in-use"


class IdeaEntry(Entry):
    """A family of words that is no fact of itself. What the keys of phrases mean is said in automaton.py."""

    idea: Text
    forms: Words
    says: dict[str, Any] = Field(default={})
    place: Text = ""


class PhraseEntry(Entry):
    """A run of words that says facts."""

    phrase: Text
    says: dict[str, Any] = Field(default={})
    forms: Words
    place: Text = ""


class TogetherEntry(Entry):
    """Ideas or facts that mean something when they stand near each other."""

    together: Text
    of: Words
    within: Word = "clause"
    says: dict[str, Any]
    unless: Words = Field(default=[])
    scope: Text | dict[str, Text] = "asserted"


class WantEntry(Entry):
    """Cues for what is wanted."""

    want: Text
    weight: Annotated[Number, Field(ge=-20, le=20)] = 1
    forms: Words
    says: dict[str, Any] = Field(default={})
    place: Text = ""


class HintEntry(Entry):
    """A family of words that leans are made of; it says nothing, and nothing else looks at it."""

    hint: Text
    forms: Words
    place: Text = ""


class LeanEntry(Entry):
    """What stands together in a sentence and makes a want likelier, or less likely."""

    lean: Text
    weight: Annotated[Number, Field(ge=-20, le=20)] = 2
    of: Words
    within: Literal["sentence", "message"] = "sentence"
    unless: Words = Field(default=[])


class TendencyEntry(Entry):
    """How much what is seen in a message speaks for a want; fitted by a script, not written by hand."""

    tendency: Text
    seen: dict[str, Number] = Field(default={})
    words: dict[str, Number] = Field(default={})
    last: dict[str, Number] = Field(default={})


class TriggerEntry(Entry):
    """Words that put others out of the here and now."""

    trigger: Text
    forms: Words
    reach: Text = "forward"
    within: Number = 6
    says: dict[str, Any] = Field(default={})
    place: Text = ""
