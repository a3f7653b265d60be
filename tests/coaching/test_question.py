"""The question worth asking: safety first, then the fact whose answers change the advice most; nothing known."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.coaching.plan import Plan, make_plan
from backstay.coaching.question import answers_to, asked_for_by_rules, safety_question, worth_asking
from backstay.coaching.wants import resolve_for
from backstay.knowledge.base import Attribute, Base, Effect, Node, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.reasoning.answers import possible
from backstay.reasoning.engine import conclude

from . import askable
from .builders import Findings, base, exercise, parsed, rule
from .test_built_in import SAID, built_in, facts_of

RULES = [rule("r"), rule("s"), rule("t"), rule("safety", room="screening"), rule("question/q", room="question")]
BASE = base([exercise("a")], RULES, questions=["lift", "pain-score", "saddle-signs", "twist-toward"])
EFFECTS = [
    ("r", ("ask", "lift")),
    ("s", ("side-first", ("a",), ("fact", "twist-toward"))),
    ("safety", ("ask", "pain-score")),
]


def may_be_asked(findings: Findings, asked: tuple[str, ...] = ()) -> tuple[str, ...]:
    return tuple(fact for _, fact in worth_asking(BASE, findings, resolve_for(BASE, findings, "recommend", ()), asked))


# --- what may be asked -----------------------------------------------------------------------------


def test_safety_stands_first_then_all_that_is_asked_for_or_waited_for() -> None:
    assert may_be_asked(Findings(EFFECTS)) == ("pain-score", "lift", "twist-toward")


def test_an_open_sign_stands_before_all() -> None:
    findings = Findings([*EFFECTS, ("t", ("hold",)), ("t", ("ask", "saddle-signs"))])
    assert may_be_asked(findings)[0] == "saddle-signs"
    assert safety_question(BASE, findings, resolve_for(BASE, findings, "recommend", ())) == "saddle-signs"


def test_nothing_known_may_be_asked_but_what_was_only_assumed_may() -> None:
    assert may_be_asked(Findings(EFFECTS, {"pain-score": 3.0})) == ("lift", "twist-toward")
    assert "lift" in may_be_asked(Findings(EFFECTS, assumed={"lift": "clean"}))


def test_nothing_may_be_asked_twice() -> None:
    assert may_be_asked(Findings(EFFECTS), ("pain-score",)) == ("lift", "twist-toward")


def test_nothing_may_be_asked_that_has_no_question() -> None:
    assert may_be_asked(Findings([("r", ("ask", "height"))])) == ()


def test_where_nothing_is_advised_only_rules_ask_and_not_questions_of_themselves() -> None:
    own = Findings([("question/q", ("ask", "lift"))])
    assert asked_for_by_rules(BASE, own, resolve_for(BASE, own, "state", ())) is None
    ruled = Findings([("question/q", ("ask", "lift")), ("r", ("ask", "twist-toward"))])
    assert asked_for_by_rules(BASE, ruled, resolve_for(BASE, ruled, "state", ())) == "twist-toward"


# --- which is asked --------------------------------------------------------------------------------

FACTS = {
    "hue": Attribute("hue", "one", ("red", "blue", "green")),
    "flags": Attribute("flags", "many", ("up", "down")),
    "side": Attribute("side", "one", ("left", "right")),
    "size": Attribute("size", "number"),
}
ALWAYS: Node = ("all", ())
RED: Node = ("is", "hue", "red")
BIG: Node = ("number", "size", "at-least", 10)
HUGE: Node = ("number", "size", "at-least", 20)
NEEDS: tuple[Effect, ...] = (("need", "brace", 2), ("need", "grip", 2))


def small(*rules: ParsedRule, screening: Iterable[str] = ()) -> Base:
    """Two exercises, one of each quality needed, and a rule that asks for every fact."""
    exercises = [
        exercise("x", trains={"brace": 2}),
        exercise("y", trains={"grip": 2}),
        exercise("z", trains={"row": 2}),
    ]
    first = parsed("first", ALWAYS, *NEEDS, *(("ask", fact) for fact in FACTS))
    made = base(exercises, (), [*FACTS], parsed=[first, *rules], attributes=FACTS)
    made.rules = {
        name: info._replace(room="screening") if name in screening else info for name, info in made.rules.items()
    }
    return made


def plan(made: Base, *said: tuple[str, Any], asked: tuple[str, ...] = (), want: str = "recommend") -> Plan:
    facts = [Fact("want", want), *(Fact(*one) for one in said)]
    return make_plan(made, conclude(made, facts), want, asked=asked)


FEWER: Effect = ("dose", ("x",), "sets", "at-most", 1)
BARS: Effect = ("forbid", ("x",))


@pytest.mark.parametrize(
    "rules, asks",
    [
        pytest.param([], None, id="nothing that changes nothing"),
        pytest.param([("a", RED, FEWER)], "hue", id="a dose is worth asking for"),
        pytest.param([("a", RED, FEWER), ("b", BIG, BARS)], "size", id="a pick is worth more than a dose"),
        pytest.param(
            [("a", RED, ("forbid", ("z",))), ("b", BIG, FEWER)], "size", id="what is not picked does not count"
        ),
        pytest.param([("a", RED, ("notice", "n")), ("b", BIG, FEWER)], "hue", id="a notice is worth more than a set"),
        pytest.param([("a", RED, ("stop", "now")), ("b", BIG, BARS)], "hue", id="a stop is worth most"),
        pytest.param([("a", ALWAYS, ("side-first", ("x",), ("fact", "side")))], "side", id="an effect that waits"),
        pytest.param(
            [("a", BIG, ("tell", "t")), ("b", HUGE, ("tell", "u")), ("c", RED, ("tell", "v"))], "size", id="evenly"
        ),
        pytest.param(
            [("a", ("any", (RED, ("is", "hue", "blue"))), BARS), ("b", BIG, BARS)], "hue", id="equal: the first by name"
        ),
        pytest.param(
            [("a", ("known", "flags"), BARS), ("b", ("known", "hue"), BARS)], "hue", id="none of several is an answer"
        ),
    ],
)
def test_the_fact_whose_answers_change_most(rules: list[tuple[str, Node, Effect]], asks: str | None) -> None:
    made = small(*(parsed(*one) for one in rules), screening=["a"])
    got = plan(made)
    assert got.outcome == "advice"
    assert got.ask_next == asks


def test_answers_that_come_to_the_same_count_once() -> None:
    # All answers about the hue but one bar x; those about the size bar it on one side of the bound.
    hues = [parsed(f"h-{hue}", ("is", "hue", hue), BARS) for hue in ("red", "blue")]
    sizes = [parsed(f"s-{least}", ("number", "size", "at-least", least), BARS) for least in (10, 20, 30)]
    other = parsed("other", ("is", "hue", "green"), ("tell", "t"))
    assert plan(small(*hues, *sizes, other)).ask_next == "hue"


def test_what_safety_asks_for_stands_before_what_changes_most() -> None:
    asks = parsed("safety", ALWAYS, ("ask", "flags"))
    made = small(asks, parsed("a", RED, BARS), screening=["safety"])
    assert plan(made).ask_next == "flags"
    assert plan(made, asked=("flags",)).ask_next == "hue"


def test_nothing_left_asks_for_what_would_open_something() -> None:
    bar = parsed("bar", ("not", RED), ("forbid", ("x", "y")))
    got = plan(small(bar, parsed("b", BIG, FEWER)))
    assert (got.outcome, got.ask_next, got.picks) == ("question", "hue", ())


@pytest.mark.parametrize("want", ["social", "help", "state", "log"])
def test_small_talk_is_not_asked_back(want: str) -> None:
    made = small(parsed("a", RED, BARS))
    made.rules = {**made.rules, "first": made.rules["first"]._replace(room="question")}
    assert plan(made, want=want).ask_next is None


# --- whole conversations ---------------------------------------------------------------------------


def essence(got: Plan) -> Any:
    """What of a plan an answer should change."""
    picks = [(pick.exercise, pick.dose.figures(), pick.days, pick.first_side) for pick in got.picks]
    return got.outcome, got.within, picks, sorted(got.notices), sorted(got.told)


def talk(made: Base, facts: list[Fact], chance: Random) -> list[str]:
    """Answer, or be not sure, until nothing is asked any more; what held at every step is checked on the way."""
    want = next(str(fact.value) for fact in facts if fact.attribute == "want")
    asked: list[str] = []
    while True:
        findings = conclude(made, facts)
        got = make_plan(made, findings, want, asked=tuple(asked))
        if got.ask_next is None or got.outcome != "advice":
            return asked
        name = got.ask_next
        assert name not in asked
        assert all(findings.standing(name, value) in ("", "assumed") for value in findings.values(name))
        question = next(one for one in made.questions.values() if one.asks == name)
        answers = answers_to(made, question)
        with_answers = [
            make_plan(made, conclude(made, [*facts, Fact(*answer)]), want, asked=tuple(asked)) for answer in answers
        ]
        rooms = {made.rules[rule].room for rule in (got.resolved.asks.get(name, ()) if got.resolved else ())}
        assert "screening" in rooms or any(essence(one) != essence(got) for one in with_answers)
        asked.append(name)
        if chance.random() < 0.7:
            facts = [*facts, Fact(*chance.choice(answers))]


@given(st.integers(0, 10**9))
@settings(max_examples=80, deadline=None)
def test_a_talk_asks_nothing_twice_nothing_known_and_nothing_in_vain(seed: int) -> None:
    chance = Random(seed)
    asked = talk(askable.world(chance), askable.case(chance), chance)
    assert len(asked) <= len(askable.FACTS)


@pytest.mark.parametrize("seed", range(12))
def test_a_talk_over_the_built_in_knowledge(seed: int) -> None:
    chance = Random(seed)
    names = chance.sample(sorted(SAID), chance.randint(0, 4))
    want = chance.choice(("recommend", "recommend", "week", "swap", "dose"))
    named = [Fact("exercise", "romanian-deadlift")] if want == "dose" else []
    facts = [Fact("want", want), *named, *(Fact(name, chance.choice(list(SAID[name]))) for name in names)]
    talk(built_in(), facts, chance)


@given(st.integers(0, 10**9), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_no_order_of_rules_facts_and_questions_matters(seed: int, order: Any) -> None:
    def shuffled(held: dict[str, Any]) -> dict[str, Any]:
        items = list(held.items())
        order.shuffle(items)
        return dict(items)

    chance = Random(seed)
    made, facts = askable.world(chance), askable.case(chance)
    want = str(facts[0].value)
    first = make_plan(made, conclude(made, facts), want).ask_next
    made.rules, made.questions = shuffled(dict(made.rules)), shuffled(made.questions)
    order.shuffle(facts)
    assert make_plan(made, conclude(made, facts), want).ask_next == first


HASHED = """
from random import Random
from backstay.coaching.plan import make_plan
from backstay.reasoning.engine import conclude
from coaching import askable
for seed in range(40):
    chance = Random(seed)
    made, facts = askable.world(chance), askable.case(chance)
    print(make_plan(made, conclude(made, facts), str(facts[0].value)).ask_next)
