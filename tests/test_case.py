"""A case: what is held true of one asker, from message to message."""

import json
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.case import Case, CaseError, Question
from backstay.knowledge.base import Attribute
from backstay.knowledge.facts import Fact

KINDS = {
    name: Attribute(name, kind)
    for name, kind in {
        "pain": "one",
        "pain-score": "number",
        "weeks-to-meet": "number",
        "lift": "many",
        "has": "many",
        "lacks": "many",
        "muscle": "many",
        "exercise": "many",
        "provoked-by": "many",
        "sign": "many",
        "doubt": "many",
        "saddle-signs": "one",
        "best": "map",
        "limit": "records",
        "done": "records",
    }.items()
}


class Read(NamedTuple):
    facts: tuple[Fact, ...] = ()
    want: str = "state"
    retracted: tuple[Fact, ...] = ()
    records: tuple[Any, ...] = ()
    answered: bool = False
    amends: bool = False
    goes_on: bool = False


def record(attribute: str, value: dict[str, Any], words: str = "") -> Any:
    return Fact(attribute, value, words)  # type: ignore[arg-type]


def told(*messages: Read) -> Case:
    case = Case()
    for message in messages:
        case = case.absorb(message, KINDS)
    return case


def facts(*pairs: tuple[str, Any]) -> tuple[Fact, ...]:
    return tuple(Fact(attribute, value) for attribute, value in pairs)


def said(*pairs: tuple[str, Any], **more: Any) -> Read:
    return Read(facts(*pairs), **more)


def held(case: Case) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for fact in case.facts:
        found.setdefault(fact.attribute, []).append(fact.value)
    return found


@pytest.mark.parametrize(
    "messages, expected",
    [
        ([said(("weeks-to-meet", 6)), said(("weeks-to-meet", 4))], {"weeks-to-meet": [4]}),
        ([said(("pain", "present")), said(("pain", "absent"))], {"pain": ["absent"]}),
        ([said(("lift", "clean")), said(("lift", "snatch"))], {"lift": ["clean", "snatch"]}),
        ([said(("lift", "clean")), said(("lift", "clean"))], {"lift": ["clean"]}),
        (
            [said(("best.clean", 120), ("best.snatch", 95)), said(("best.clean", 125))],
            {"best.snatch": [95], "best.clean": [125]},
        ),
        ([said(("muscle", "hamstrings")), said(("muscle", "piriformis"))], {"muscle": ["piriformis"]}),
        ([said(("exercise", "bird-dog")), said(("lift", "clean"))], {"lift": ["clean"]}),
        ([said(("has", "bands")), said(("lacks", "bands"))], {"lacks": ["bands"]}),
        ([said(("lacks", "everything")), said(("has", "bands"))], {"has": ["bands"]}),
        ([said(("has", "bands"), ("has", "box")), said(("lacks", "everything"))], {"lacks": ["everything"]}),
    ],
    ids=[
        "a figure is replaced",
        "the one value is replaced",
        "lists unite",
        "nothing twice",
        "a map by its places",
        "what is asked for is asked anew",
        "a named exercise belongs to its message",
        "what is lacking is not there",
        "something is not nothing",
        "nothing is not something",
    ],
)
def test_later_messages_correct_earlier_ones(messages: list[Read], expected: dict[str, list[Any]]) -> None:
    assert held(told(*messages)) == expected


def test_no_pain_takes_its_description_along_but_never_a_sign() -> None:
    case = told(
        said(("pain", "present"), ("pain-score", 6), ("provoked-by", "bending"), ("sign", "bladder")),
        said(("pain", "absent")),
    )
    assert held(case) == {"sign": ["bladder"], "pain": ["absent"]}


def test_what_is_taken_back_is_gone() -> None:
    case = told(
        said(("lift", "clean"), ("lift", "snatch"), ("best.clean", 120)),
        Read(retracted=(Fact("lift", "clean"), Fact("best", ""))),
    )
    assert held(case) == {"lift": ["snatch"]}


def test_an_unanswered_question_on_an_emergency_counts_as_yes() -> None:
    asked = Case().answered_with("recommend", asked=Question("saddle-signs", "…?", (Fact("saddle-signs", "yes"),)))
    assert held(asked.absorb(said(("lift", "clean")), KINDS))["saddle-signs"] == ["yes"]
    assert held(asked.absorb(Read(), KINDS))["saddle-signs"] == ["yes"]


def test_an_answered_one_counts_as_answered() -> None:
    asked = Case().answered_with("recommend", asked=Question("saddle-signs", "…?", (Fact("saddle-signs", "yes"),)))
    assert held(asked.absorb(said(("saddle-signs", "no"), answered=True), KINDS))["saddle-signs"] == ["no"]


def test_an_ordinary_question_may_be_left_unanswered() -> None:
    asked = Case().answered_with("recommend", asked=Question("weeks-to-meet", "…?"))
    after = asked.absorb(said(("lift", "clean")), KINDS)
    assert held(after) == {"lift": ["clean"]}
    assert after.asked_before == ("weeks-to-meet",)


def test_a_new_doubt_is_asked_about_again() -> None:
    case = Case(facts(("saddle-signs", "no")), asked_before=["saddle-signs"]).absorb(said(("doubt", "saddle")), KINDS)
    assert "saddle-signs" not in held(case)


