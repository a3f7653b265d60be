"""Safety is proved: no case that can be told, and no choice that is left open, breaks any of these laws.

clingo looks for a case that breaks a law among all sets of facts and all sets of allowed picks, and finds none. That
the program it is given is the code's is tried on situations of the review's own space, and on random ones: the same
rules fire, the same is forbidden and kept back, and what the code picks is one of the choices left open.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from random import Random
from types import MappingProxyType
from typing import Any

import pytest
import yaml

from backstay.coaching import wants
from backstay.coaching.deciding import decide
from backstay.knowledge.base import Base
from backstay.knowledge.compiling import compile_folders
from backstay.knowledge.facts import Fact
from backstay.knowledge.folders import BUILT_IN, built_in, folder
from backstay.knowledge.loading import load
from backstay.knowledge.problems import errors
from backstay.reasoning.engine import conclude
from backstay.review.space import space_of

from .whole import Whole

NO_NOTICE = 'not notice("see-clinician")'
# What breaks each law: its case first, then what must not be beside it.
LAWS = MappingProxyType(
    {
        "pain-without-the-notice": ('is("pain", "present")', NO_NOTICE),
        "a-score-without-the-notice": ('at_least("pain-score", 1)', NO_NOTICE),
        "a-bad-morning-without-the-notice": ('at_least("pain-next-day", 1)', NO_NOTICE),
        "hidden-pain-without-the-notice": ('known("masked-by")', NO_NOTICE),
        "a-leg-that-speaks-without-the-notice": ('known("leg-symptom")', NO_NOTICE),
        "a-flag-without-the-notice": ('known("red-flag")', NO_NOTICE),
        "a-stop-without-the-notice": ("stop(_)", NO_NOTICE),
        "a-pick-beside-a-stop": ("stop(_)", "pick(_)"),
        "a-pick-beside-a-referral": ("refer(_)", "pick(_)"),
        "a-pick-beside-an-open-question": ("hold", "pick(_)"),
        "a-forbidden-pick": ("forbidden(E)", "pick(E)"),
        "picks-with-strong-pain": ('at_least("pain-score", 7)', "pick(_)"),
        "picks-with-a-leg-that-speaks": ('known("leg-symptom")', "pick(_)"),
        "picks-when-pregnant": ('is("condition", "pregnant")', "pick(_)"),
        "picks-after-a-birth": ('is("condition", "post-partum")', "pick(_)"),
        "picks-with-a-yes-to-danger": ('is("danger-signs", "yes")', "pick(_)"),
        "a-numb-saddle-that-is-not-stopped": ('is("sign", "numb-saddle"), is("pain", "present")', 'not stop("now")'),
        "a-yes-to-injury-that-is-not-stopped": ('is("injury-signs", "yes")', 'not stop("now")'),
        "hard-work-with-pain": ('is("hurting", "anywhere")', 'pick(E), of(E, "high")'),
        "harder-work-with-pain": ('is("hurting", "anywhere")', 'pick(E), of(E, "medium")'),
        "fast-work-with-pain": ('is("hurting", "anywhere")', 'pick(E), of(E, "fast")'),
        "loaded-after-an-injection": ('is("masked-by", "injection")', 'pick(E), of(E, "loaded")'),
        "loaded-after-a-sudden-onset": (
            'is("onset", "sudden"), is("hurting", "anywhere"), not at_least("pain-weeks", 1)',
            'pick(E), of(E, "loaded")',
        ),
        "hard-work-when-young": ('below("age", 18)', 'pick(E), of(E, "high")'),
        "loaded-rounding-when-young": ('below("age", 18)', 'pick(E), of(E, "loaded-rounding")'),
    }
)
# Flags are made by rules of what is told, never told themselves.
OF_FLAGS = MappingProxyType({"picks-beside-a-flag": ('known("red-flag")', "pick(_)")})
PLANTED = yaml.safe_load((Path(__file__).parent / "planted.yaml").read_text(encoding="utf-8"))
CASES = 150


def broken(laws: Any) -> dict[str, str]:
    """What breaks each law, and for each whether its case can be at all."""
    return {
        **{_short(law): ", ".join(parts) for law, parts in laws.items()},
        **{f"case_{_short(law)}": parts[0] for law, parts in laws.items()},
    }


def _short(law: str) -> str:
    return law.replace("-", "_")


@pytest.fixture(scope="module")
def base() -> Base:
    return load()


@pytest.fixture(scope="module")
def whole(base: Base) -> Whole:
    return Whole(base, broken(LAWS))


@pytest.mark.parametrize("law", LAWS)
def test_no_case_breaks_the_law(whole: Whole, law: str) -> None:
    assert whole.counterexample(f"case_{_short(law)}") is not None, "the law speaks of nothing"
    assert whole.counterexample(_short(law)) is None


def test_no_flag_that_rules_make_leaves_a_pick(base: Base) -> None:
    flags = Whole(base, broken(OF_FLAGS), never_told=("want", "red-flag"))
    assert flags.counterexample("case_picks_beside_a_flag") is not None
    assert flags.counterexample("picks_beside_a_flag") is None


def cases(base: Base) -> Iterator[list[Fact]]:
    """Situations of the walked space, and random ones that tell many things at once."""
    chance = Random(20261125)
    space = space_of([base], quick=True)
    told = [value for one in space.dimensions for value in one.values]
    for _ in range(CASES):
        number = chance.randrange(space.size)
        (situation,) = space.situations(number, number + 1)
        yield [Fact(*atom) for atom in situation if atom[0] != "want"]
        yield [Fact(*atom) for atom in chance.sample(told, chance.randint(1, 14))]


def test_the_program_is_the_code_s(base: Base, whole: Whole) -> None:
    picked = 0
    for facts in cases(base):
        said = [Fact("want", "recommend"), *facts]
        findings = conclude(base, said)
        resolved = wants.resolve_for(base, findings, "recommend", ())
        decision = decide(base, findings, resolved, "recommend")
        told = [(fact.attribute, fact.value) for fact in said if fact.attribute in whole.attributes]
        told += whole.measured(said)
        kept_back = resolved.stop is not None or resolved.refer is not None or bool(resolved.hold)
        assert whole.outcome(told) == (set(findings.fired), set(resolved.forbidden), kept_back), facts
        picks = [pick.exercise for pick in decision.picks]
        assert whole.allows(told, picks), facts
        picked += bool(picks)
    assert picked > CASES / 2


# --- planted harm ----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def quiet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built-in folder without the words that people type: what harms here is no word."""
    root = tmp_path_factory.mktemp("planted") / BUILT_IN
    shutil.copytree(built_in(), root, ignore=shutil.ignore_patterns("phrases", "words"))
    return root


