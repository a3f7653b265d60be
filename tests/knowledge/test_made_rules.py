"""What exercise and equipment files state comes to ordinary rules, with these ids and nothing hidden in them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from backstay.knowledge.base import Base, ParsedRule, RuleInfo
from backstay.knowledge.compiling import effects_reader, known_names
from backstay.knowledge.folders import BUILT_IN, built_in, folder
from backstay.knowledge.gathering import gather
from backstay.knowledge.linking import Rule
from backstay.knowledge.made_rules import MadeRules
from backstay.knowledge.tables import exercise_row
from backstay.knowledge.vocabulary import attributes

from .small_bases import SMALL, compiled


def made(path: str) -> dict[str, Rule]:
    gathered = gather([folder(path, "small")])
    names = known_names(gathered, attributes(gathered))
    exercises = {item.id: exercise_row(item.model) for item in gathered.of("exercise")}
    rules = MadeRules(gathered, names, effects_reader(gathered, names, exercises)).all()
    return {rule.info.id: rule for rule in rules}


@pytest.fixture(scope="module")
def small() -> dict[str, Rule]:
    return made(str(SMALL))


def shape(rule: Rule) -> tuple[Any, ...]:
    parsed = rule.parsed
    return parsed.when, parsed.unless, parsed.concludes, parsed.effects


ALWAYS = ("all", ())
BENCH_AND_BAR = ("all", (("is", "at-hand", "flat-bench"), ("is", "at-hand", "barbell")))
BOX = ("all", (("is", "at-hand", "box"),))

EXPECTED = {
    "one-leg-hinge-with-bar/phase-peaking": (
        ("is", "phase", "peaking"), None, (), (("forbid", ("one-leg-hinge-with-bar",)),),
    ),
    "one-leg-hinge-with-bar/phase-building": (
        ("is", "phase", "building"), None, (), (("avoid", ("one-leg-hinge-with-bar",), 1),),
    ),
    "one-leg-hinge-with-bar/level-beginner": (
        ("is", "level", "beginner"), None, (), (("forbid", ("one-leg-hinge-with-bar",)),),
    ),
    "level-hold/level-beginner": (
        ("is", "level", "beginner"), None, (), (("dose", ("level-hold",), "sets", "at-most", 2),),
    ),
    "level-hold/ways": (ALWAYS, ("any", (BENCH_AND_BAR, BOX)), (), (("forbid", ("level-hold",)),)),
    "level-hold/way-1": (BENCH_AND_BAR, None, (), (("way", "level-hold", 1),)),
    "level-hold/way-2": (BOX, None, (), (("way", "level-hold", 2),)),
    "row/way-1": (ALWAYS, None, (), (("way", "row", 1),)),
    "level-hold/dose-for-1": (("is", "phase", "peaking"), None, (), (("dose-use", ("level-hold",), "priming"),)),
    "level-hold/caution-1": (("is", "pain", "present"), None, (), (("avoid", ("level-hold",), 2),)),
    "level-hold/caution-2": (("number", "age", "below", 18.0), None, (), (("notice", "guardian"),)),
    "kit/box/said": (("is", "has", "box"), ("is", "avoids", "box"), (("at-hand", "box"),), ()),
    "kit/barbell/usual": (
        ("is", "kit", "usual"),
        ("any", (("is", "lacks", "barbell"), ("is", "lacks", "everything"), ("is", "avoids", "barbell"))),
        (("at-hand", "barbell"),),
        (),
    ),
    "kit/flat-bench/serves-as-box": (("is", "at-hand", "flat-bench"), None, (("at-hand", "box"),), ()),
}  # fmt: skip


@pytest.mark.parametrize("id_", EXPECTED)
def test_a_made_rule(id_: str, small: dict[str, Rule]) -> None:
    assert shape(small[id_]) == EXPECTED[id_]


@pytest.mark.parametrize("id_", ["level-hold/phase-building", "row/phase-building", "row/ways", "kit/box/usual"])
def test_what_says_nothing_makes_no_rule(id_: str, small: dict[str, Rule]) -> None:
    assert id_ not in small


def test_reasons_are_messages_filled_in(small: dict[str, Rule]) -> None:
    because = {id_: rule.info.because for id_, rule in small.items()}
    assert because["one-leg-hinge-with-bar/phase-peaking"] == "One-legged hinge has no place in peaking."
    assert because["level-hold/ways"] == "Level hold needs flat bench and barbell, or box."
    assert because["level-hold/way-1"] == "At hand: flat bench and barbell."
    assert because["kit/flat-bench/serves-as-box"] == "flat bench can stand in for box."
    assert because["level-hold/caution-1"] == "A hold presses."
    assert because["level-hold/caution-2"] == "Show this to a parent or the coach."


def test_sources_are_those_of_the_caution_or_the_dose_or_else_of_the_exercise(small: dict[str, Rule]) -> None:
    sources = {id_: rule.info.sources for id_, rule in small.items()}
    assert sources["level-hold/caution-1"] == ("smith-2001",)
    assert sources["level-hold/caution-2"] == ("common-practice",)
    assert sources["level-hold/dose-for-1"] == ("common-practice",)
    assert sources["row/phase-peaking"] == ("smith-2001",)


def test_places_lead_to_the_line_that_made_the_rule(small: dict[str, Rule]) -> None:
    assert small["level-hold/caution-1"].info.place == ("small/exercises/level-hold.yaml", 36, 5)
    assert small["level-hold/way-2"].info.place == ("small/exercises/level-hold.yaml", 23, 57)


ID = re.compile(
    r"(?P<exercise>[a-z0-9-]+)/(phase-[a-z-]+|refused|ways|way-\d+|dose-for-\d+|level-[a-z-]+|caution-\d+)"
    r"|kit/(?P<kit>[a-z0-9-]+)/(said|usual|serves-as-[a-z0-9-]+)"
)


def test_every_id_of_the_built_in_knowledge_has_its_shape() -> None:
    rules = made(built_in())
    assert len(rules) > 300
    for id_, rule in rules.items():
        match = ID.fullmatch(id_)
        assert match, id_
        assert rule.info.room == ("kit" if match["kit"] else "exercise")
        assert rule.info.because, id_
        assert rule.info.sources, id_
        file = "equipment" if match["kit"] else f"exercises/{match['exercise']}"
        assert rule.info.place[0].endswith(f"{file}.yaml")
        assert rule.parsed.effects == rule.info.effects


def test_both_clothes_of_a_rule_agree() -> None:
    base = Base(compiled(SMALL).sections)
    for info in base.rules.values():
        assert isinstance(info, RuleInfo)
    assert ParsedRule._fields[:3] == ("id", "when", "unless")
    assert BUILT_IN == "knowledge"
