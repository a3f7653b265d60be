"""Tables: the plain rows of a Base, in the order of the NamedTuples of base.py."""

from __future__ import annotations

from typing import Any

from backstay.knowledge.base import Equipment, Exercise, Iron, Lift, Muscle, Phase, Quality, Question, Source
from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.figures import FigureError, figure
from backstay.knowledge.format import Entry
from backstay.knowledge.gathering import Gathered, Item

Row = tuple[Any, ...]


def plain(value: Any) -> Any:
    """A value as marshal keeps it and nobody changes it: lists as tuples, models as mappings of what was written."""
    if isinstance(value, list):
        return tuple(plain(item) for item in value)
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    return value


def _part(model: Any) -> dict[str, Any]:
    """A part of an exercise as a mapping with the keys of YAML; what was not written is left out."""
    written: dict[str, Any] = plain(model.model_dump(by_alias=True, exclude_none=True))
    return written


def exercise_row(model: ExerciseEntry) -> Exercise:
    """An exercise as the other rooms see it."""
    ways = [_part(way) for way in model.ways] or [{"with": ()}]
    return Exercise(
        exercise=model.exercise,
        name=model.name,
        also=tuple(model.also),
        trains=dict(model.trains),
        family=model.family,
        pattern=model.pattern,
        kind=model.kind,
        speed=model.speed,
        spine_motion=model.spine_motion,
        turning=model.turning,
        loaded=model.loaded,
        bar_loaded=model.bar_loaded,
        head_down=model.head_down,
        breath_hold=model.breath_hold,
        floor=model.floor,
        jerky=model.jerky,
        position=model.position,
        skill=model.skill,
        soreness=model.soreness,
        provokes=tuple(model.provokes),
        sides=model.sides,
        one_sided=model.sides == "each",
        one_leg=model.one_leg,
        side_means=model.side_means or "",
        ways=tuple(ways),
        stress=model.stress,
        phases=dict(model.phases),
        doses={name: _part(dose) for name, dose in model.doses.items()},
        dose_for=tuple(_part(choice) for choice in model.dose_for),
        levels=plain(model.levels),
        set_up=tuple(model.set_up),
        cues=tuple(model.cues),
        carry_over=model.carry_over,
        mistakes=tuple(model.mistakes),
        cautions=tuple(_part(caution) for caution in model.cautions),
        easier=tuple(model.easier),
        harder=tuple(model.harder),
        swaps=tuple(model.swaps),
        soreness_card=model.soreness_card,
        posture=_part(model.posture) if model.posture is not None else {},
        spine_load=_part(model.spine_load) if model.spine_load is not None else {},
        sources=tuple(model.sources),
    )


def _muscle(model: Any) -> Muscle:
    effects = {"turns": model.side_effects.turns, "bends": model.side_effects.bends}
    parts, does, sources = tuple(model.parts), tuple(model.does), tuple(model.sources)
    return Muscle(model.muscle, model.name, parts, does, effects, sources, tuple(model.also), model.says)


def _phase(item: Item) -> Phase:
    model = item.model
    weeks: dict[str, float] = {}
    for word, value in model.weeks_to_meet.items():
        try:
            weeks[word] = figure(value, "weeks")
        except FigureError as error:
            item.cursor.at("weeks-to-meet", word).error("wrong-unit", f"`weeks-to-meet`: {error}")
    sources = tuple(model.source)
    return Phase(model.phase, model.name, model.aim, weeks, float(model.stress_limit), model.items, sources, model.says)


def _question(model: Any) -> Question:
    return Question(model.question, model.asks, model.text, tuple(model.answers), model.because)


def _equipment(model: Any) -> Equipment:
    also, stands_in = tuple(model.also), tuple(model.serves_as)
    return Equipment(model.equipment, model.name, model.usual, also, stands_in, model.says)


def _iron(model: Any) -> Iron:
    kg = tuple(sorted((float(one) for one in model.kg), reverse=True))
    sources = tuple(model.source)
    return Iron(model.iron, model.name, model.of, model.as_, kg, model.usual, sources, model.says)


def _lift(model: Any) -> Lift:
    posture = _part(model.posture) if model.posture is not None else {}
    seconds, sources = float(model.seconds_a_rep or 0), tuple(model.source)
    return Lift(model.lift, posture, seconds, _part(model.spine_load), sources, model.says)


def tables(gathered: Gathered) -> dict[str, dict[str, Any]]:
    """All sections that are tables of entries, by id; phases in the order in which they are written."""

    def models(head: str) -> list[Entry]:
        return [item.model for item in sorted(gathered.of(head), key=lambda item: item.id)]

    sections: dict[str, list[Any]] = {
        "muscles": [_muscle(model) for model in models("muscle")],
        "equipment": [_equipment(model) for model in models("equipment")],
        "iron": [_iron(model) for model in models("iron")],
        "lifts": [_lift(model) for model in models("lift")],
        "phases": [_phase(item) for item in gathered.of("phase")],
        "questions": [_question(model) for model in models("question")],
    }
    qualities = {item.id: Quality(item.id, item.model.name, item.model.says) for item in gathered.of("quality")}
    for muscle in sections["muscles"]:
        qualities.setdefault(muscle.muscle, Quality(muscle.muscle, muscle.name, muscle.says))
    sections["qualities"] = [qualities[id_] for id_ in sorted(qualities)]
    sources = sorted(gathered.of("source"), key=lambda item: item.id)
    sections["sources"] = [
        Source(item.id, item.model.cite, item.model.kind, item.model.seen, item.model.says) for item in sources
    ]
    found: dict[str, dict[str, Any]] = {
        section: {row[0]: tuple(row) for row in rows} for section, rows in sections.items()
    }
    messages = sorted(gathered.of("message"), key=lambda item: item.id)
    found["messages"] = {item.id: item.model.text for item in messages}
    if gathered.emergency_number:
        found["messages"]["emergency-number"] = gathered.emergency_number
    return found
