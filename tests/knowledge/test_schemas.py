"""JSON Schemas say what the loader says of the shape of a file: an independent validator reads them.

Two laws tie them to the loader. What the loader's models refuse, a schema refuses. What a schema refuses, the loader
refuses, now or when it reads on. Faults beyond shape pass a schema; shapes.yaml says which those are.
"""

from __future__ import annotations

import copy
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from backstay.faces.command import main
from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.folders import built_in
from backstay.knowledge.kinds import KINDS
from backstay.knowledge.loading import load
from backstay.knowledge.reading import read_file
from backstay.knowledge.schemas import kinds, modeline, put_schemas, schema

from .small_bases import HERE, compiled, small

BASE = load()
BROKEN = HERE / "broken"
TABLE = yaml.safe_load((HERE / "shapes.yaml").read_text(encoding="utf-8"))
CASES = sorted(path.relative_to(BROKEN).as_posix() for path in BROKEN.rglob("*.yaml"))
TALKS = HERE.parents[1] / "transcripts_demo"


@cache
def validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(schema(kind, BASE))


def files() -> list[tuple[str, Path]]:
    """All built-in files with their kinds, and the conversations, which are examples."""
    root = Path(built_in())
    found = [(path.relative_to(root).parts[0].removesuffix(".yaml"), path) for path in sorted(root.rglob("*.yaml"))]
    return [*found, *(("examples", path) for path in sorted(TALKS.glob("*.yaml")))]


@pytest.mark.parametrize("kind", kinds())
def test_each_is_a_schema_itself(kind: str) -> None:
    Draft202012Validator.check_schema(schema(kind, BASE))
    assert json.loads(json.dumps(schema(kind, BASE))) == schema(kind, BASE)


def test_every_built_in_file_passes() -> None:
    seen = set()
    for kind, path in files():
        document = read_file(str(path), path.name)
        assert [
            f"{path.name} {fault.json_path}: {fault.message}" for fault in validator(kind).iter_errors(document.value)
        ] == []
        seen.add(kind)
    assert seen == set(kinds())


@pytest.mark.parametrize("case", CASES)
def test_a_schema_sees_faults_of_shape_and_no_others(case: str) -> None:
    text = (BROKEN / case).read_text(encoding="utf-8")
    document = read_file(str(BROKEN / case), case)
    kind = case.partition("/")[0]
    if document.problems or kind not in kinds():
        return  # not even YAML as knowledge is read; no schema gets to see it
    codes = set(re.findall(r"# ! (\S+) @", text))
    of_shape = bool(codes & set(TABLE["codes-of-shape"])) and case not in TABLE["beyond-shape"]
    faults = [fault.message for fault in validator(kind).iter_errors(document.value)]
    assert bool(faults) == (of_shape or case in TABLE["of-shape-too"]), (codes, faults)


def test_an_editor_is_offered_names_and_is_not_held_to_them() -> None:
    rule = {"rule": "x", "then": {"need": {"hip-drive": 1}}, "because": "So.", "source": "common-practice"}
    tests = schema("rules", BASE)["$defs"]["condition"]["anyOf"][1]["properties"]
    assert {"enum": list(BASE.attributes["fault"].values)} in tests["fault"]["anyOf"]
    assert tests["fault"]["description"] == BASE.attributes["fault"].says
    assert "hamstrings" in schema("exercises", BASE)["properties"]["trains"]["properties"]
    for when in ({"fault": "rounds"}, {"fault": "a-club-s-own"}, {"a-club-s-own": "yes"}, {"fault": {"known": True}}):
        assert validator("rules").is_valid([{**rule, "when": when}])
        assert Draft202012Validator(schema("rules")).is_valid([{**rule, "when": when}])
    assert not validator("rules").is_valid([{**rule, "when": {"fault": True}}])


def test_the_table_names_files_that_are_there() -> None:
    assert {*TABLE["beyond-shape"], *TABLE["of-shape-too"]} <= set(CASES)