"""


def test_no_hash_seed_matters() -> None:
    found = {
        subprocess.run(
            [sys.executable, "-c", HASHED],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(found) == 1


# --- the built-in questions ------------------------------------------------------------------------

# What is not for asking back: the request itself, signs, and what rules make of other facts.
NOT_ASKED = frozenset(
    {"about", "at-hand", "avoids", "bar", "complaint", "doubt", "exercise", "hurting", "muscle", "readiness",
     "red-flag", "screened", "sign", "test-finding", "want"}
)  # fmt: skip


def test_a_question_is_short_and_plain() -> None:
    for question in built_in().questions.values():
        if not question.asks.endswith("-signs"):
            assert len(question.text.split()) <= 20, question.text
            assert question.text.endswith("?")
            assert question.because.endswith(".")


def test_every_fact_that_rules_test_can_be_asked_for() -> None:
    made = built_in()
    asked = {question.asks for question in made.questions.values()}
    left = {
        name
        for name, attribute in made.attributes.items()
        if not attribute.of and not attribute.measure and possible(made, name)
    }
    assert sorted(left - asked - NOT_ASKED - {name.partition(".")[0] for name in asked}) == []


def test_the_answers_offered_are_answers() -> None:
    made = built_in()
    for question in made.questions.values():
        attribute = made.attributes[question.asks]
        for answer in question.answers:
            assert isinstance(answer, (int, float)) == (attribute.kind == "number"), (question.asks, answer)
            assert not attribute.values or answer in attribute.values


@pytest.mark.parametrize(
    "told, asks",
    [
        ({"pain": "present", "area": "lower-back", "doubt": "saddle"}, "saddle-signs"),
        ({"pain": "present", "area": "lower-back", "doubt": "words"}, "danger-signs"),
    ],
)
def test_an_open_sign_is_asked_about_before_anything_else(told: dict[str, Any], asks: str) -> None:
    made = built_in()
    got = make_plan(made, conclude(made, [Fact("want", "recommend"), *facts_of(told)]), "recommend")
    assert (got.outcome, got.ask_next) == ("question", asks)
