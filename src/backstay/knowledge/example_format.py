"""Example format: the model of an entry of examples/, a talk and what each of its answers must or must not hold.

    - example: ID
      title, who: text          for those who read it
      today: 2026-05-31         the day it is taken to be; without it TODAY
      turns:
        - says: a message, and/or given: {ATTRIBUTE: value or list}   facts that are handed in as they are
          …                     what the answer must hold; each key of Turn below says what it means

`backstay check` runs them over the folder they stand in. Expectations are compared with the answer's JSON.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

from backstay.knowledge.format import Id, Ids, Number, RuleNames, Text, Texts, hyphened, listed

TODAY = "2026-01-05"
Day = Annotated[str, StringConstraints(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]
Fact = Text | Number | list[Any] | dict[str, Any]
Facts = dict[Annotated[str, StringConstraints(pattern=r"^[a-z0-9.-]+$")], Fact]
Side = Literal["left", "right"]
Days = Annotated[list[Annotated[int, Field(ge=1, le=7)]], BeforeValidator(listed)]


class Strict(BaseModel):
    """No key that is not named, nothing read as something else."""

    model_config = ConfigDict(extra="forbid", strict=True, alias_generator=hyphened)


class Amount(Strict):
    """What a dose must be, as far as it is said; a number, or from and to."""

    use: Id | None = None
    sets: Number | list[Number] | None = None
    reps: Number | list[Number] | None = None
    seconds: Number | list[Number] | None = None
    metres: Number | list[Number] | None = None
    rest_s: Number | list[Number] | None = None
    load_kg: Number | list[Number] | None = None
    reserve: Number | list[Number] | None = None
    times_a_week: Number | list[Number] | None = None


class Turn(Strict):
    """One message, or facts, and what the answer holds."""

    says: Text | None = None
    given: Facts | None = None
    want: Id | None = None  # what was understood to be asked for
    facts: Facts | None = None  # what was understood, all of it
    facts_has: Facts | None = None
    assumed: Facts | None = None  # taken for granted
    derived_or_assumed: Facts | None = None
    outcome: Literal["advice", "question", "stop", "refer", "out-of-scope", "not-understood", "noted"] | None = None
    urgency: Literal["none", "clinician", "urgent", "emergency"] | None = None
    within: Literal["now", "today", "days", "weeks"] | None = None
    notices: Ids | None = None  # these, in this order, and no other
    notices_has: Ids | None = None
    notices_not: Ids | None = None
    asks: Text | None = None  # the attribute that is asked back
    asks_with: Text | None = None  # how its name ends
    picks_some: Ids | None = None  # at least one of these
    picks_has: Ids | None = None
    picks_not: Ids | None = None
    picks_only: list[Id] | None = None  # these, in this order, and no other
    because_has: RuleNames | None = None  # rules that give a pick, or leave one out
    first_side: dict[Id, Side] | None = None
    days: dict[Id, Days] | None = None
    dose: dict[Id, Amount] | None = None
    week_days: Annotated[int, Field(ge=0, le=7)] | None = None
    block_ends: Day | None = None
    shows: Texts | None = None  # words of the text; how lines are broken does not matter
    shows_not: Texts | None = None
    safety: Texts | None = None  # words that stand in the text, and before any exercise


class ExampleEntry(Strict):
    """A talk with its answers."""

    example: Id
    title: Text = ""
    who: Text = ""
    today: Day = TODAY
    turns: Annotated[list[Turn], Field(min_length=1)]
