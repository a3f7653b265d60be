"""Answers: one for each stretch of figures that rules tell apart, and the words that rules name."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.reasoning.answers import answers
from reasoning.worlds import Value, base_of, rule, when


@pytest.mark.parametrize(
    ("tests", "expected"),
    [
        (["at-least 3"], (2, 3)),
        (["at-most 3"], (3, 4)),
        (["above 3"], (3, 4)),
        (["below 3"], (2, 3)),
        (["at-least 3", "at-least 7"], (2, 3, 7)),
        (["at-least 3", "at-most 3"], (2, 3, 4)),
        (["above 2", "below 3"], (2, 2.5, 3)),
        (["at-most 1.43"], (1, 2)),
        (["at-least 0"], (-1, 0)),
        ([], ()),
    ],
)
def test_the_figures_of_an_answer_come_from_the_bounds(tests: list[str], expected: tuple[float, ...]) -> None:
    base = base_of([rule(f"r{number}", when(height=test)) for number, test in enumerate(tests)])
    assert answers(base, "height") == expected


@pytest.mark.parametrize(
    ("rules", "attribute", "expected"),
    [
        ([rule("a", when(soil=["wet", "dry"]))], "soil", ("dry", "wet")),
        ([rule("a", when(height="known"))], "height", (1,)),
        ([rule("a", when(pond="known"))], "pond", ()),
        ([], "pond", ()),
    ],
)
def test_the_words_of_an_answer_are_those_that_rules_name(
    rules: list[object], attribute: str, expected: tuple[Value, ...]
) -> None:
    assert answers(base_of(rules), attribute) == expected  # type: ignore[arg-type]


bounds = st.tuples(
    st.sampled_from(("at-least", "at-most", "above", "below")),
    st.one_of(st.integers(0, 12), st.floats(0, 12, allow_subnormal=False).map(lambda figure: round(figure, 3))),
)


@given(st.lists(bounds, min_size=1, max_size=8))
def test_the_answers_are_all_that_can_be_told_apart(tests: list[tuple[str, float]]) -> None:
    base = base_of([rule(f"r{number}", ("number", "height", *test)) for number, test in enumerate(tests)])
    _, _, _, (lower, _), (upper, _), _, _ = base.program["plan"]["height"]

    def told(figure: float) -> tuple[int, int]:
        return bisect_right(lower, figure), bisect_left(upper, figure)

    given_answers = [told(float(figure)) for figure in answers(base, "height")]
    assert len(set(given_answers)) == len(given_answers)
    near = [bound + step for _, bound in tests for step in (-1, -1e-9, 0, 1e-9, 1)]
    assert {told(figure) for figure in near} <= set(given_answers)