def overlay(root: Path, planted: dict[str, Any]) -> Path:
    files = dict(planted.get("files", {}))
    for name, edits in planted.get("edits", {}).items():
        files[name] = (Path(built_in()) / name).read_text(encoding="utf-8")
        for old, new in edits:
            assert old in files[name]
            files[name] = files[name].replace(old, new)
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


def test_there_are_enough_planted() -> None:
    assert len(PLANTED) >= 10
    assert {"refused" in one for one in PLANTED} == {True, False}


@pytest.mark.parametrize("planted", PLANTED, ids=[one["harm"] for one in PLANTED])
def test_planted_harm_is_refused_or_found(base: Base, quiet: Path, tmp_path: Path, planted: dict[str, Any]) -> None:
    club = overlay(tmp_path / "club", planted)
    made = compile_folders([folder(str(quiet), BUILT_IN), folder(str(club), "club")])
    wrong = errors(made.problems)
    if "refused" in planted:
        assert planted["refused"] in {problem.code for problem in wrong if problem.file.startswith("club/")}
        return
    assert not wrong, [str(problem) for problem in wrong]
    laws = broken({law: LAWS[law] for law in planted["broken"]})
    changed = Whole(Base(made.sections), laws, exercises=base.exercises)
    for law in planted["broken"]:
        found = changed.counterexample(_short(law))
        assert found is not None, law
        told, picks = found
        assert picks, told
