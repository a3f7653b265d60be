"""Conditions: each written one of conditions.yaml comes to the tree beside it."""

from __future__ import annotations

from typing import Any

import pytest

from backstay.knowledge.compiling import known_names
from backstay.knowledge.conditions import condition
from backstay.knowledge.folders import folder
from backstay.knowledge.gathering import gather
from backstay.knowledge.names import Names
from backstay.knowledge.reading import Cursor, read_file
from backstay.knowledge.vocabulary import attributes

from .small_bases import HERE, SMALL

CASES = read_file(str(HERE / "conditions.yaml"), "conditions.yaml")


@pytest.fixture(scope="module")
def names() -> Names:
    gathered = gather([folder(str(SMALL), "small")])
    return known_names(gathered, attributes(gathered))


def tree(written: Any) -> Any:
    return tuple(tree(item) for item in written) if isinstance(written, list) else written


@pytest.mark.parametrize("number", range(len(CASES.value)), ids=lambda number: str(CASES.value[number]["written"]))
def test_a_condition_and_its_tree(number: int, names: Names) -> None:
    notes: list[Any] = []
    cursor = Cursor(CASES.file, CASES.value, CASES.marks, notes).at(number)
    found = condition(cursor.at("written"), names)
    assert notes == []
    expected = tree(cursor.value["tree"])
    if expected[0] == "number":
        assert found is not None
        assert found[:3] == expected[:3]
        assert found[3] == pytest.approx(expected[3])
        assert type(found[3]) is float
    else:
        assert found == expected