@pytest.mark.parametrize(
    "before, reading, wanted",
    [
        ("recommend", said(("weeks-to-meet", 6)), "recommend"),
        ("week", Read(answered=True), "week"),
        ("recommend", Read(), "state"),
        ("how-to", said(("weeks-to-meet", 6)), "state"),
        ("", said(("weeks-to-meet", 6)), "state"),
        ("", said(("fault", "rounds")), "recommend"),
        ("", said(("pain", "present")), "recommend"),
        ("", said(("pain", "absent")), "state"),
        ("week", said(("fault", "rounds")), "week"),
        ("", said(("fault", "rounds"), want="timing"), "recommend"),
        ("", said(("fault", "rounds"), ("exercise", "bird-dog"), want="timing"), "timing"),
        ("", said(("weeks-to-meet", 6), want="timing"), "timing"),
        ("recommend", said(want="why"), "why"),
    ],
)
def test_bare_facts_go_on_with_what_was_wanted(before: str, reading: Read, wanted: str) -> None:
    assert Case().answered_with(before).wanted(reading) == wanted


def test_a_question_about_exercises_means_those_just_spoken_of() -> None:
    case = Case(named=["bird-dog"])
    assert case.about(said(want="dose")) == ("bird-dog",)
    assert case.about(said(("exercise", "dead-bug"), want="dose")) == ("dead-bug",)
    assert case.about(said(want="recommend")) == ()
    assert case.about(said(("muscle", "multifidus"), want="muscles")) == ()


def test_the_answer_to_a_question_about_exercises_goes_on_with_them() -> None:
    case = Case().answered_with("dose", named=["romanian-deadlift"])
    answer = said(("best.clean", 110), answered=True)
    assert (case.wanted(answer), case.about(answer)) == ("dose", ("romanian-deadlift",))
    other = said(("best.clean", 110))
    assert (case.wanted(other), case.about(other)) == ("state", ())
    in_pain = said(("pain", "present"), answered=True)
    assert (case.wanted(in_pain), case.about(in_pain)) == ("recommend", ())


def test_a_muscle_that_was_only_asked_about_is_not_asked_for() -> None:
    case = told(said(("muscle", "multifidus"))).answered_with("muscles")
    assert held(case.absorb(said(("lift", "clean")), KINDS)) == {"lift": ["clean"]}


def test_a_question_in_between_does_not_end_what_was_wanted() -> None:
    case = Case().answered_with("week", picks=["bird-dog"]).answered_with("why")
    assert case.wanted(said(("weeks-to-meet", 6))) == "week"
    assert case.picks == ("bird-dog",)


def test_records_reach_the_engine_field_by_field() -> None:
    limit = record("limit", {"what": "deadlift", "at-most-percent": 60}, "no more than 60 % in the deadlift")
    reached = told(Read(records=(limit,))).for_reasoning("recommend")
    assert reached == (
        Fact("limit.what", "deadlift", limit.words),
        Fact("limit.at-most-percent", 60, limit.words),
        Fact("want", "recommend"),
    )


values = st.one_of(st.text(max_size=20), st.integers(-1000, 1000), st.floats(-1000, 1000))
anything = st.builds(Fact, st.sampled_from(sorted(KINDS)), values, st.text(max_size=20))
cases = st.builds(
    Case,
    st.lists(anything, max_size=6),
    st.lists(st.builds(record, st.just("limit"), st.dictionaries(st.text(max_size=5), values, max_size=3)), max_size=2),
    st.none()
    | st.builds(Question, st.text(max_size=9), st.text(max_size=9), st.lists(anything, max_size=1).map(tuple)),
    st.lists(st.text(max_size=9), max_size=3),
    st.text(max_size=9),
    st.lists(st.text(max_size=9), max_size=3),
    st.integers(0, 99),
    st.lists(st.text(max_size=9), max_size=3),
    st.text(max_size=9),
    st.lists(st.text(max_size=9), max_size=3),
)


@given(cases)
def test_a_case_goes_out_as_json_and_comes_back_the_same(case: Case) -> None:
    assert Case.from_json(json.loads(json.dumps(case.as_json()))) == case


@given(cases, st.lists(anything, max_size=4).map(tuple))
def test_absorbing_changes_no_earlier_case(case: Case, new: tuple[Fact, ...]) -> None:
    before = case.as_json()
    after = case.absorb(Read(new), KINDS)
    assert case.as_json() == before
    assert {(fact.attribute, fact.value) for fact in new} <= {(fact.attribute, fact.value) for fact in after.facts}


@pytest.mark.parametrize(
    "value, where",
    [
        ("x", "case"),
        ({}, "case.format"),
        ({"format": 2}, "case.format"),
        ({"format": 1, "facts": 3}, "case.facts"),
        ({"format": 1, "facts": [["pain", "present"]]}, "case.facts[0]"),
        ({"format": 1, "facts": [["pain", None, ""]]}, "case.facts[0][1]"),
        ({"format": 1, "facts": [["pain", {}, ""]]}, "case.facts[0][1]"),
        ({"format": 1, "facts": [[1, "present", ""]]}, "case.facts[0][0]"),
        ({"format": 1, "facts": [["pain", "x" * 1000, ""]]}, "case.facts[0][1]"),
        ({"format": 1, "records": [["done", "x", ""]]}, "case.records[0][1]"),
        ({"format": 1, "asked": "x"}, "case.asked"),
        ({"format": 1, "asked": {}}, "case.asked.fact"),
        ({"format": 1, "turns": -1}, "case.turns"),
        ({"format": 1, "turns": True}, "case.turns"),
        ({"format": 1, "named": [3]}, "case.named[0]"),
        ({"format": 1, "want": []}, "case.want"),
    ],
)
def test_what_is_no_case_is_refused_by_its_place(value: Any, where: str) -> None:
    with pytest.raises(CaseError) as error:
        Case.from_json(value)
    assert error.value.where == where


def test_what_the_knowledge_has_no_name_for_is_dropped() -> None:
    case = Case(facts(("pain", "present"), ("gone", "x"), ("best.clean", 120)))
    assert held(case.known_to(KINDS)) == {"pain": ["present"], "best.clean": [120]}
