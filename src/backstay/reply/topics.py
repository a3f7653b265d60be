"""Answers about an exercise or a muscle: how it is done, how much, what it trains, when, and one beside another."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType
from typing import Any

from backstay.reply import advice, back, dosage
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.reply import Shown
from backstay.reply.words import Words, capital

MOST_NAMED = 4


def how_to(page: Page, material: Material) -> None:
    """Set-up, cues, what it is for on the platform, mistakes, and the dose for this asker."""
    words = material.words
    for exercise in _asked(page, material):
        page.line(capital(exercise.name))
        page.gap()
        _list(page, words, "topic-set-up", exercise.set_up)
        _list(page, words, "topic-do", exercise.cues)
        _list(page, words, "topic-mistakes", exercise.mistakes)
        _topic(page, words, "topic-feel", exercise.carry_over)
        if exercise.one_sided and exercise.side_means:
            _topic(page, words, "topic-sides", words.say("sides-each", means=exercise.side_means))
        _topic(page, words, "topic-needs", _ways(words, exercise))
        _dose(page, material, exercise)
        _names(page, words, "topic-easier", exercise.easier)
        _names(page, words, "topic-harder", exercise.harder)
        page.gap()
    advice.told(page, material)


def dose(page: Page, material: Material) -> None:
    """How much for this asker, and the exercise's other doses, each with what it is for."""
    words = material.words
    for exercise in _asked(page, material):
        page.line(capital(exercise.name))
        given = _now(page, material, exercise)
        if given is not None:
            for how in ("effort", "tempo"):
                page.line(str(given.dose.get(how) or ""), "  ", "  ")
            back.exercise(page, material, exercise.exercise, "  ")
            page.gap()
        for use, written in exercise.doses.items():
            if given is None or given.dose.get("use") != use:
                text = dosage.from_file(words, written, exercise.one_sided)
                page.line(words.say("topic-line", topic=capital(words.value("use", use)), text=text), "- ", "  ")
        page.gap()
    advice.told(page, material)


def compare(page: Page, material: Material) -> None:
    """Named exercises side by side, then which of them is for this asker now."""
    words = material.words
    asked = list(_asked(page, material))
    for exercise in asked:
        page.line(capital(exercise.name))
        _topic(page, words, "topic-trains", _trains(material, exercise))
        cost = (
            words.say(f"stress-{exercise.stress}"),
            words.say(f"speed-{exercise.speed}"),
            words.say(f"skill-{exercise.skill}"),
        )
        _topic(page, words, "topic-stress", ", ".join(cost))
        back.exercise(page, material, exercise.exercise)
        _topic(page, words, "topic-season", _season(words, exercise, material.base.phases))
        _topic(page, words, "topic-needs", _ways(words, exercise))
        page.gap()
    if not asked:
        return
    allowed = [words.exercise(pick.exercise) for pick in material.picks]
    if len(allowed) == 1:
        page.line(words.say("compare-for-you", exercise=allowed[0]))
    elif allowed:
        page.line(words.say("compare-both", exercises=words.join(allowed)))
    else:
        page.line(words.say("compare-none"))
    advice.left_out(page, material, named_only=True)
    advice.told(page, material)


def muscles(page: Page, material: Material) -> None:
    """What an exercise trains, or what a muscle does and what trains it most."""
    words, base = material.words, material.base
    said = [str(fact.value) for fact in material.reading.facts if fact.attribute == "muscle"]
    named = [base.muscles[one] for one in said if one in base.muscles]
    for muscle in named:
        page.line(capital(muscle.name))
        _topic(page, words, "topic-parts", words.join(muscle.parts))
        _list(page, words, "topic-does", muscle.does)
        able = sorted(
            (-exercise.trains[muscle.muscle], name)
            for name, exercise in base.exercises.items()
            if muscle.muscle in exercise.trains
        )
        _names(page, words, "topic-trained-by", [name for _, name in able[:MOST_NAMED]])
        _topic(page, words, "head-sources", _sources(material, muscle.sources))
        page.gap()
    exercises = _exercises(material) if named else list(_asked(page, material))
    for exercise in exercises:
        page.line(capital(exercise.name))
        _topic(page, words, "topic-trains", _trains(material, exercise))
        _topic(page, words, "topic-feel", exercise.carry_over)
        _topic(page, words, "head-sources", _sources(material, exercise.sources))
        page.gap()
    advice.told(page, material)


