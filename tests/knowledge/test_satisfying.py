"""Satisfying: what it decides over trees is what trying every case finds."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge.base import Attribute, Node
from backstay.knowledge.rulebook import told
from backstay.knowledge.satisfying import Logic
from backstay.knowledge.trees import ALWAYS, COMPARE, NEVER

ATTRIBUTES = {
    "level": Attribute("level", "one", ("a", "b", "c")),
    "side": Attribute("side", "one"),  # any text
    "fault": Attribute("fault", "many", ("x", "y", "z")),
    "score": Attribute("score", "number", unit="score"),
    "plain": Attribute("plain", "number"),
}
FIGURES = (0.0, 2.0, 3.0, 10.0)
LOGIC = Logic(ATTRIBUTES)
Case = Mapping[str, frozenset[str | float]]


def holds(node: Node, case: Case) -> bool:
    """Law 1, as it is written."""
    kind = node[0]
    if kind == "all":
        return all(holds(child, case) for child in node[1])
    if kind == "any":
        return any(holds(child, case) for child in node[1])
    if kind == "some":
        return bool(sum(holds(child, case) for child in node[2]) >= node[1])
    if kind == "not":
        return not holds(node[1], case)
    values = case[node[1]]
    if kind == "known":
        return bool(values)
    if kind == "is":
        return node[2] in values
    if kind == "count":
        return bool(values) and bool(COMPARE[node[2]](len(values), node[3]))
    return any(COMPARE[node[2]](value, node[3]) for value in values)


def subsets(values: tuple[str, ...]) -> Iterator[frozenset[str | float]]:
    for size in range(len(values) + 1):
        yield from map(frozenset, itertools.combinations(values, size))


def figures(low: float, high: float) -> list[frozenset[str | float]]:
    """Every bound, what lies between two of them, and what lies beyond: no test tells more of them apart."""
    near = {figure + step for figure in FIGURES for step in (-0.5, 0, 0.5)}
    return [frozenset(), *(frozenset({figure}) for figure in sorted(near) if low <= figure <= high)]


def cases() -> list[Case]:
    one = [frozenset(), *(frozenset({value}) for value in ("a", "b", "c"))]
    side = [frozenset(), *(frozenset({value}) for value in ("a", "b", "other"))]
    parts = (one, side, list(subsets(("x", "y", "z"))), figures(0, 10), figures(-100, 100))
    return [dict(zip(ATTRIBUTES, case, strict=True)) for case in itertools.product(*parts)]


CASES = cases()
TESTS = st.one_of(
    st.tuples(st.just("is"), st.just("level"), st.sampled_from("abc")),
    st.tuples(st.just("is"), st.just("side"), st.sampled_from("ab")),
    st.tuples(st.just("is"), st.just("fault"), st.sampled_from("xyz")),
    st.tuples(st.just("is"), st.sampled_from(["score", "plain"]), st.sampled_from(FIGURES)),
    st.tuples(st.just("known"), st.sampled_from(sorted(ATTRIBUTES))),
    st.tuples(st.just("count"), st.just("fault"), st.sampled_from(sorted(COMPARE)), st.integers(0, 4)),
    st.tuples(
        st.just("number"),
        st.sampled_from(["score", "plain"]),
        st.sampled_from(sorted(COMPARE)),
        st.sampled_from(FIGURES),
    ),
)


def groups(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    several = st.lists(inner, min_size=1, max_size=4).map(tuple)
    return st.one_of(
        st.tuples(st.sampled_from(["all", "any"]), several),
        st.tuples(st.just("not"), inner),
        several.flatmap(lambda nodes: st.tuples(st.just("some"), st.integers(1, len(nodes)), st.just(nodes))),
    )


TREES: st.SearchStrategy[Node] = st.recursive(TESTS, groups, max_leaves=8)


@settings(deadline=None, max_examples=250)
@given(TREES, TREES)
def test_two_conditions_can_meet_if_some_case_passes_both(one: Node, other: Node) -> None:
    found = any(holds(one, case) and holds(other, case) for case in CASES)
    assert (LOGIC.together(one, other) is not None) == found


@settings(deadline=None, max_examples=150)
@given(TREES, TREES)
def test_one_condition_implies_another_if_no_case_parts_them(one: Node, other: Node) -> None:
    parted = any(holds(one, case) and not holds(other, case) for case in CASES)
    assert LOGIC.implies(one, other) == (not parted)


def number(word: str, figure: float, attribute: str = "score") -> Node:
    return "number", attribute, word, figure


@pytest.mark.parametrize(
    "nodes, meet",
    [
        ([ALWAYS], True),
        ([NEVER], False),
        ([("is", "level", "a"), ("is", "level", "b")], False),
        ([("is", "fault", "x"), ("is", "fault", "y")], True),
        ([("is", "level", "nobody")], True),  # which values there are is the reader's to check
        ([("known", "level"), *(("not", ("is", "level", value)) for value in "abc")], False),
        ([("known", "side"), *(("not", ("is", "side", value)) for value in "abc")], True),
        ([number("above", 3), number("below", 3)], False),
        ([number("at-least", 3), number("at-most", 3)], True),
        ([number("at-least", 3), number("at-most", 3), ("not", ("is", "score", 3.0))], False),
        ([number("above", 3), number("below", 3.5)], True),
        ([number("above", 10)], False),  # a score goes to 10
        ([number("above", 10, "plain")], True),
        ([("not", number("at-least", 3)), ("not", number("below", 3))], True),  # unknown
        ([("not", number("at-least", 3)), ("not", number("below", 3)), ("known", "score")], False),
        ([("count", "fault", "at-least", 4)], False),
        ([("count", "fault", "above", 2), ("not", ("is", "fault", "x"))], False),
        ([("count", "fault", "at-most", 0)], False),
    ],
)
def test_what_can_meet(nodes: list[Node], meet: bool) -> None:
    assert (LOGIC.together(*nodes) is not None) == meet


def test_the_case_that_shows_it_is_told_in_words() -> None:
    case = LOGIC.together(
        ("is", "level", "a"),
        ("count", "fault", "at-least", 2),
        ("is", "fault", "y"),
        number("above", 3),
        ("known", "side"),
    )
    assert case is not None
    assert told(case, ATTRIBUTES) == "`fault` = y and 1 more, `level` = a, `score` = 4, `side` is known"


def test_many_alternatives_are_crossed_out_not_tried_out() -> None:
    every = [("any", (("is", "fault", f"v{n}"), ("is", "fault", f"w{n}"))) for n in range(60)]
    wide = Logic({"fault": Attribute("fault", "many"), "level": ATTRIBUTES["level"]})
    assert wide.together(*every) is not None
    assert wide.together(*every, ("is", "level", "a"), ("is", "level", "b")) is None
