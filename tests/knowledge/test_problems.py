"""Problems: values in order, each once, with the nearest name."""

from __future__ import annotations

from pathlib import Path

import pytest

from backstay.knowledge.problems import ERROR, WARNING, KnowledgeError, Problem, arranged, errors, listing, nearest

from .small_bases import compiled, small

A = Problem("a.yaml", 2, 1, "x", "what.", "next.")
B = Problem("a.yaml", 10, 1, "x", "what.", severity=WARNING)
C = Problem("b.yaml", 0, 0, "y", "what.")


def test_order_is_by_file_line_and_column_and_nothing_stands_twice() -> None:
    assert arranged([C, B, A, A]) == (A, B, C)


def test_a_problem_in_one_line() -> None:
    assert str(A) == "a.yaml:2:1: error: what. next. (x)"
    assert str(C) == "b.yaml: error: what. (y)"
    assert A.severity == ERROR


def test_warnings_are_no_errors() -> None:
    assert errors([A, B, C]) == (A, C)


def test_the_error_carries_all_of_them() -> None:
    error = KnowledgeError([C, B, A])
    assert error.problems == (A, B, C)
    assert str(error).splitlines()[0] == "the knowledge has 2 errors"


@pytest.mark.parametrize(
    "word, hint",
    [
        ("romanian-deadlif", "Did you mean `romanian-deadlift`?"),
        ("good-mornings", "Did you mean `good-morning`?"),
        ("qqq", ""),
    ],
)
def test_the_nearest_name(word: str, hint: str) -> None:
    assert nearest(word, ["row", "romanian-deadlift", "good-morning"]) == hint


def test_a_long_list_is_cut() -> None:
    assert listing(["a", "b"]) == "a, b"
    assert listing([str(n) for n in range(30)], 3) == "0, 1, 2, … (30 in all)"


def test_values_that_rules_conclude_need_their_order(tmp_path: Path) -> None:
    """`want` has no order in the small base; as soon as two rules conclude different values of it, it needs one."""
    one = "- {rule: a, when: {fault: twists}, then: {conclude: {want: more}}, because: A., source: common-practice}\n"
    two = one.replace("rule: a", "rule: b").replace("more", "less")
    two = two.replace("{fault: twists}", "{fault: rounds}, unless: {fault: twists}")
    assert compiled(small(tmp_path / "one", {"rules/a.yaml": one})).problems == ()
    (problem,) = compiled(small(tmp_path / "two", {"rules/a.yaml": one + two})).problems
    assert (problem.file, problem.code) == ("two/attributes/attributes.yaml", "cautious-missing")
