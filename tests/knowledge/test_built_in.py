"""The built-in knowledge: it loads without a problem, travels with the package, and is what the rooms are promised."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from backstay.knowledge import folders
from backstay.knowledge.base import Base
from backstay.knowledge.checking import check
from backstay.knowledge.compiling import Compiled, compile_folders
from backstay.knowledge.folders import BUILT_IN, built_in, folder

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def compiled() -> Compiled:
    return compile_folders([folder(built_in(), BUILT_IN)])


@pytest.fixture(scope="module")
def base(compiled: Compiled) -> Base:
    return Base(compiled.sections)


def test_it_is_right(compiled: Compiled) -> None:
    assert [str(problem) for problem in compiled.problems if problem.severity == "error"] == []


def test_tables_are_in_order(base: Base) -> None:
    for table in (base.attributes, base.exercises, base.rules, base.messages, base.sources, base.equipment):
        assert list(table) == sorted(table)
    season = ["general-preparation", "specific-preparation", "pre-competition", "peaking", "transition"]
    assert list(base.phases) == season


def test_what_a_rule_cites_is_there(base: Base) -> None:
    for rule in base.rules.values():
        assert rule.because, rule.id
        assert rule.sources, rule.id
        for source in rule.sources:
            assert source in base.sources or source in ("common-practice", "from-memory")


def test_what_an_effect_names_is_there(base: Base) -> None:
    for rule in base.rules.values():
        for effect in rule.effects:
            if effect[0] in ("notice", "tell"):
                assert effect[1] in base.messages
            elif effect[0] == "need":
                assert effect[1] in base.qualities
            elif effect[0] in ("forbid", "favour", "avoid", "dose", "dose-use", "days", "spacing", "side-first"):
                assert set(effect[1]) <= set(base.exercises)
                assert list(effect[1]) == sorted(effect[1])


def test_only_screening_stops(base: Base) -> None:
    for rule in base.rules.values():
        if {effect[0] for effect in rule.effects} & {"stop", "refer", "hold"}:
            assert rule.room == "screening"


def test_every_muscle_is_a_quality(base: Base) -> None:
    assert set(base.muscles) <= set(base.qualities)


def test_dotted_names_are_attributes_of_their_own(base: Base) -> None:
    assert base.attributes["best.clean"].kind == "number"
    assert base.attributes["best.clean"].unit == "kg"
    assert base.attributes["best.clean"].of == "best"
    assert base.attributes["day-load.monday"].kind == "many"
    assert "heavy-pulls" in base.attributes["day-load.monday"].values
    assert base.attributes["limit.what"].kind == "many"
    assert base.attributes["side-bridge-gap"].measure


def test_no_section_that_is_not_there(base: Base) -> None:
    with pytest.raises(AttributeError):
        base.nonsense  # noqa: B018


def test_the_checkout_finds_its_folder() -> None:
    assert Path(built_in()) == ROOT / "knowledge"


def test_an_installed_package_finds_its_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site-packages" / "backstay"
    (package / "builtin").mkdir(parents=True)
    monkeypatch.setattr(folders, "__file__", str(package / "knowledge" / "folders.py"))
    assert built_in() == str(package / "builtin")


def test_wheel_and_sdist_take_the_folder_along() -> None:
    made = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]["targets"]
    assert made["wheel"]["packages"] == ["src/backstay"]
    assert made["wheel"]["force-include"] == {"knowledge": "backstay/builtin"}
    assert {"/src", "/knowledge", "/tests", "/pyproject.toml"} <= set(made["sdist"]["include"])


def test_checking_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert [problem.code for problem in check([str(tmp_path / "nowhere")])] == ["folder-unreadable"]
