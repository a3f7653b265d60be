"""The sheet: what it holds agrees with the answer it was made of, and where there is none there is none."""

from datetime import timedelta
from math import isclose

import pytest

from backstay.reply.layout import columns
from backstay.reply.markdown import markdown
from backstay.reply.sheet import on_days, sessions, sheet
from backstay.reply.sheet_text import text
from backstay.reply.tables import days, stretches, weeks

from .sheets import PAIN, STOP, TODAY, WEEK, assistant, made, reply, words

NEVER = ("safe", "risk", "damage", "limit", "decompress", "prevent")


@pytest.mark.parametrize(
    "want, message",
    [
        ("week", STOP),
        ("block", STOP),
        ("", STOP),
        ("week", "pain 8/10 in the lower back"),
        ("week", "16 years old, lower back pain"),
        ("block", "pregnant, lower back"),
        ("week", "my back went and something feels off down below"),
        ("", "hello"),
    ],
)
def test_there_is_no_sheet_where_nothing_may_be_trained(want: str, message: str) -> None:
    answer = reply(want, message, TODAY, 10.0 if want == "block" else None)
    assert not answer.picks
    assert sheet(assistant().base, answer, TODAY, card=not want) is None


def test_a_week_names_all_its_days_and_holds_every_exercise_as_often_as_the_plan_says() -> None:
    answer, one = reply("week", WEEK), made("week")
    rows = days(words(), one)
    assert [row[0].splitlines()[0] for row in rows[1:]] == [
        "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday",
    ]  # fmt: skip
    shown = "\n".join(row[1] for row in rows[1:])
    for pick in answer.picks:
        assert shown.count(pick.name) == len(pick.days), pick.exercise


def test_the_days_of_a_week_add_up_to_its_load() -> None:
    answer, one = reply("week", WEEK), made("week")
    assert isclose(sum(day.seconds for day in one.days), answer.extra["back_load"]["seconds"])
    assert any("accessories only" in line for line in one.load)


def test_lifts_that_were_told_are_in_the_load_and_said_to_be() -> None:
    answer = reply("week", "lower back, 4 days a week, today 5x5 back squat at 100 kg done")
    if not answer.extra["back_load"]["accessories_only"]:
        found = sheet(assistant().base, answer, TODAY)
        assert found is not None
        assert not any("accessories only" in line for line in found.load)


def test_the_weeks_of_a_block_add_up_to_its_sessions() -> None:
    answer, one = reply("block", WEEK, TODAY, 12.0), made("block", weeks=12.0)
    loads = [
        {share["exercise"]: share["session_seconds"] for share in stretch["back_load"]["exercises"]}
        for stretch in answer.extra["block"]
    ]
    there = sessions(one, TODAY)
    total = 0.0
    for session in there:
        place = next(
            number for number, stretch in enumerate(one.stretches) if stretch.first <= session.day <= stretch.last
        )
        total += sum(loads[place][entry.exercise] for entry in session.entries)
    assert isclose(sum(week.seconds for week in one.weeks), total)
    assert [week.out for week in one.weeks] == list(range(12, 0, -1))
    assert one.meet == TODAY + timedelta(weeks=12)
    assert all(week.first <= week.last < one.meet for week in one.weeks)


def test_a_short_stretch_names_only_days_that_it_has() -> None:
    one = made("block", weeks=12.0)
    for stretch in one.stretches:
        there = {
            (stretch.first + timedelta(days=day)).weekday() for day in range((stretch.last - stretch.first).days + 1)
        }
        for place in range(len(stretch.entries)):
            assert set(on_days(stretch, place)) <= there


def test_equal_weeks_are_one_row_and_each_week_has_one_where_it_is_asked_for() -> None:
    one = made("block", weeks=12.0)
    assert len(weeks(words(), one, each=True)) == 13
    assert len(weeks(words(), one)) < 13


@pytest.mark.parametrize("width", [24, 40, 60, 80, 100, 140])
@pytest.mark.parametrize("want", ["week", "block", ""])
def test_the_text_keeps_to_the_width_of_the_screen(want: str, width: int) -> None:
    one = made(want, "back rounds off the floor" if not want else WEEK, weeks=12.0 if want == "block" else None)
    lines = text(words(), one, width).splitlines()
    assert max(columns(line) for line in lines) <= width
    # Whatever the width, nothing is lost but line breaks.
    flat = "".join("".join(lines).split())
    for entry in one.entries:
        assert "".join(entry.load.split()) in flat


@pytest.mark.parametrize("want", ["week", "block", ""])
def test_with_pain_the_notice_stands_before_any_exercise(want: str) -> None:
    one = made(want, PAIN, weeks=8.0 if want == "block" else None)
    assert one.notices
    assert one.notices[0].startswith("See a licensed clinician")
    for form in (text(words(), one, 80), markdown(words(), one)):
        shown = " ".join(form.replace("> **", "").split())
        notice = shown.index(one.notices[0][:30])
        assert all(notice < shown.index(entry.name.split(",")[0]) for entry in one.entries)


@pytest.mark.parametrize("want", ["week", "block", ""])
def test_every_form_holds_the_pain_rule_and_the_stop_rule(want: str) -> None:
    one = made(want, WEEK, weeks=12.0 if want == "block" else None)
    for form in (text(words(), one, 80), markdown(words(), one)):
        flat = " ".join(form.split())
        assert one.pain_rule in flat
        assert one.stop_rule in flat


def test_the_load_is_told_as_an_estimate_and_never_as_a_verdict() -> None:
    one = made("week")
    said = [*one.load, *(entry.back for entry in one.entries if entry.back)]
    assert said
    assert all("estimate" in entry.back for entry in one.entries if entry.back)
    for line in said:
        assert not any(word in line.lower() for word in NEVER), line


def test_loads_are_told_in_pounds_when_asked() -> None:
    one = made(
        "week", "single-leg romanian deadlift, body turns to the right in the catch, 5 days, clean 120, in pounds"
    )
    assert any(" lb)" in entry.load for entry in one.entries)


def test_the_first_side_is_said_in_the_table() -> None:
    assert any("first (" in row[1] for row in days(words(), made("week"))[1:])
    assert any("first (" in row[2] for row in stretches(words(), made("block", weeks=12.0))[1:])


def test_markdown_tables_are_square_and_marks_are_escaped() -> None:
    one = made("week")._replace(title="a | b <script> *c* `d` [e](f)")
    page = markdown(words(), one)
    assert r"a \| b \<script\> \*c\* \`d\` \[e\](f)" in page
    rows = [line for line in page.splitlines() if line.startswith("| ")]
    assert len(rows) > 8
    assert {line.replace(r"\|", "").count("|") for line in rows} <= {3, 4}


def test_a_card_tells_the_load_of_each_exercise_as_the_answer_has_it() -> None:
    answer, one = reply("", "back rounds off the floor"), made("", "back rounds off the floor")
    told = {pick.exercise: (pick.spine_load or {}).get("figure") for pick in answer.picks}
    assert any(told.values())
    for entry in one.entries:
        figure = told[entry.exercise]
        assert bool(entry.back) == (figure is not None)
        if figure is not None:
            assert f"{figure:.1f}x" in entry.back
