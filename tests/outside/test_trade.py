"""Facts of the trade (common practice, no source): each is a question put to the program, and its answer agrees."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from backstay import Assistant

ROWS: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "trade.yaml").read_text(encoding="utf-8"))
TODAY = date(2026, 11, 25)
WEIGHT = {"low": 0, "medium": 1, "high": 2}


@lru_cache(maxsize=1)
def assistant() -> Assistant:
    return Assistant()


@lru_cache(maxsize=128)
def asked(message: str) -> Mapping[str, Any]:
    answer: Mapping[str, Any] = assistant().answer(message, today=TODAY).as_json()
    return answer


def _says(row: dict[str, Any]) -> str:
    return f"{row['subject']}: {row['says']}"


def _picks(answer: Mapping[str, Any]) -> dict[str, Any]:
    return {pick["exercise"]: pick for pick in answer["picks"]}


def _stress(answer: Mapping[str, Any]) -> int:
    exercises = assistant().base.exercises
    return sum(WEIGHT[exercises[name].stress] * pick["dose"]["sets"] for name, pick in _picks(answer).items())


def test_every_subject_of_the_trade_is_asked_about() -> None:
    assert {row["subject"] for row in ROWS} == {
        "spinal erectors",
        "support of the low back",
        "speed",
        "rotating back extension",
        "reverse hyperextension",
        "single-leg Romanian deadlift",
        "twisting",
        "short legs",
        "bent-knee back extension",
        "extension hold with rows",
        "near the meet",
    }


@pytest.mark.parametrize("row", ROWS, ids=_says)
def test_the_answer_agrees(row: dict[str, Any]) -> None:
    answer = asked(row["ask"])
    picks = _picks(answer)
    text = " ".join(answer["text"].split()).lower()
    exercises = assistant().base.exercises
    for what, wanted in row["holds"].items():
        if what == "text":
            assert [word for word in wanted if word.lower() not in text] == []
        elif what == "picks":
            assert [name for name in wanted if name not in picks] == []
        elif what == "no-pick":
            assert [name for name in wanted if name in picks] == []
        elif what == "left-out":
            assert [name for name in wanted if name not in {out["exercise"] for out in answer["left_out"]}] == []
        elif what == "dose":
            for name, figures in wanted.items():
                assert {figure: picks[name]["dose"][figure] for figure in figures} == figures
        elif what == "days":
            assert {name: picks[name]["days"] for name in wanted} == wanted
        elif what == "first-side":
            assert {name: picks[name]["first_side"] for name in wanted} == wanted
        elif what == "way":
            assert [name for name, words in wanted.items() if words not in picks[name]["way"]] == []
        elif what == "trains":
            trained = {quality for name in picks for quality in exercises[name].trains}
            assert [quality for quality in wanted if quality not in trained] == []
        elif what == "speed":
            assert wanted in {exercises[name].speed for name in picks}
        elif what == "notices":
            assert [name for name in wanted if name not in {notice["id"] for notice in answer["notices"]}] == []
        elif what == "not-derived":
            understood = answer["understood"]
            assert [name for name in wanted if name in {**understood["facts"], **understood["derived"]}] == []
        elif what == "less-stress-than":
            assert _stress(answer) < _stress(asked(wanted))
        else:
            raise AssertionError(f"unknown test {what}")
