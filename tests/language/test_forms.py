"""Forms and their net: what a form matches, what it says, and what is refused when it is compiled."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from backstay.knowledge.automaton import compile_phrases
from backstay.knowledge.base import Attribute
from backstay.knowledge.forms import FormError, form_tree, plain_words
from backstay.language.matching import Automaton
from backstay.language.scene import take_apart
from backstay.language.scope import names

ATTRIBUTES = {
    "colour": Attribute("colour", "many", ("red", "green", "blue")),
    "size": Attribute("size", "number", unit="cm"),
    "weeks-away": Attribute("weeks-away", "number", unit="weeks"),
    "price": Attribute("price", "map", keys=("red", "green")),
    "exercise": Attribute("exercise", "many"),
}
DAY = datetime.date(2026, 5, 4)


def compiled(*entries: dict[str, Any], named: Any = (), words: Any = None) -> Automaton:
    data, faults = compile_phrases(entries, ATTRIBUTES, named, words or {})
    assert faults == []
    return Automaton(data)


def said(automaton: Automaton, text: str) -> set[tuple[str, Any]]:
    scene = take_apart(automaton, text, DAY)
    return {pair for one in scene.mentions if not one.scope for pair in one.says}


RED = {
    "phrase": "red",
    "says": {"colour": "red"},
    "forms": ["red", "(dark|light) red", "colour of [a|the] [ripe] tomato"],
}
GREEN = {"phrase": "green", "says": {"colour": "green"}, "forms": ["green"]}


@pytest.mark.parametrize(
    ("form", "yes", "no"),
    [
        ("a (b|c d) [e] f", ["a b f", "a c d f", "a b e f"], ["a f", "a c f", "a b e"]),
        ("a {gap 2} f", ["a f", "a x f", "a x y f", "a x, y f"], ["a x y z f", "a x. f"]),
        ("a (b)? c", ["a c", "a b c"], ["a b b c"]),
        ("a , b", ["a b", "a, b"], ["a. b"]),
        ("a b", ["a b", "A  B", "a-b"], ["a, b", "b a"]),
        ("c&j", ["c&j", "c and j", "C+J"], ["c j"]),
        ("don't go", ["dont go", "do not go", "don't go"], ["go"]),
    ],
)
def test_what_a_form_matches(form: str, yes: list[str], no: list[str]) -> None:
    words = {"slips": "dont: do not\n"}
    automaton = compiled({"phrase": "x", "says": {"colour": "blue"}, "forms": [form]}, words=words)
    assert [text for text in yes if said(automaton, text) != {("colour", "blue")}] == []
    assert [text for text in no if said(automaton, text)] == []


def test_the_longest_phrase_speaks_and_its_slots_still_speak() -> None:
    whole = {"phrase": "wine", "says": {"exercise": "drink"}, "forms": ["red wine"]}
    slot = {"phrase": "paint", "says": {"exercise": "paint"}, "forms": ["{colour} paint"]}
    automaton = compiled(RED, GREEN, whole, slot)
    assert said(automaton, "red wine") == {("exercise", "drink")}
    assert said(automaton, "green paint") == {("exercise", "paint"), ("colour", "green")}


def test_slots_of_figures_come_in_the_unit_of_the_attribute() -> None:
    automaton = compiled({"phrase": "away", "says": {"weeks-away": "{duration}"}, "forms": ["{duration} away"]})
    assert said(automaton, "21 days away") == {("weeks-away", 3.0)}


def test_a_dotted_name_may_hold_a_slot() -> None:
    automaton = compiled(
        RED, {"phrase": "costs", "says": {"price.{colour}": "{number}"}, "forms": ["{colour} costs {number}"]}
    )
    assert ("price.red", 7) in said(automaton, "red costs 7")


def test_a_figure_with_a_unit_is_no_bare_number() -> None:
    automaton = compiled({"phrase": "n", "says": {"size": "{number}"}, "forms": ["about {number}"]})
    assert said(automaton, "about 4") == {("size", 4)}
    assert said(automaton, "about 4 weeks") == set()


def test_names_have_plurals_and_nothing_cuts_into_them() -> None:
    loose = {"phrase": "split", "says": {"colour": "green"}, "forms": ["split"]}
    automaton = compiled(loose, named=[("exercise", "split-squat", ("split squat",))])
    assert said(automaton, "two split squats") == {("exercise", "split-squat")}


TOGETHER = {"together": "both", "of": ["{colour=red}", "{green}"], "within": "clause", "says": {"colour": "blue"}}


@pytest.mark.parametrize(
    ("within", "text", "stands"),
    [
        ("clause", "red and green", True),
        ("clause", "red, green", False),
        ("sentence", "red, green", True),
        ("sentence", "red. green", False),
        ("message", "red. green", True),
        (1, "red x green", True),
        (1, "red x y green", False),
    ],
)
def test_together_within_its_window(within: Any, text: str, stands: bool) -> None:
    automaton = compiled(RED, GREEN, {**TOGETHER, "within": within})
    assert (("colour", "blue") in said(automaton, text)) is stands


def test_together_wants_all_of_it_here_and_now_unless_it_says_otherwise() -> None:
    no = {"trigger": "negation", "reach": "forward", "within": 3, "forms": ["no"]}
    assert ("colour", "blue") not in said(compiled(RED, GREEN, no, TOGETHER), "no red and a green")
    allowed = {**TOGETHER, "scope": {"{colour=red}": "denied|asserted"}}
    assert ("colour", "blue") in said(compiled(RED, GREEN, no, allowed), "no red and a green")


def test_together_yields_to_what_it_excepts() -> None:
    except_tomato = {**TOGETHER, "unless": ["tomato"]}
    assert ("colour", "blue") not in said(compiled(RED, GREEN, except_tomato), "red green tomato")


def test_a_trigger_within_a_longer_phrase_reaches_nothing() -> None:
    no = {"trigger": "negation", "reach": "forward", "within": 3, "forms": ["not"]}
    idiom = {"phrase": "idiom", "says": {"exercise": "x"}, "forms": ["whether or not"]}
    scene = take_apart(compiled(RED, no, idiom), "whether or not red", DAY)
    assert {names(one.scope) for one in scene.mentions} == {"asserted"}


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ("(a|b", "is missing"),
        ("a)", "closes nothing"),
        ("a | b", "outside of brackets"),
        ("{gap 12} a", "1 to 9 words"),
        ("{}", "names no slot"),
        ("a ?!", "is no word"),
    ],
)
def test_forms_that_cannot_be_read_say_why(form: str, says: str) -> None:
    with pytest.raises(FormError, match=says):
        form_tree(form)


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ({"phrase": "x", "says": {"colour": "pink"}, "forms": ["a"]}, "no value of"),
        ({"phrase": "x", "says": {"taste": "sour"}, "forms": ["a"]}, "no attribute"),
        ({"phrase": "x", "says": {"colour": "red"}, "forms": ["{nothing} a"]}, "no idea, phrase"),
        ({"phrase": "x", "says": {"size": "{number}"}, "forms": ["a"]}, "no form holds it"),
        ({"phrase": "x", "says": {"colour": "red"}, "forms": ["[a]"]}, "may not be left out"),
        ({"phrase": "x", "says": {"colour": "red"}, "forms": ["a {gap}"]}, "end with a gap"),
        ({"phrase": "x", "says": {"colour": "red"}, "forms": ["{gap} a"]}, "begin with a gap"),
        ({"together": "x", "of": [], "within": "clause", "says": {}}, "names nothing"),
        ({"together": "x", "of": ["a"], "within": "page", "says": {}}, "clause, sentence, message"),
        ({"trigger": "x", "reach": "far", "forms": ["a"]}, "forward, back"),
        ({"nothing": "x"}, "an entry is one of"),
    ],
)
def test_entries_with_faults_are_named(entry: dict[str, Any], says: str) -> None:
    _, faults = compile_phrases([entry], ATTRIBUTES)
    assert [fault for fault in faults if fault.entry == 0 and says in fault.what], faults


def test_names_are_taken_apart_as_messages_are() -> None:
    assert plain_words("Farmer's walk, C&J 45° ½-squat")[:5] == ["farmer", "walk", "c", "and", "j"]
