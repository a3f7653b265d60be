"""What the program says or computes agrees with values from published sources, each named beside its value."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml

from rules.situations import built_in_base

from .readings import READINGS

ROWS: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "published.yaml").read_text(encoding="utf-8"))
TESTS = ("is", "within", "at-least", "at-most", "has", "lacks")


def _says(row: dict[str, Any]) -> str:
    return f"{row['source']}: {row['says']}"


def test_there_are_enough_and_no_source_carries_more_than_ten() -> None:
    assert len(ROWS) >= 45
    assert max(Counter(row["source"] for row in ROWS).values()) <= 10


@pytest.mark.parametrize("row", ROWS, ids=_says)
def test_the_source_is_published_and_known(row: dict[str, Any]) -> None:
    source = built_in_base().sources[row["source"]]
    assert source.kind in ("paper", "book", "guideline", "standard")


@pytest.mark.parametrize("row", ROWS, ids=_says)
def test_the_program_agrees(row: dict[str, Any]) -> None:
    read = READINGS[row["reading"]](row["of"])
    assert sum(test in row for test in TESTS) == 1
    if "is" in row:
        wanted = row["is"]
        assert (sorted(read) if isinstance(wanted, list) and row["reading"] != "dose" else read) == wanted
    elif "within" in row:
        low, high = row["within"]
        assert low <= read <= high
    elif "at-least" in row:
        assert read >= row["at-least"]
    elif "at-most" in row:
        assert read <= row["at-most"]
    elif "has" in row:
        wanted = row["has"] if isinstance(row["has"], list) else [row["has"]]
        assert set(wanted) <= set(read)
    else:
        assert row["lacks"] not in read
