"""A Reply refuses to exist in an unsafe shape."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.reply.reply import (
    OUTCOMES,
    SEE_CLINICIAN,
    STOPS,
    URGENCIES,
    WITHIN,
    WITHOUT_WORK,
    AskNext,
    LeftOut,
    Notice,
    Reply,
    Shown,
)

SEEN = Notice(SEE_CLINICIAN, "See a licensed clinician about this.")
OTHER = Notice("guardian", "Show this to a guardian.")
PICK = Shown("bird-dog", "Bird dog", {"sets": 3})


def make(**changes: Any) -> Reply:
    fields: dict[str, Any] = {
        "understood": {"want": "recommend", "facts": {}, "more": {}, "derived": {}, "unknown_words": []},
        "outcome": "advice",
        "text": "Bird dog: 3 x 8.",
        "case": {"format": 1},
        "picks": [PICK],
    }
    return Reply(**{**fields, **changes})


def facts(**said: Any) -> dict[str, Any]:
    return {"want": "recommend", "facts": {name.replace("_", "-"): value for name, value in said.items()}}


IN_PAIN: dict[str, Any] = {
    "understood": facts(pain="present"),
    "urgency": "clinician",
    "notices": [SEEN],
    "text": f"{SEEN.text}\n\nBird dog: 3 x 8.",
}


def test_a_plain_advice_stands() -> None:
    assert make().want == "recommend"


def test_advice_in_pain_stands_with_the_notice_first() -> None:
    assert make(**IN_PAIN).notices == (SEEN,)


@pytest.mark.parametrize(
    "changes, what",
    [
        ({**IN_PAIN, "notices": []}, "notice see-clinician missing"),
        ({**IN_PAIN, "notices": [OTHER]}, "notice see-clinician missing"),
        ({**IN_PAIN, "text": "Bird dog: 3 x 8."}, "not in the text"),
        ({**IN_PAIN, "text": f"Bird dog: 3 x 8. {SEEN.text}"}, "named before the notice"),
        ({**IN_PAIN, "notices": [Notice(SEE_CLINICIAN, " ")]}, "not in the text"),
        ({**IN_PAIN, "urgency": "none"}, "urgency none"),
        ({"understood": facts(red_flag=["fracture"])}, "notice see-clinician missing"),
        ({"understood": facts(pain_score=1)}, "notice see-clinician missing"),
        ({"understood": {**facts(), "derived": {"pain": "present"}}}, "notice see-clinician missing"),
        ({"understood": {**facts(), "derived": {"red-flag": ["fracture"]}}}, "notice see-clinician missing"),
        ({"flagged": True}, "notice see-clinician missing"),
    ],
)
def test_pain_or_a_flag_without_the_notice_cannot_be(changes: dict[str, Any], what: str) -> None:
    with pytest.raises(ValueError, match=what):
        make(**changes)


@pytest.mark.parametrize("said", [facts(pain="absent"), facts(pain_score=0), facts()])
def test_without_pain_no_notice_is_asked_for(said: dict[str, Any]) -> None:
    assert make(understood=said).notices == ()


@pytest.mark.parametrize("outcome", sorted(WITHOUT_WORK))
@pytest.mark.parametrize("work", [{}, {"picks": [], "extra": {"week": [1]}}, {"picks": [], "extra": {"block": [1]}}])
def test_nothing_to_train_where_there_must_be_none(outcome: str, work: dict[str, Any]) -> None:
    urgency, within = {"stop": ("emergency", "now"), "refer": ("clinician", "days")}.get(outcome, ("none", None))
    with pytest.raises(ValueError, match=outcome):
        make(outcome=outcome, urgency=urgency, within=within, ask_next=AskNext("x", "?"), **work)


@pytest.mark.parametrize("urgency", URGENCIES)
@pytest.mark.parametrize("within", WITHIN)
def test_a_stop_says_how_soon_and_nothing_else_is_a_stop(urgency: str, within: str | None) -> None:
    def stop() -> Reply:
        return make(outcome="stop", urgency=urgency, within=within, picks=[])

    if (urgency, within) in STOPS:
        assert stop().within == within
    else:
        with pytest.raises(ValueError):
            stop()


@pytest.mark.parametrize(
    "changes, what",
    [
        ({"outcome": "maybe"}, "outcome: maybe"),
        ({"urgency": "soon"}, "urgency: soon"),
        ({"within": "ever"}, "within: ever"),
        ({"within": "days"}, "without urgency"),
        ({"urgency": "urgent"}, "without within"),
        ({"urgency": "emergency", "within": "now"}, "urgency emergency"),
        ({"outcome": "refer", "picks": []}, "refer"),
        ({"outcome": "refer", "picks": [], "urgency": "clinician"}, "refer"),
        ({"outcome": "question", "picks": []}, "ask_next missing"),
    ],
)
def test_nonsense_cannot_be(changes: dict[str, Any], what: str) -> None:
    with pytest.raises(ValueError, match=what):
        make(**changes)


said = st.fixed_dictionaries(
    {"want": st.just("recommend")},
    optional={
        heading: st.fixed_dictionaries(
            {},
            optional={
                "pain": st.sampled_from(["present", "absent"]),
                "pain-score": st.integers(0, 10),
                "red-flag": st.lists(st.sampled_from(["fracture", "infection"]), max_size=2),
                "lift": st.just(["clean"]),
            },
        )
        for heading in ("facts", "more", "derived")
    },
)


@given(
    said,
    st.sampled_from(sorted(OUTCOMES)),
    st.sampled_from(URGENCIES),
    st.sampled_from(WITHIN),
    st.lists(st.sampled_from([SEEN, OTHER]), max_size=2, unique=True),
    st.lists(st.just(PICK), max_size=1),
    st.none() | st.just(AskNext("x", "?")),
    st.permutations([SEEN.text, OTHER.text, "Bird dog: 3 x 8."]).flatmap(
        lambda parts: st.sampled_from([parts, parts[:2]])
    ),
)
def test_whatever_is_put_in_what_comes_out_is_safe(
    understood: dict[str, Any],
    outcome: str,
    urgency: str,
    within: str | None,
    notices: list[Notice],
    picks: list[Shown],
    ask: AskNext | None,
    parts: list[str],
) -> None:
    try:
        reply = make(
            understood=understood,
            outcome=outcome,
            urgency=urgency,
            within=within,
            notices=notices,
            picks=picks,
            ask_next=ask,
            text="\n".join(parts),
        )
    except ValueError:
        return
    answer = reply.as_json()
    flat = [facts for facts in understood.values() if isinstance(facts, dict)]
    hurts = any(f.get("pain") == "present" or f.get("red-flag") or f.get("pain-score", 0) >= 1 for f in flat)
    if hurts:
        assert SEE_CLINICIAN in [notice["id"] for notice in answer["notices"]]
        assert SEEN.text in answer["text"]
        assert answer["urgency"] != "none"
        if answer["picks"] and "Bird dog" in answer["text"]:
            assert answer["text"].index(SEEN.text) < answer["text"].index("Bird dog")
    if answer["outcome"] in ("stop", "refer", "question"):
        assert answer["picks"] == []
    if answer["outcome"] == "stop":
        assert (answer["urgency"], answer["within"]) in STOPS
    assert json.loads(json.dumps(answer)) == answer


def test_the_machine_face_has_the_fields_of_the_contract() -> None:
    answer = make(
        left_out=[LeftOut("good-morning", ())], assumed={"level": "intermediate"}, ask_next=AskNext("age", "How old?")
    ).as_json()
    assert set(answer) >= {
        "format", "understood", "outcome", "urgency", "within", "notices", "picks", "left_out", "assumed", "ask_next",
        "case", "text",
    }  # fmt: skip
    assert set(answer["picks"][0]) >= {
        "exercise", "name", "dose", "minutes", "days", "side_means", "first_side", "because",
    }  # fmt: skip
    assert answer["ask_next"] == {"fact": "age", "text": "How old?", "answers": []}
    assert answer["left_out"] == [{"exercise": "good-morning", "because": []}]