# --- agreement ------------------------------------------------------------------------------------------------------
SMALL = sorted(path.relative_to(HERE / "small").as_posix() for path in (HERE / "small").rglob("*.yaml"))
VALUES: list[Any] = ["", "text", "no", 0, 3, -1, 2.5, True, [], ["a"], {}, {"a": 1}, [[1]], [1, 2], "x" * 2001, 10**6]


def entries(case: str) -> list[Any]:
    value = read_file(str(HERE / "small" / case), case).value
    return value if isinstance(value, list) else [value]


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """All paths into a value."""
    found = [path] if path else []
    keys = value if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    for key in keys:
        found += places(value[key], (*path, key))
    return found


def models_refuse(kind: str, entry: Any) -> bool:
    """Whether the loader's models refuse an entry."""
    heads = {"exercise": ExerciseEntry} if kind == "exercises" else KINDS[kind]
    head = next((key for key in entry if key in heads), None) if isinstance(entry, dict) else None
    if head is None:
        return True
    try:
        heads[head].model_validate(entry)
    except ValidationError:
        return True
    return False


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_what_the_models_refuse_a_schema_refuses(data: st.DataObject) -> None:
    case = data.draw(st.sampled_from([case for case in SMALL if case != "base.yaml"]))
    kind = case.partition("/")[0].removesuffix(".yaml")
    entry = copy.deepcopy(data.draw(st.sampled_from(entries(case))))
    path = data.draw(st.sampled_from(places(entry)))
    owner = entry
    for step in path[:-1]:
        owner = owner[step]
    change = data.draw(st.sampled_from(["take", "put", "rename"]))
    if change == "put":
        owner[path[-1]] = data.draw(st.sampled_from(VALUES))
    elif change == "take":
        del owner[path[-1]]
    elif isinstance(owner, dict):
        owner[f"{path[-1]}s"] = owner.pop(path[-1])
    whole = entry if kind == "exercises" else [entry]
    if models_refuse(kind, entry):
        assert not validator(kind).is_valid(whole)


@pytest.mark.parametrize("case", [case for case in CASES if case not in TABLE["beyond-shape"]])
def test_what_a_schema_refuses_the_loader_refuses(case: str, tmp_path: Path) -> None:
    document = read_file(str(BROKEN / case), case)
    kind, _, name = case.partition("/")
    if document.problems or kind not in kinds() or validator(kind).is_valid(document.value):
        return
    target = f"{kind}/{name.rpartition('/')[2]}"
    made = compiled(small(tmp_path / "small", {target: (BROKEN / case).read_text(encoding="utf-8")}))
    assert any(problem.severity == "error" for problem in made.problems)


# --- the command ----------------------------------------------------------------------------------------------------
def test_all_are_put_where_a_file_s_first_line_looks_for_them(tmp_path: Path) -> None:
    folder = Path(put_schemas(str(tmp_path), BASE))
    assert {path.stem for path in folder.iterdir()} == set(kinds())
    before = {path: path.stat().st_mtime_ns for path in folder.iterdir()}
    (folder / "rules.json").write_text("{", encoding="utf-8")
    put_schemas(str(tmp_path), BASE)
    for path in folder.iterdir():
        assert json.loads(path.read_text(encoding="utf-8")) == schema(path.stem, BASE)
        assert path.stem == "rules" or path.stat().st_mtime_ns == before[path]
    for kind in kinds():
        assert (tmp_path / kind / modeline(kind).partition("=")[2]).resolve() == (folder / f"{kind}.json").resolve()


def test_one_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "rules"]) == 0
    assert json.loads(capsys.readouterr().out) == schema("rules", BASE)
    assert main(["schema"]) == 0
    assert "exercises" in capsys.readouterr().out
    assert main(["schema", "ruls"]) == 2
    assert "Did you mean rules?" in capsys.readouterr().err
