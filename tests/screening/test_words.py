"""What is said when something must be looked at: short sentences, an act first, no diagnosis, nothing to train."""

from __future__ import annotations

import re

import pytest

from .tables import built_in_base

LONGEST_SENTENCE = 20
SHOWN = (
    "stop-now", "stop-now-other", "stop-today", "stop-today-other", "stop-days", "stop-days-other", "refer-days",
    "refer-weeks", "see-clinician", "safety-net", "guardian", "maternity", "pressure", "bones", "crisis-line",
    "stop-the-movement", "nothing-grows", "be-reviewed", "no-extension-yet", "ask-about-inflammation",
    "soreness-or-pain",
)  # fmt: skip
STOPS = tuple(name for name in SHOWN if name.startswith("stop-") and name != "stop-the-movement")
ACTS = ("stop", "call", "go", "see", "book", "ask", "show", "tell")
# What explains before it asks for anything.
NO_ACT = frozenset(
    {"crisis-line", "stop-the-movement", "nothing-grows", "be-reviewed", "no-extension-yet", "soreness-or-pain"}
)
NEVER = (
    "cauda", "fracture", "cancer", "tumour", "infection", "disc", "sciatica", "stenosis", "diagnos", "syndrome",
    "only muscular", "nothing serious", "safe to", "cleared",
)  # fmt: skip
QUESTIONS = (
    "saddle-signs", "both-legs-signs", "nerve-signs", "injury-signs", "illness-signs", "chest-signs", "belly-signs",
    "mood-signs", "danger-signs",
)  # fmt: skip


def sentences(text: str) -> list[str]:
    return [part for part in re.split(r"[.?!:]\s*", text) if part.strip()]


@pytest.mark.parametrize("name", SHOWN)
def test_sentences_are_short_and_begin_with_an_act(name: str) -> None:
    text = built_in_base().messages[name]
    for sentence in sentences(text):
        assert len(sentence.split()) <= LONGEST_SENTENCE, sentence
    assert name in NO_ACT or text.lower().startswith(ACTS)


@pytest.mark.parametrize("name", (*SHOWN,))
def test_no_message_names_a_diagnosis_or_clears_anybody(name: str) -> None:
    text = built_in_base().messages[name].lower()
    assert not [word for word in NEVER if word in text]


@pytest.mark.parametrize("name", STOPS)
def test_a_stop_says_that_there_are_no_exercises(name: str) -> None:
    assert "No exercises" in built_in_base().messages[name]


@pytest.mark.parametrize("name", ["stop-now", "stop-now-other", "crisis-line"])
def test_an_emergency_says_whom_to_call(name: str) -> None:
    assert "Call {emergency_number}" in built_in_base().messages[name]


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_safety_question_is_closed_and_its_silence_counts_as_yes(name: str) -> None:
    base = built_in_base()
    question = base.questions[name]
    assert question.text.endswith("Yes or no?")
    assert tuple(question.answers) == ("yes", "no")
    assert base.attributes[name].cautious[0] == "yes"
    for sentence in sentences(question.text):
        assert len(sentence.split()) <= LONGEST_SENTENCE + 5, sentence
