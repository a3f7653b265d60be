"""Effects and selectors: each written one of effects.yaml and selectors.yaml comes to what stands beside it."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from backstay.knowledge.base import Exercise
from backstay.knowledge.compiling import effects_reader, known_names
from backstay.knowledge.effects import Effects
from backstay.knowledge.folders import folder
from backstay.knowledge.gathering import gather
from backstay.knowledge.problems import Problem
from backstay.knowledge.reading import Cursor, Marks, read_file
from backstay.knowledge.tables import exercise_row
from backstay.knowledge.vocabulary import attributes

from .small_bases import HERE, SMALL

EFFECTS = read_file(str(HERE / "effects.yaml"), "effects.yaml")
SELECTORS = read_file(str(HERE / "selectors.yaml"), "selectors.yaml")


@pytest.fixture(scope="module")
def reader() -> Effects:
    gathered = gather([folder(str(SMALL), "small")])
    exercises = {item.id: exercise_row(item.model) for item in gathered.of("exercise")}
    return effects_reader(gathered, known_names(gathered, attributes(gathered)), exercises)


def plain(written: Any) -> Any:
    return tuple(plain(item) for item in written) if isinstance(written, list) else written


def about(written: Any) -> Any:
    """Figures need agree only as nearly as floats do."""
    if isinstance(written, tuple):
        return tuple(about(item) for item in written)
    return pytest.approx(written) if isinstance(written, float) else written


@pytest.mark.parametrize("number", range(len(EFFECTS.value)), ids=lambda number: str(EFFECTS.value[number]["written"]))
def test_what_a_rule_does(number: int, reader: Effects) -> None:
    notes: list[Problem] = []
    case = Cursor(EFFECTS.file, EFFECTS.value, EFFECTS.marks, notes).at(number)
    own = case.value.get("own")
    then = reader.then(case.at("written"), case.value.get("screening", False), (own,) if own else None)
    assert notes == []
    assert then.effects == about(plain(case.value.get("effects", [])))
    assert then.concludes == about(plain(case.value.get("concludes", [])))
    assert then.assumes == about(plain(case.value.get("assumes", [])))


@pytest.mark.parametrize("number", range(len(SELECTORS.value)), ids=lambda n: str(SELECTORS.value[n]["written"]))
def test_what_a_selector_selects(number: int, reader: Effects) -> None:
    notes: list[Problem] = []
    case = Cursor(SELECTORS.file, SELECTORS.value, SELECTORS.marks, notes).at(number)
    assert reader.selectors.select(case.at("written")) == tuple(case.value["selects"])
    assert [note.code for note in notes] == (["selects-nothing"] if case.value.get("empty") else [])


SIMPLE: tuple[tuple[dict[str, Any], Any], ...] = (
    ({"stress": "high"}, lambda exercise: exercise.stress == "high"),
    ({"loaded": True}, lambda exercise: exercise.loaded),
    ({"provokes": "bending"}, lambda exercise: "bending" in exercise.provokes),
    ({"trains": "hamstrings"}, lambda exercise: "hamstrings" in exercise.trains),
    ({"not": {"kind": "strength"}}, lambda exercise: exercise.kind != "strength"),
)


@pytest.mark.parametrize("group", [*combinations(range(5), 2), *combinations(range(5), 3)])
def test_groups_of_selectors_mean_what_they_say(group: tuple[int, ...], reader: Effects) -> None:
    """Against plain Python over the exercises themselves."""
    gathered = gather([folder(str(SMALL), "small")])
    rows: dict[str, Exercise] = {item.id: exercise_row(item.model) for item in gathered.of("exercise")}
    written = [SIMPLE[index][0] for index in group]
    tests = [SIMPLE[index][1] for index in group]
    for word, passes in (("all-of", all), ("any-of", any)):
        found = reader.selectors.select(Cursor("f", {word: written}, Marks(1, 1), []))
        assert found == tuple(sorted(id_ for id_, row in rows.items() if passes(test(row) for test in tests)))
    for least in range(1, len(group) + 1):
        given = {"some": {"at-least": least, "of": written}}
        found = reader.selectors.select(Cursor("f", given, Marks(1, 1), []))
        assert found == tuple(sorted(id_ for id_, row in rows.items() if sum(test(row) for test in tests) >= least))
