"""Whole conversations: what each answer holds, its safety lines, and, apart from both, its wording."""

from __future__ import annotations

import re

import pytest

from backstay import Assistant, Reply
from backstay.examples import replay
from backstay.expectations import expectations
from replaying import FOLDER, TEXTS, talks, written

ASSISTANT = Assistant()
TALKS, FAULTS = talks(ASSISTANT)
TURNS = [(name, place) for name, talk in TALKS.items() for place in range(len(talk.entry.turns))]


@pytest.fixture(scope="module")
def replies() -> dict[str, list[Reply]]:
    return {name: replay(ASSISTANT, talk) for name, talk in TALKS.items()}


def test_there_are_enough_of_them() -> None:
    assert FAULTS == []
    assert len(TALKS) >= 12
    assert set(TALKS) == {file.stem for file in FOLDER.glob("*.yaml")}


@pytest.mark.parametrize("name, place", TURNS)
def test_an_answer_holds_what_it_must(replies: dict[str, list[Reply]], name: str, place: int) -> None:
    turn = TALKS[name].entry.turns[place].model_dump(by_alias=True, exclude_none=True)
    assert list(expectations(turn, replies[name][place])) == []


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