def timing(page: Page, material: Material) -> None:
    """When in the season and the week an exercise belongs, and whether it does now."""
    words = material.words
    for exercise in _asked(page, material):
        page.line(capital(exercise.name))
        _now(page, material, exercise)
        _topic(page, words, "topic-season", _season(words, exercise, material.base.phases))
        turns = [turn for turn in material.plan.timeline if turn.exercise == exercise.exercise]
        for turn in turns[1:] or turns:
            message = f"timing-{turn.stands}"
            page.line(
                words.say(message, days=_ahead(words, turn.days), sets=words.count("sets", turn.sets)), "  - ", "    "
            )
        page.gap()
    if not material.named and material.picks:
        advice.picks(page, material)
        return
    advice.told(page, material)


def _ahead(words: Words, days: int) -> str:
    """Days before the meet, in weeks where they are far."""
    if days > 21:
        return words.say("timing-weeks", count=words.span(round(days / 7)))
    return words.say("timing-days", count=words.span(days))


def _exercises(material: Material) -> list[Any]:
    return [material.base.exercises[one] for one in material.named if one in material.base.exercises]


def _now(page: Page, material: Material, exercise: Any) -> Shown | None:
    """Say what an exercise is for this asker now: its dose, or what keeps it out; return the pick, if it is one."""
    given = next((pick for pick in material.picks if pick.exercise == exercise.exercise), None)
    if given is not None:
        advice.exercise(page, material, given, "-", name=False)
    else:
        advice.left_out(page, material.but(named=(exercise.exercise,)), named_only=True)
    return given


def _asked(page: Page, material: Material) -> Iterable[Any]:
    """The exercises the question is about; without any, say so."""
    asked = _exercises(material)
    if not asked and not material.picks:
        page.line(material.words.say("nothing-named"))
    return asked or [material.base.exercises[pick.exercise] for pick in material.picks]


def _topic(page: Page, words: Words, topic: str, text: str) -> None:
    if text:
        page.line(words.say("topic-line", topic=words.say(topic), text=text), "", "  ")


def _list(page: Page, words: Words, topic: str, lines: Iterable[str]) -> None:
    for place, line in enumerate(lines):
        if not place:
            page.line(words.say(topic))
        page.line(line, "  - ", "    ")


def _names(page: Page, words: Words, topic: str, exercises: Iterable[str]) -> None:
    _topic(page, words, topic, ", ".join(words.exercise(one) for one in exercises))


def _dose(page: Page, material: Material, exercise: Any) -> None:
    words = material.words
    for pick in material.picks:
        if pick.exercise == exercise.exercise:
            _topic(page, words, "topic-dose", dosage.line(words, pick, exercise))
            for text in (dosage.load(words, pick.dose), dosage.effort(words, pick.dose)):
                page.line(capital(text), "  ", "  ")
            return
    advice.left_out(page, material.but(named=(exercise.exercise,)), named_only=True)


def _trains(material: Material, exercise: Any) -> str:
    """Muscles and abilities, most trained first."""
    words, base = material.words, material.base
    parts = []
    for quality, points in sorted(exercise.trains.items(), key=lambda pair: (-pair[1], pair[0])):
        known = base.muscles.get(quality) or base.qualities.get(quality)
        name = known.name if known is not None else quality
        parts.append(words.say("trains-at", what=name, much=words.say(f"much-{points}")))
    return ", ".join(parts)


def _season(words: Words, exercise: Any, phases: Iterable[str]) -> str:
    return ", ".join(
        words.say("phase-fit", phase=words.value("phase", phase), fit=words.say(f"fits-{exercise.phases[phase]}"))
        for phase in phases
        if phase in exercise.phases
    )


def _ways(words: Words, exercise: Any) -> str:
    """What it can be done with, each way by itself."""
    written = []
    for way in exercise.ways:
        kit = words.join(words.value("has", one) for one in way.get("with", ())) or words.say("needs-nothing")
        written.append(words.say("way-written", equipment=kit, way=way["as"]) if way.get("as") else kit)
    return "; ".join(written)


def _sources(material: Material, sources: Iterable[str]) -> str:
    return "; ".join(cite(material, source) for source in sources)


def cite(material: Material, source: str) -> str:
    """Write one source as it is cited; the two standings that are no publication have words of their own."""
    if material.words.has(f"source-{source}"):
        return material.words.say(f"source-{source}")
    known = material.base.sources.get(source)
    return str(known.cite) if known is not None else source


WRITERS = MappingProxyType({"dose": dose, "how-to": how_to, "compare": compare, "muscles": muscles, "timing": timing})
