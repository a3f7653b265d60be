"""What a message leaves out: the question it answers, the thing it goes on about; and only then."""

from __future__ import annotations

from typing import Any

import pytest

from backstay.assistant import Assistant

from .tables import HERE, TODAY, built_in_base, cases, read

TABLE = list(cases(HERE / "chat.yaml"))
CONVERSATIONS = list(cases(HERE / "conversations.yaml"))


@pytest.mark.parametrize(("place", "case"), TABLE, ids=[place for place, _ in TABLE])
def test_answers_and_follow_ups(place: str, case: dict[str, Any]) -> None:
    understood = read(case["say"], asked=case.get("asked"), named=case.get("named", ()))
    said = {fact.attribute: fact.value for fact in understood.facts}
    for name, value in case["gives"].items():
        assert said.get(name) == (pytest.approx(value, rel=1e-3) if isinstance(value, float) else value), (
            f"{place}: {said}"
        )
    if "asked" in case:
        assert understood.answered is bool(case["gives"]), place
        if not case["gives"]:
            assert case["asked"] not in said, place


@pytest.mark.parametrize("say", ["yes", "6", "about nine", "the left one", "nope"])
def test_a_bare_answer_without_a_question_says_nothing(say: str) -> None:
    understood = read(say)
    assert understood.want == "state"
    assert not [fact for fact in understood.facts if fact.attribute not in ("units",)]


def test_facts_remember_the_words_they_came_from() -> None:
    said = {fact.attribute: fact.words for fact in read("My LOW back hurts, 3 weeks out").facts}
    assert said["area"] == "LOW back"
    assert said["pain"] == "hurts"
    assert said["weeks-to-meet"] == "3 weeks out"


def test_what_is_denied_is_taken_back() -> None:
    understood = read("no, not the snatch, the clean")
    assert ("lift", "snatch") in {(fact.attribute, fact.value) for fact in understood.retracted}
    assert ("lift", "clean") in {(fact.attribute, fact.value) for fact in understood.facts}


@pytest.mark.parametrize(("place", "case"), CONVERSATIONS, ids=[place for place, _ in CONVERSATIONS])
def test_conversation(place: str, case: dict[str, Any]) -> None:
    assistant = Assistant.of(built_in_base())
    held = assistant.held(None)
    for turn in case["chat"]:
        before = held
        reply = assistant.answer(turn["say"], held, TODAY)
        held = assistant.held(reply.case)
        at = f"{place}: {turn['say']}"
        assert held.want == turn.get("want", held.want), at
        for name, values in turn.get("held", {}).items():
            assert sorted(map(str, held.values(name))) == sorted(map(str, values)), f"{at}: {name}"
        for name in turn.get("gone", ()):
            assert not held.values(name), f"{at}: {name}"
        assert list(held.named) == turn.get("named", list(held.named)), at
        if "nth" in turn:
            assert held.named == (before.picks[turn["nth"]],), at
        assert reply.outcome == turn.get("outcome", reply.outcome), at
        assert not (turn.get("no-work") and reply.picks), at
        assert not (turn.get("none") and held.facts), at
