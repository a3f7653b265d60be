"""Pages: valid by a parser of its own, whole in themselves, and harmless whatever a name is."""

import re
from xml.etree import ElementTree

import html5lib
import pytest

from backstay.reply.sheet import Sheet
from backstay.reply.sheet_html import html

from .sheets import PAIN, WEEK, assistant, made, words

KINDS = [("week", WEEK, None), ("block", WEEK, 12.0), ("", "back rounds off the floor", None), ("week", PAIN, None)]
BAD = "<script>alert(1)</script>\"'&"


def page(sheet: Sheet) -> str:
    return html(words(), assistant().base, sheet)


@pytest.mark.parametrize("want, message, weeks", KINDS)
def test_a_page_is_valid_html(want: str, message: str, weeks: float | None) -> None:
    html5lib.HTMLParser(strict=True).parse(page(made(want, message, weeks=weeks)))


@pytest.mark.parametrize("want, message, weeks", KINDS)
def test_a_page_needs_nothing_else(want: str, message: str, weeks: float | None) -> None:
    whole = page(made(want, message, weeks=weeks)).replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?:|//|url\(|@import|<script|<link|<img|<iframe|\son\w+=", whole)


@pytest.mark.parametrize("want, message, weeks", KINDS)
def test_drawings_are_well_formed_and_each_has_a_title(want: str, message: str, weeks: float | None) -> None:
    one = made(want, message, weeks=weeks)
    drawings = re.findall(r"<svg.*?</svg>", page(one), flags=re.DOTALL)
    drawn = [entry for entry in one.entries if assistant().base.exercises[entry.exercise].posture]
    assert len(drawings) == len(drawn) + bool(want)
    for drawing in drawings:
        title = ElementTree.fromstring(drawing).find("{http://www.w3.org/2000/svg}title")
        assert title is not None
        assert title.text


def test_what_looks_like_markup_stays_text() -> None:
    one = made("week")._replace(title=BAD, told=BAD, notices=(BAD,), cautions=(BAD,), assumed=BAD)
    whole = page(one)
    assert "<script" not in whole
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(whole)
    assert tree.find(".//h1").text == BAD
    assert tree.find(".//p[@class='notice']").text == BAD
    assert not tree.findall(".//script")


def test_with_pain_the_notice_stands_before_any_exercise() -> None:
    one = made("week", PAIN)
    body = page(one).split("<body>")[1]
    assert all(body.index(one.notices[0]) < body.index(entry.name) for entry in one.entries)


@pytest.mark.parametrize("want, message, weeks", KINDS)
def test_every_page_holds_the_pain_rule_and_the_stop_rule(want: str, message: str, weeks: float | None) -> None:
    one = made(want, message, weeks=weeks)
    assert one.pain_rule in page(one)
    assert one.stop_rule in page(one)


def test_the_plot_of_a_block_holds_the_figures_of_its_table_and_marks_the_meet() -> None:
    one = made("block", weeks=12.0)
    plot = next(part for part in re.findall(r"<svg.*?</svg>", page(one), flags=re.DOTALL) if 'class="chart"' in part)
    texts = [text.text for text in ElementTree.fromstring(plot).iter("{http://www.w3.org/2000/svg}text")]
    assert "Meet" in texts
    for week in one.weeks:
        assert f"{week.seconds:.0f}" in texts
