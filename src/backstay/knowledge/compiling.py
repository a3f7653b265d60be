"""Compiling: from the files of some folders to the sections of a Base, and everything that is wrong on the way.

Nothing here raises for what a file says: each problem is noted, the entry is left out, and the rest goes on.
"""

from __future__ import annotations

import marshal
from collections.abc import Sequence
from typing import Any, NamedTuple

from backstay.knowledge.alarms import compile_alarm
from backstay.knowledge.automaton import Guests, compile_phrases
from backstay.knowledge.base import Attribute, Exercise, Measure, ParsedRule
from backstay.knowledge.checks import check_all, check_cautious, check_places
from backstay.knowledge.clashes import check_clashes
from backstay.knowledge.collisions import NAMED, check_collisions
from backstay.knowledge.effects import Effects
from backstay.knowledge.folders import BUILT_IN, Folder
from backstay.knowledge.gathering import Gathered, Item, gather
from backstay.knowledge.idle import check_idle
from backstay.knowledge.ladders import check_ladders
from backstay.knowledge.linking import Rule, check_over, written_rules
from backstay.knowledge.made_rules import MadeRules
from backstay.knowledge.names import ALWAYS_SOURCES, Names
from backstay.knowledge.problems import Problem, arranged, errors
from backstay.knowledge.program import Cycle, ProgramError, compile_program
from backstay.knowledge.protected_words import check_words
from backstay.knowledge.protection import check_protected, ground_of
from backstay.knowledge.question_rules import question_rules
from backstay.knowledge.rulebook import Rulebook
from backstay.knowledge.selectors import Selectors, property_values
from backstay.knowledge.tables import exercise_row, tables
from backstay.knowledge.vocabulary import attributes, measures

PHRASES = ("idea", "phrase", "together", "want", "hint", "lean", "tendency", "trigger")


class Compiled(NamedTuple):
    """The sections of a Base, made of what is right, and the problems of the rest."""

    sections: dict[str, Any]
    problems: tuple[Problem, ...]


def compile_folders(folders: Sequence[Folder]) -> Compiled:
    """Compile the built-in folder and those laid over it."""
    gathered = gather(folders)
    known_attributes = attributes(gathered)
    known_measures = measures(gathered, known_attributes)
    names = known_names(gathered, known_attributes)
    check_all(gathered, names)
    exercises = {item.id: exercise_row(item.model) for item in sorted(gathered.of("exercise"), key=_by_id)}
    rules = _rules(gathered, names, exercises)
    check_cautious(known_attributes, rules.values(), gathered)
    check_places(gathered, rules.values())
    vital: frozenset[str] = frozenset()
    if len(folders) > 1:
        ground = ground_of(gathered, names, rules)
        check_protected(gathered, names, rules, ground)
        check_words(gathered, ground, known_attributes)
        vital = frozenset(name.partition(".")[0] for name in ground.attribute_names())
    sections: dict[str, Any] = {
        "attributes": _rows(known_attributes),
        "measures": _rows(known_measures),
        "exercises": _rows(exercises),
        **tables(gathered),
        "rules": {id_: marshal.dumps(tuple(rules[id_].info)) for id_ in sorted(rules)},
        "program": _program(gathered, known_attributes, known_measures, rules),
        "automaton": (automaton := _automaton(gathered, known_attributes, vital)),
        "packed": automaton.pop("packed"),
        "alarm": _alarm(gathered),
    }
    book = Rulebook(gathered, known_attributes, rules)
    check_clashes(book)
    whole = not errors(gathered.notes)  # what seems to be missing may stand where something could not be read
    check_ladders(gathered, whole)
    check_idle(book, whole)
    return Compiled(sections, arranged(gathered.notes))


def _by_id(item: Item) -> str:
    return item.id


def _rows(table: dict[str, Any]) -> dict[str, tuple[Any, ...]]:
    return {key: tuple(row) for key, row in table.items()}


def known_names(gathered: Gathered, known_attributes: dict[str, Attribute]) -> Names:
    """The ids that may be named, by kind, broken entries too."""
    heads = ("exercise", "equipment", "muscle", "phase", "question", "message", "source", "rule")
    known = {head: gathered.ids(head) for head in heads}
    known["quality"] = gathered.ids("quality") | known["muscle"]
    known["source"].update(ALWAYS_SOURCES)
    known["asked"] = {item.model.asks for item in gathered.of("question")} | gathered.broken.get("asked", set())
    return Names(known, gathered.unsure, known_attributes, gathered.broken.get("attribute", ()))


