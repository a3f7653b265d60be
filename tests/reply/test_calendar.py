"""Calendars, read by a library that did not write them."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as some
from icalendar import Calendar

from backstay.reply.calendar import OCTETS, calendar, escaped, folded
from backstay.reply.sheet import Sheet

from .sheets import PAIN, TODAY, made, words

EARLY = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
LATE = datetime(2026, 12, 1, 9, 30, tzinfo=UTC)


def events(sheet: Sheet, first: date = TODAY, now: datetime = EARLY) -> list[dict[str, Any]]:
    read: Any = Calendar.from_ical(calendar(words(), sheet, first, now))
    return [
        {
            "uid": str(event["UID"]),
            "day": event["DTSTART"].dt,
            "end": event["DTEND"].dt,
            "title": str(event["SUMMARY"]),
            "text": str(event.get("DESCRIPTION", "")),
            "sequence": int(event["SEQUENCE"]),
        }
        for event in read.walk("VEVENT")
    ]


def test_a_week_lies_on_its_weekdays_from_the_day_it_begins() -> None:
    sheet = made("week")
    found = events(sheet)
    weekdays = {day.weekday for day in sheet.days if day.entries}
    assert [one["day"] for one in found] == [
        day for day in (TODAY + timedelta(days=count) for count in range(7)) if day.weekday() in weekdays
    ]
    for one in found:
        day = next(day for day in sheet.days if day.weekday == one["day"].weekday())
        assert all(sheet.entries[place].name in str(one["text"]) for place in day.entries)


def test_events_are_whole_days_without_a_zone_also_over_a_change_of_clocks() -> None:
    # In Europe clocks change on 28 March 2027, in North America on 14 March.
    begin = date(2027, 3, 1)
    sheet = made("block", today=begin, weeks=8.0)
    found = events(sheet, begin)
    assert sheet.meet == date(2027, 4, 26)
    assert (found[-1]["day"], found[-1]["title"]) == (date(2027, 4, 26), "Meet")
    for one in found:
        assert type(one["day"]) is date
        assert one["end"] == one["day"] + timedelta(days=1)
    for session in found[:-1]:
        day = session["day"]
        assert isinstance(day, date)
        stretch = next(one for one in sheet.stretches if one.first <= day <= one.last)
        there = next(one for one in stretch.days if one.weekday == day.weekday())
        assert session["title"] == "Back work: " + ", ".join(stretch.entries[place].name for place in there.entries)
    assert len({one["day"] for one in found}) == len(found)


def test_a_second_file_brings_the_same_events_up_to_date() -> None:
    sheet = made("block", weeks=12.0)
    first, second = events(sheet, now=EARLY), events(sheet, now=LATE)
    assert [one["uid"] for one in first] == [one["uid"] for one in second]
    assert len({one["uid"] for one in first}) == len(first)
    assert all(a["sequence"] < b["sequence"] for a, b in zip(first, second, strict=True))


def test_calendars_of_several_lifters_stay_apart() -> None:
    sheet = made("week")
    kim, lee = (events(sheet._replace(name=name)) for name in ("Kim", "Lee"))
    assert not {one["uid"] for one in kim} & {one["uid"] for one in lee}
    assert not any("Kim" in str(one["uid"]) for one in kim)


def test_with_pain_each_event_begins_with_the_notice_and_ends_with_the_rules() -> None:
    sheet = made("week", PAIN)
    for one in events(sheet):
        assert str(one["text"]).startswith(sheet.notices[0])
        assert sheet.pain_rule in str(one["text"])
        assert str(one["text"]).endswith(sheet.stop_rule)


def test_lines_are_folded_as_the_standard_asks() -> None:
    text = calendar(words(), made("block", weeks=12.0), TODAY, EARLY)
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= OCTETS


printed = some.text(some.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"], exclude_characters="\x85\ufeff"))


@given(some.lists(printed, min_size=1, max_size=4))
def test_any_text_comes_back_as_it_was(lines: list[str]) -> None:
    text = "\n".join(lines)
    line = folded("DESCRIPTION:" + escaped(text))
    assert all(len(piece.encode()) <= OCTETS for piece in line.split("\r\n"))
    file = f"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n{line}\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    read: Any = Calendar.from_ical(file)
    (event,) = read.walk("VEVENT")
    assert str(event["DESCRIPTION"]) == text
