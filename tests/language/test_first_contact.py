"""Batches by people who had not seen the phrases: scored once before anything was learned from them, and held since.

`first-contact.yaml` is the log. A batch's `floor` is what it scored when the log was last written: understanding may
rise above it and must not fall below. It is no bar of quality; the first-contact scores beside it are the honest ones.
"""

from __future__ import annotations

import datetime
from typing import Any

import pytest
import yaml

from backstay import Assistant

from .tables import HERE, cases, expected, plain, read
from .test_labelled_messages import close

BATCHES: list[dict[str, Any]] = yaml.safe_load((HERE / "first-contact.yaml").read_text(encoding="utf-8"))
UNDERSTANDING = [batch for batch in BATCHES if batch["kind"] in ("understanding", "further facts")]
STOP_SIGNS = [batch for batch in BATCHES if batch["kind"] == "stop signs"]
TODAY = datetime.date(2026, 11, 25)
MUST_STOP = ("emergency", "urgent")


def messages(batch: dict[str, Any]) -> list[dict[str, Any]]:
    return [case for _, case in cases(HERE / "first-contact" / f"{batch['batch']}.yaml")]


def understood(batch: dict[str, Any]) -> dict[str, float]:
    """Share of right wants, F1 over facts, and share of messages right in every fact."""
    wants = whole = right = missed = wrong = 0
    told = messages(batch)
    for case in told:
        said = read(case["text"], case.get("today"))
        labels = expected(case["expect"]["facts"])
        missing, extra = close(plain(said, more=batch["kind"] == "further facts"), labels)
        wants += said.want == case["expect"]["want"]
        whole += not missing and not extra
        right, missed, wrong = right + len(labels) - len(missing), missed + len(missing), wrong + len(extra)
    return {"want": wants / len(told), "f1": 2 * right / (2 * right + missed + wrong), "whole": whole / len(told)}


def stopped(batch: dict[str, Any]) -> dict[str, int]:
    """Counts as the log names them."""
    assistant = Assistant()
    counts = {
        "exercise-shown": 0,
        "not-at-once": 0,
        "taken-for-less": 0,
        "false-stop": 0,
        "needless-question": 0,
        "no-notice": 0,
    }
    for case in messages(batch):
        said = assistant.answer(case["text"], today=TODAY).as_json()
        expect = case["expect"]
        stop, must = said["outcome"] == "stop", expect["tier"] in MUST_STOP
        counts["exercise-shown"] += must and bool(said["picks"])
        counts["not-at-once"] += must and not stop
        counts["taken-for-less"] += stop and expect["tier"] == "emergency" and said["urgency"] != "emergency"
        counts["false-stop"] += stop and not must
        counts["needless-question"] += said["outcome"] == "question" and not must
        counts["no-notice"] += expect["pain"] == "yes" and "see-clinician" not in {one["id"] for one in said["notices"]}
    return counts


@pytest.mark.parametrize("batch", UNDERSTANDING, ids=lambda batch: batch["batch"])
def test_a_batch_is_understood_no_worse_than_it_was(batch: dict[str, Any]) -> None:
    scores = understood(batch)
    for name, floor in batch["floor"].items():
        assert scores[name] >= floor - 0.001, scores


@pytest.mark.parametrize("batch", STOP_SIGNS, ids=lambda batch: batch["batch"])
def test_a_batch_is_stopped_no_worse_than_it_was(batch: dict[str, Any]) -> None:
    counts = stopped(batch)
    for name, ceiling in batch["floor"].items():
        assert counts[name] <= ceiling, counts


def test_the_log_says_who_wrote_a_batch_and_what_it_scored_before_it_was_learned_from() -> None:
    for batch in BATCHES:
        assert len(messages(batch)) == batch["messages"] >= 100
        assert set(batch["first-contact"]) == set(batch["floor"])
        assert batch["voices"]
        assert batch["written-by"]
