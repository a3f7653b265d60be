"""Whatever becomes of a file, byte by byte or branch by branch, only a KnowledgeError ever comes out of it."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from backstay.knowledge.base import Base
from backstay.knowledge.compiling import Compiled, compile_folders
from backstay.knowledge.folders import BUILT_IN, built_in, folder, layers
from backstay.knowledge.loading import load
from backstay.knowledge.problems import KnowledgeError, errors
from backstay.knowledge.reading import read_bytes

from .small_bases import SMALL, small

MOST = 60_000  # bytes of a file that is mutated
WHOLE = Path(built_in())
FILES = sorted(
    (path for root in (WHOLE, SMALL) for path in root.rglob("*.yaml") if path.stat().st_size < MOST),
    key=lambda path: (path.is_relative_to(WHOLE), path.as_posix()),
)
STRAY: list[Any] = [
    "", "x", "pain", "row", "no", "~", "{", "{fact: pain}", "[(a|b)", "1:30", "5 weeks", "{{}}", "a" * 3000,
    "everything", True, False, 0, -1, 3, 10**12, 0.5, [], {}, [[]], [{}], {"known": True}, {"not": {}}, {"at-least": 1},
    {"x": {"x": {}}}, {"some": {"at-least": 1, "of": []}}, {"every": []}, {"count": {}}, {"for": {}}, ["pain"],
    {"fact": "pain"},
]  # fmt: skip
SETTINGS = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
)


def branches(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield way
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, below in items:
        yield from branches(below, (*way, key))


def place_of(path: Path) -> str:
    return path.relative_to(WHOLE if path.is_relative_to(WHOLE) else SMALL).as_posix()


@st.composite
def by_branches(draw: st.DrawFn) -> tuple[str, bytes]:
    """A file with some of its values replaced, taken away, renamed, doubled or swapped with another's."""
    path = draw(st.sampled_from(FILES))
    value = read_bytes(path.read_bytes(), "x").value
    for _ in range(draw(st.integers(1, 3))):
        ways = [way for way in branches(value) if way]
        if not ways:
            break
        *above, last = draw(st.sampled_from(ways))
        holder = value
        for step in above:
            holder = holder[step]
        how = draw(st.sampled_from(["stray", "gone", "renamed", "listed", "other"]))
        if how == "gone":
            del holder[last]
        elif how == "renamed" and isinstance(holder, dict):
            holder[draw(st.sampled_from(["rule", "exercise", "when", "says", "forms", "x", ""]))] = holder.pop(last)
        elif how == "listed":
            holder[last] = [holder[last], deepcopy(holder[last])]
        elif how == "other":
            other: Any = value
            for step in draw(st.sampled_from(ways)):
                other = other[step]
            holder[last] = deepcopy(other)
        else:
            holder[last] = deepcopy(draw(st.sampled_from(STRAY)))
    return place_of(path), yaml.safe_dump(value, allow_unicode=True, default_flow_style=draw(st.booleans())).encode()


@st.composite
def by_bytes(draw: st.DrawFn) -> tuple[str, bytes]:
    """A file with some of its bytes changed, cut out, doubled or put in."""
    path = draw(st.sampled_from(FILES))
    raw = bytearray(path.read_bytes())
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, max(0, len(raw) - 1)))
        size = draw(st.integers(0, 40))
        new = draw(
            st.one_of(st.binary(max_size=6), st.sampled_from([b"\t", b"\n", b": ", b"- ", b"{", b"]", b"&a ", b"*a"]))
        )
        raw[at : at + size] = new * draw(st.integers(0, 3))
    return place_of(path), bytes(raw)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small(tmp_path_factory.mktemp("fuzz") / "small", {})


def read(place: Path, name: str, raw: bytes) -> Compiled:
    """The small base with this file in it, and nothing else changed."""
    path = place / name
    there = path.read_bytes() if path.exists() else None
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(raw)
    try:
        return compile_folders([folder(str(place), "small")])
    finally:
        if there is None:
            path.unlink()
        else:
            path.write_bytes(there)


def is_sound(made: Compiled) -> None:
    for problem in made.problems:
        assert problem.file.startswith("small")
        assert problem.line >= 0
        assert problem.column >= 0
        assert problem.code
        assert problem.what.endswith(".")
        assert "\n" not in str(problem).strip() or "\n" in problem.file
    if not errors(made.problems):
        base = Base(made.sections)
        assert list(base.rules) == sorted(base.rules)


@settings(SETTINGS, max_examples=150)
@given(mutated=by_branches())
def test_branches_of_files(mutated: tuple[str, bytes], place: Path) -> None:
    is_sound(read(place, *mutated))


@settings(SETTINGS, max_examples=150)
@given(mutated=by_bytes())
def test_bytes_of_files(mutated: tuple[str, bytes], place: Path) -> None:
    is_sound(read(place, *mutated))


@settings(SETTINGS, max_examples=6)
@given(mutated=st.one_of(by_branches(), by_bytes()))
def test_over_the_whole_built_in_knowledge(
    mutated: tuple[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> None:
    name, raw = mutated
    club = tmp_path_factory.mktemp("club")
    (club / name).parent.mkdir(exist_ok=True)
    (club / name).write_bytes(raw)
    found = compile_folders(layers([str(club)])).problems
    if errors(found):
        with pytest.raises(KnowledgeError) as refused:
            load([str(club)])
        assert refused.value.problems == found
        assert any(problem.file.startswith(str(club)) for problem in errors(found))
    else:
        assert load([str(club)]).rules


def test_nothing_is_left_behind(place: Path) -> None:
    made = compile_folders([folder(str(place), "small")])
    assert made.problems == ()
    assert BUILT_IN not in str(made.problems)
