"""Whole conversations: what each answer holds, its safety lines, and, apart from both, its wording."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import pytest

from backstay import Assistant, Reply
from replaying import TEXTS, replay, talks, written

TALKS = talks()
TURNS = [(name, place) for name, talk in TALKS.items() for place in range(len(talk["turns"]))]
# All that a turn may expect; a misspelt expectation would otherwise pass unseen.
EXPECTED = {
    "says", "want", "facts", "facts-has", "outcome", "urgency", "within", "notices", "notices-has", "notices-not",
    "asks", "asks-with", "assumed", "derived-or-assumed", "picks-some", "picks-has", "picks-not", "picks-only",
    "first-side", "days", "week-days", "block-ends", "shows", "safety",
}  # fmt: skip


@pytest.fixture(scope="module")
def replies() -> dict[str, list[Reply]]:
    assistant = Assistant()
    return {name: replay(assistant, talk) for name, talk in TALKS.items()}


def plain(text: str) -> str:
    return " ".join(text.split())


def close(given: Any, expected: Any) -> bool:
    if isinstance(expected, float):
        return isinstance(given, (int, float)) and abs(given - expected) <= 0.5
    return bool(given == expected)


def test_there_are_enough_of_them() -> None:
    assert len(TALKS) >= 12
    assert {name for talk in TALKS.values() for turn in talk["turns"] for name in turn} <= EXPECTED


@pytest.mark.parametrize("name, place", TURNS)
def test_an_answer_holds_what_it_must(replies: dict[str, list[Reply]], name: str, place: int) -> None:
    turn: Mapping[str, Any] = TALKS[name]["turns"][place]
    answer = replies[name][place].as_json()
    understood = answer["understood"]
    picks = {pick["exercise"]: pick for pick in answer["picks"]}
    notices = [notice["id"] for notice in answer["notices"]]
    for field in ("outcome", "urgency", "within"):
        if field in turn:
            assert answer[field] == turn[field], answer["text"]
    if "want" in turn:
        assert understood["want"] == turn["want"]
    if "facts" in turn:
        assert understood["facts"] == turn["facts"]
    for fact, value in turn.get("facts-has", {}).items():
        assert close(understood["facts"].get(fact), value), understood["facts"]
    for fact, value in turn.get("assumed", {}).items():
        assert answer["assumed"].get(fact) == value
    for fact, value in turn.get("derived-or-assumed", {}).items():
        assert value in (answer["assumed"].get(fact), understood["derived"].get(fact))
    if "notices" in turn:
        assert notices == turn["notices"]
    assert set(turn.get("notices-has", ())) <= set(notices)
    assert not set(turn.get("notices-not", ())) & set(notices)
    if "picks-some" in turn:
        assert set(turn["picks-some"]) & picks.keys(), picks.keys()
    assert set(turn.get("picks-has", ())) <= picks.keys(), picks.keys()
    assert not set(turn.get("picks-not", ())) & picks.keys()
    if "picks-only" in turn:
        assert list(picks) == turn["picks-only"]
    for exercise, side in turn.get("first-side", {}).items():
        assert picks[exercise]["first_side"] == side
    for exercise, days in turn.get("days", {}).items():
        assert picks[exercise]["days"] == days
    if "asks" in turn:
        assert answer["ask_next"]["fact"] == turn["asks"]
    if "asks-with" in turn:
        assert answer["ask_next"]["fact"].endswith(turn["asks-with"])
    if "week-days" in turn:
        assert len(answer["week"]) == turn["week-days"]
    if "block-ends" in turn:
        assert answer["block"][-1]["last"] == turn["block-ends"]
    for sentence in turn.get("shows", ()):
        assert sentence in plain(answer["text"]), answer["text"]


@pytest.mark.parametrize("name, place", [turn for turn in TURNS if "safety" in TALKS[turn[0]]["turns"][turn[1]]])
def test_the_safety_lines_stand_and_stand_first(replies: dict[str, list[Reply]], name: str, place: int) -> None:
    reply = replies[name][place]
    text = plain(reply.text)
    for sentence in TALKS[name]["turns"][place]["safety"]:
        assert sentence in text
    if reply.picks:
        first = min(text.index(pick.name) for pick in reply.picks)
        assert text.index("See a licensed clinician") < first


@pytest.mark.parametrize("name, place", TURNS)
def test_nothing_to_train_stands_where_there_must_be_none(
    replies: dict[str, list[Reply]], name: str, place: int
) -> None:
    reply = replies[name][place]
    if reply.outcome in ("stop", "refer", "question"):
        assert not reply.picks
        assert not re.search(r"\d+ x \d+", reply.text)


@pytest.mark.parametrize("name", TALKS)
def test_it_reads_as_it_did(replies: dict[str, list[Reply]], name: str) -> None:
    assert written(TALKS[name], replies[name]) == (TEXTS / f"{name}.txt").read_text(encoding="utf-8"), (
        "the wording changed; read it, then write the texts anew with tests/replaying.py"
    )


def test_no_text_is_left_over() -> None:
    assert {file.stem for file in TEXTS.iterdir()} == set(TALKS)
