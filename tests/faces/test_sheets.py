"""The commands for a week, a block and a card: what they print, what they write, and what they never write."""

import json
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from backstay.faces.command import main

TODAY = ["--today", "2026-11-25"]
WEEK = ["week", "lower back, 3 days a week", *TODAY]
BLOCK = ["block", "--meet", "2027-02-17", "lower back, 5 days a week", *TODAY]
STOP = "lower back, numb between my legs since yesterday"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    left = [one.name for one in tmp_path.iterdir() if one.name.startswith(".")]
    assert not left, "something half-written was left"


def test_a_week_is_a_table_of_named_days(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WEEK, "--width", "100"]) == 0
    shown = capsys.readouterr().out
    for day in ("Monday", "Wednesday", "Friday"):
        assert day in shown
    assert re.search("^Sunday +no extra back work$", shown, re.MULTILINE)


def test_a_week_needs_no_message(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["week", *TODAY]) == 0
    assert "Monday" in capsys.readouterr().out


def test_a_block_runs_up_to_the_day_of_the_meet(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BLOCK, "--width", "100"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("Back work up to the meet on Wednesday, 17 February 2027")
    assert "to 16 February" in shown
    assert "12 weeks out" in shown


def test_the_day_of_the_option_stands_over_what_the_message_says(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["block", "--meet", "2026-12-12", "lower back, 9 weeks out", *TODAY]) == 0
    assert "the meet on Saturday, 12 December 2026" in capsys.readouterr().out


@pytest.mark.parametrize(
    "call",
    [
        ["block"],
        ["block", "--meet", "2026-11-25", *TODAY],
        ["block", "--meet", "2025-01-01", *TODAY],
        ["block", "--meet", "2029-01-01", *TODAY],
        ["block", "--meet", "soon"],
        ["card"],
        ["week", "--case", "/nowhere/at/all.json"],
        ["week", "--json", "--html", "-"],
        ["week", "--markdown", "-", "--html", "-"],
        ["week", "--markdown", "one", "--html", "one"],
    ],
)
def test_a_call_that_makes_no_sense_is_told_so(call: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(call) == 2
    got = capsys.readouterr()
    assert got.out == ""
    assert got.err


def test_json_is_the_answer_with_the_days_and_the_load(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BLOCK, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["format"] == 1
    assert answer["block"][0]["picks"][0]["dose"]["sets"]
    assert {"seconds", "low", "high", "accessories_only", "exercises"} <= set(answer["block"][0]["back_load"])
    assert main([*WEEK, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [day["weekday"] for day in answer["week"]] == [0, 2, 4]
    assert answer["back_load"]["seconds"] > 0


def test_all_forms_are_written_at_once(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WEEK, "--html", "w.html", "--ics", "w.ics", "--markdown", "w.md"]) == 0
    assert sorted(one.name for one in folder.iterdir()) == ["w.html", "w.ics", "w.md"]
    assert (folder / "w.html").read_text().startswith("<!DOCTYPE html>")
    assert (folder / "w.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert (folder / "w.md").read_text().startswith("<!-- backstay -->")
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("command", [["week"], ["block", "--meet", "2027-02-17"], ["card"]])
def test_a_stop_is_told_and_nothing_is_written(
    folder: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    (folder / "old.html").write_text('<meta name="generator" content="backstay">')
    assert main([*command, STOP, "--html", "old.html", "--markdown", "new.md", *TODAY]) == 0
    assert capsys.readouterr().out.startswith("Stop.")
    assert [one.name for one in folder.iterdir()] == ["old.html"]
    assert (folder / "old.html").read_text() == '<meta name="generator" content="backstay">'


def test_what_was_written_is_written_over_and_what_is_not_ours_is_not(folder: Path) -> None:
    for form in ("html", "ics", "markdown"):
        path = folder / form
        assert main([*WEEK, f"--{form}", str(path)]) == 0
        first = path.read_text()
        assert main([*BLOCK, f"--{form}", str(path)]) == 0
        assert path.read_text() != first
        path.write_text("my own notes")
        assert main([*WEEK, f"--{form}", str(path)]) == 2
        assert path.read_text() == "my own notes"
        assert main([*WEEK, f"--{form}", str(path), "--force"]) == 0
        assert path.read_text() != "my own notes"


def test_nothing_is_written_if_one_of_the_files_may_not_be(folder: Path) -> None:
    (folder / "notes.md").write_text("my own notes")
    assert main([*WEEK, "--html", "w.html", "--markdown", "notes.md"]) == 2
    assert [one.name for one in folder.iterdir()] == ["notes.md"]


def test_a_place_that_cannot_be_written_to_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WEEK, "--html", os.path.join("nowhere", "w.html")]) == 1
    assert "nowhere" in capsys.readouterr().err
    assert not list(folder.iterdir())


def test_a_form_can_go_to_the_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WEEK, "--html", "-"]) == 0
    assert capsys.readouterr().out.startswith("<!DOCTYPE html>")


def test_a_case_goes_on_where_it_ended(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ask", "--json", "lower back, 2 days a week, clean 120", *TODAY]) == 0
    (folder / "case.json").write_text(capsys.readouterr().out)
    assert main(["week", "--case", "case.json", *TODAY]) == 0
    assert "2 training days a week" in capsys.readouterr().out


def test_a_name_stands_in_the_head_and_is_only_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WEEK, "--for", "<script>alert(1)</script>\x1b[31m", "--html", "-"]) == 0
    page = capsys.readouterr().out
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "\x1b" not in page


def test_a_card_holds_one_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "my back rounds off the floor, pain 2/10 when bending", *TODAY]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("Back work to take away")
    assert shown.index("See a licensed clinician") < shown.index("\n1. ")
    assert "Stop rule" in shown