def effects_reader(gathered: Gathered, names: Names, exercises: dict[str, Exercise]) -> Effects:
    """What reads the `then:` of rules over these exercises."""
    families = {item.model.family for item in gathered.of("exercise")}
    whole = "exercise" not in gathered.unsure and not gathered.broken.get("exercise")
    selectors = Selectors(exercises, property_values(families), names, whole)
    return Effects(names, selectors, {id_: frozenset(exercise.doses) for id_, exercise in exercises.items()})


def _rules(gathered: Gathered, names: Names, exercises: dict[str, Exercise]) -> dict[str, Rule]:
    """All rules by id, written and made."""
    effects = effects_reader(gathered, names, exercises)
    rules = {rule.info.id: rule for rule in written_rules(gathered, names, effects)}
    rules.update({rule.info.id: rule for rule in MadeRules(gathered, names, effects).all()})
    rules.update({rule.info.id: rule for rule in question_rules(gathered, names)})
    check_over(gathered, rules, "rule" in gathered.unsure)
    return rules


def _program(
    gathered: Gathered, known: dict[str, Attribute], measured: dict[str, Measure], rules: dict[str, Rule]
) -> dict[str, Any]:
    """The rules as reasoning runs them; each cycle is noted at the first rule of it."""
    parsed = [rules[id_].parsed for id_ in sorted(rules)]
    try:
        return compile_program(known, list(measured.values()), parsed)
    except ProgramError as error:
        for cycle in error.cycles:
            gathered.notes.append(_circle(cycle))
        if not error.cycles:
            file, line, column = max(parsed, key=_blamed).place
            what = "too many rules look at what too many others conclude."
            follow = "Let some of them conclude a step between."
            gathered.notes.append(Problem(file, line, column, "too-many-rivals", what, follow))
        return {}


def _alarm(gathered: Gathered) -> dict[str, Any]:
    """The weights of words as language runs them; without a list no word weighs anything."""
    try:
        return compile_alarm(gathered.words.get("alarm", ""))
    except ValueError as error:
        what = f"words/alarm.txt cannot be read, {error}."
        gathered.notes.append(Problem("knowledge/words/alarm.txt", 0, 0, "alarm-list", what, "Fit the list again."))
        return compile_alarm("")


def _blamed(rule: ParsedRule) -> tuple[bool, int]:
    return not rule.place[0].startswith(f"{BUILT_IN}/"), len(rule.concludes) + len(rule.assumes)


def _circle(cycle: Cycle) -> Problem:
    """A cycle as a problem at its first rule, with every step of it."""
    steps = []
    for step in cycle.steps:
        needs, gives = "=".join(map(str, step.needs)), "=".join(map(str, step.gives))
        file, line, _ = step.place
        if step.rule:
            way = f"unless {needs}" if step.way == "unless" else f"{step.way + ' ' if step.way else ''}{needs}"
            steps.append(f"`{step.rule}` ({file}:{line}) gives {gives} from {way}")
        else:
            steps.append(f"{gives} and {needs} cannot both be held")
    file, line, column = next(step.place for step in cycle.steps if step.rule)
    what = f"these rules wait for their own absence: {'; '.join(steps)}."
    return Problem(file, line, column, "rule-cycle", what, "Let one of them not ask for what the others conclude.")


def _automaton(gathered: Gathered, known: dict[str, Attribute], vital: frozenset[str]) -> dict[str, Any]:
    """The phrases as language runs them; each fault is noted at its entry."""
    items = [item for head in PHRASES for item in gathered.of(head)]
    items.sort(key=lambda item: (item.layer, item.cursor.place))
    named = [item for head in NAMED for item in sorted(gathered.of(head), key=_by_id)]
    names = [(item.head, item.id, (item.model.name, *item.model.also)) for item in named]
    guests = Guests(
        frozenset(place for place, item in enumerate(items) if item.layer),
        frozenset((item.head, item.id) for item in named if item.layer),
        vital,
    )
    data, faults = compile_phrases([item.cursor.value for item in items], known, names, gathered.words, guests)
    for fault in faults:
        cursor = items[fault.entry].cursor
        forms = cursor.at("forms").items() if cursor.has("forms") else iter(())
        # The fault speaks of one form where it quotes one: the place is that form's.
        place = next((form for form in forms if f"`{form.value}`" in fault.what), cursor)
        place.error("phrase", f"{fault.what}.")
    check_collisions(items, named, data)
    return data
