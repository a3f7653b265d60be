"""Composing: the facts of a message, once neighbours are weighed against each other."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from backstay.knowledge.facts import Fact
from backstay.language.body import keep_supposed, settle_areas, settle_pain
from backstay.language.done import settle_done
from backstay.language.drafting import Draft, Note, draft
from backstay.language.history import settle_history
from backstay.language.kit import settle_kit
from backstay.language.limits import settle_limits
from backstay.language.naming import settle_names
from backstay.language.people import settle_people
from backstay.language.provocation import settle_provocation
from backstay.language.records import settle_bests
from backstay.language.scene import Scene
from backstay.language.season import settle_season


class Composed(NamedTuple):
    """The facts of a message; `records` are those whose value is a mapping."""

    facts: tuple[Fact, ...]
    records: tuple[Fact, ...]
    retracted: tuple[Fact, ...]


def compose(scene: Scene, want: str, attributes: Mapping[str, Any]) -> Composed:
    """Compose the facts of a scene."""
    new = draft(scene, want, attributes)
    keep_supposed(new)
    settle_kit(new)
    settle_areas(new)
    settle_bests(new)
    settle_people(new)
    settle_season(new)
    settle_provocation(new)
    settle_pain(new)
    settle_history(new)
    settle_limits(new)
    settle_names(new)
    _occasion(new)
    settle_done(new)
    _sides(new)
    _one_each(new)
    known = {(note.attribute, str(note.value)) for note in new.notes}
    return Composed(
        _facts(new, new.notes),
        tuple(_fact(new, note) for note in new.records),
        tuple(fact for fact in _facts(new, new.retracted) if (fact.attribute, str(fact.value)) not in known),
    )


def _facts(new: Draft, notes: list[Note]) -> tuple[Fact, ...]:
    seen: set[tuple[str, str]] = set()
    facts = []
    for note in sorted(notes, key=lambda note: (note.start, note.attribute, str(note.value))):
        key = (note.attribute, str(note.value))
        if key not in seen:
            seen.add(key)
            facts.append(_fact(new, note))
    return tuple(facts)


def _fact(new: Draft, note: Note) -> Fact:
    value = note.value
    if isinstance(value, float) and value == int(value):
        value = int(value)
    return Fact(note.attribute, value, new.scene.words.shown(note.start, note.end))


def _sides(new: Draft) -> None:
    """A side of the pain only where something hurts or is sore, and only if the side is of nothing else."""
    notes = new.of("pain-side")
    if not notes:
        return
    hurts = new.has("pain", "present") or new.has("sensation", "sore")
    taken = [(note.start, note.end) for note in new.of("weak-side", "front-foot", "twist-toward", "fault")]
    kept = [
        note
        for note in notes
        if hurts and not any(start < note.end and note.start < end for start, end in taken) and _of_pain(new, note)
    ]
    new.drop([note for note in notes if note not in kept])
    said = {note.value for note in kept}
    if said >= {"left", "right"} or "both" in said:
        new.drop(kept)
        new.say("pain-side", "both", kept[0].start, kept[0].end)
    elif len(kept) > 1:
        new.drop(kept[1:])


def _of_pain(new: Draft, note: Note) -> bool:
    """Whether a side stands in a clause with what hurts, and not with a foot or a turn."""
    clauses = new.scene.clauses
    for one in new.scene.mentions:
        if one.scope or not one.says_any("pain", "sensation", "area", "muscle", "leg-symptom"):
            continue
        if (
            clauses.clause[one.start] == clauses.clause[note.start]
            or (note.value in ("both", "middle") and clauses.sentence[one.start] == clauses.sentence[note.start])
            or abs(one.start - note.end) <= 3
            or abs(note.start - one.end) <= 3
        ):
            return True
    return False


def _occasion(new: Draft) -> None:
    """When the work is for; not when it hurts. Of several the first."""
    clauses = new.scene.clauses
    felt = {
        clauses.clause[note.start]
        for note in new.of("pain-score", "pain", "sensation", "pain-next-day")
        if note.value != "absent"
    }
    new.drop(
        [note for note in new.of("occasion") if clauses.clause[note.start] in felt or new.want in ("log", "state")]
    )
    new.drop(new.of("occasion")[1:])


def _one_each(new: Draft) -> None:
    """An attribute of one value that was said in two ways is left open."""
    for name in {note.attribute for note in new.notes}:
        known = new.attributes.get(name)
        if known is None or known.kind != "one" or name in ("pain", "kit"):
            continue
        if len({str(note.value) for note in new.of(name)}) > 1:
            new.drop(new.of(name))
