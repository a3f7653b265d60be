"""Lines fit the screen, whatever is in them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backstay.reply.layout import NARROWEST, Page, columns, wrap


@pytest.mark.parametrize(
    "text, taken", [("back", 4), ("", 0), ("Rücken", 6), ("u\u0308", 1), ("腰痛", 4), ("a\u200bb", 2)]
)
def test_a_text_takes_the_columns_it_takes(text: str, taken: int) -> None:
    assert columns(text) == taken


@given(st.text(max_size=300), st.integers(NARROWEST, 120))
def test_no_line_is_wider_than_the_screen_and_no_word_is_lost(text: str, width: int) -> None:
    lines = wrap(text, width, "- ", "  ")
    assert all(columns(line) <= width for line in lines)
    assert "".join("".join(lines).split()).replace("-", "") == "".join(text.split()).replace("-", "")


def test_further_lines_hang_under_the_first() -> None:
    assert wrap("one two three four five six", 20, "1. ", "   ") == ["1. one two three", "   four five six"]


def test_a_page_is_at_most_88_wide_and_has_no_double_gaps() -> None:
    page = Page()
    page.line("word " * 60)
    page.gap()
    page.gap()
    page.line("end")
    page.gap()
    lines = page.text(200).split("\n")
    assert max(map(columns, lines)) <= 88
    assert lines[-2:] == ["", "end"]
    assert lines.count("") == 1
