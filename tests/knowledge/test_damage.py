"""Whatever happens to a file, compiling comes to an end with problems that have a place, and never breaks."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from .small_bases import SMALL, compiled, small

FILES = sorted(path.relative_to(SMALL).as_posix() for path in SMALL.rglob("*.yaml"))
PIECES = re.compile(r"[a-z0-9-]+|[^a-z0-9-]")
STRAYS = [
    "",
    "x",
    "[]",
    "{}",
    "[a]",
    "{a: b}",
    "true",
    "3",
    "-1",
    "1e9",
    "~",
    ":",
    "-",
    "'",
    '"',
    "{",
    "]",
    "\n",
    "  ",
    "\t",
]
STRAYS += [
    "rule",
    "pain",
    "row",
    "for",
    "known",
    "at-least",
    "not",
    "some",
    "everything",
    "present",
    "3 weeks",
    "{fact: pain}",
]


@st.composite
def damage(draw: st.DrawFn) -> tuple[str, str]:
    """A file of the small base with some of its words or signs replaced, doubled or taken away."""
    name = draw(st.sampled_from(FILES))
    pieces = PIECES.findall((SMALL / name).read_text(encoding="utf-8"))
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(pieces) - 1))
        pieces[at] = draw(st.sampled_from([*STRAYS, pieces[at] * 2, draw(st.sampled_from(pieces))]))
    return name, "".join(pieces)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small(tmp_path_factory.mktemp("damage") / "small", {})


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(damaged=damage())
def test_a_damaged_file_breaks_nothing(damaged: tuple[str, str], place: Path) -> None:
    name, text = damaged
    whole = (place / name).read_bytes()
    (place / name).write_text(text, encoding="utf-8")
    try:
        made = compiled(place)
    finally:
        (place / name).write_bytes(whole)
    for problem in made.problems:
        assert problem.file.startswith("small/")
        assert problem.line >= 0
        assert problem.column >= 0
        assert problem.what.endswith(".")
        assert problem.code


def test_the_place_is_as_it_was(place: Path) -> None:
    assert compiled(place).problems == ()
