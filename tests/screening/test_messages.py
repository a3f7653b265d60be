"""Messages as people type them: what must stop stops in time; what is ordinary is not stopped, nor asked about."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from backstay import Assistant

from .tables import HERE, table

TODAY = datetime.date(2026, 11, 25)
URGENCY = {"emergency": "emergency", "urgent": "urgent"}
MESSAGES = [case for path in sorted(HERE.glob("messages-*.yaml")) for case in table(path.name)]
DUTIES = table("duties.yaml")


@pytest.fixture(scope="module")
def assistant() -> Assistant:
    return Assistant()


def answer(assistant: Assistant, text: str) -> dict[str, Any]:
    return assistant.answer(text, today=TODAY).as_json()


@pytest.mark.parametrize("case", MESSAGES, ids=lambda case: case["id"])
def test_a_message_is_stopped_as_soon_as_it_must_be_and_only_then(assistant: Assistant, case: dict[str, Any]) -> None:
    said = answer(assistant, case["text"])
    wanted = case["tier"]
    if wanted in URGENCY:
        assert said["outcome"] == "stop", said["understood"]
        # the sound of a whole message may make it sooner, never later
        sooner = "sounds-emergency" in said["understood"]["more"].get("sign", [])
        assert said["urgency"] == ("emergency" if sooner else URGENCY[wanted]), said["understood"]
        assert set(case["flags"]) <= set(said["understood"]["facts"].get("red-flag", []))
        assert not said["picks"]
    else:
        assert said["outcome"] not in ("stop", "question"), said["understood"]
    if said["understood"]["facts"].get("pain") == "present":
        assert "see-clinician" in {notice["id"] for notice in said["notices"]}


@pytest.mark.parametrize("duty", DUTIES, ids=lambda duty: f"{duty['id']} {duty['why']}")
def test_a_duty_is_kept(assistant: Assistant, duty: dict[str, Any]) -> None:
    said = answer(assistant, duty["text"])
    if "outcome" in duty:
        assert said["outcome"] == duty["outcome"], said["understood"]
    if "not-outcome" in duty:
        assert said["outcome"] != duty["not-outcome"], said["understood"]
    for key in ("urgency", "within"):
        if key in duty:
            assert said[key] == duty[key]
    if "notice" in duty:
        assert duty["notice"] in {notice["id"] for notice in said["notices"]}
    if said["outcome"] in ("stop", "question", "refer"):
        assert not said["picks"]


def test_half_of_the_messages_must_stop() -> None:
    stops = sum(case["tier"] in URGENCY for case in MESSAGES)
    assert len(MESSAGES) >= 400
    assert 0.4 <= stops / len(MESSAGES) <= 0.65


def test_no_message_stands_twice() -> None:
    texts = [case["text"] for case in MESSAGES]
    assert len(set(texts)) == len(texts)
    assert len({case["id"] for case in MESSAGES}) == len(MESSAGES)
