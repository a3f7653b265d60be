"""The command: what it prints where, and with which status it ends."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from backstay.faces.command import main
from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from backstay.review import walking

from .narrow import changed, each, narrow, without

SPACE = narrow(each("fault", "rounds", "twists"), each("pain", "present"), each("sign", "numb-saddle"))


@pytest.fixture(autouse=True)
def small_space(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(walking, "space_of", lambda bases, quick: SPACE)


def run(*arguments: str) -> int:
    return main(["review", "--processes", "1", *arguments])


def test_a_report_is_printed_and_no_progress_into_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    assert run() == 0
    out, err = capsys.readouterr()
    assert f"{SPACE.size} situations walked" in out
    assert err == ""


def test_progress_is_shown_where_somebody_looks_on(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr("backstay.faces.review.STEP", 0)
    assert run() == 0
    assert f"{SPACE.size} of {SPACE.size} situations" in terminal.getvalue()
    assert terminal.getvalue().endswith("\r\x1b[K"), "nothing of it stays"
    assert "\x1b" not in capsys.readouterr().out


def test_json_is_one_object_on_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--json") == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert json.loads(line)["situations"] == SPACE.size


def test_a_page_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "review.html"
    assert run("--html", str(file)) == 0
    assert file.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert str(file) in capsys.readouterr().err


def test_a_page_that_cannot_be_written_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--html", str(tmp_path / "nowhere" / "review.html")) == 1
    out, err = capsys.readouterr()
    assert "situations walked" in out
    assert "could not be written" in err


def test_nothing_changed_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--against", "built-in") == 0
    assert capsys.readouterr().out.startswith("Nothing changed: in all")


def before_and_after(monkeypatch: pytest.MonkeyPatch, before: Base, after: Base) -> None:
    """The first call loads what is reviewed, the second what was before."""
    bases = iter([after, before])
    monkeypatch.setattr(walking, "load", lambda folders: next(bases))


def test_a_change_that_takes_nothing_away_ends_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before_and_after(monkeypatch, load(), without(load(), "rounding-needs-a-stronger-hold"))
    assert run("--against", "built-in") == 0
    assert "rule rounding-needs-a-stronger-hold (gone)" in capsys.readouterr().out


def test_a_notice_that_disappears_ends_with_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    quiet = changed(
        load(), lambda rule: rule._replace(effects=tuple(one for one in rule.effects if one[0] != "notice"))
    )
    before_and_after(monkeypatch, load(), quiet)
    assert run("--against", "built-in") == 1
    assert "ERROR: a notice disappears in" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["nowhere/"], "there is no folder nowhere/"),
        (["--against", "nowhere/"], "there is no folder nowhere/"),
        (["--processes", "none"], "none is no number of processes"),
        (["--processes", "0"], "0 is no number of processes"),
        (["--slow"], "--slow"),
    ],
)
def test_a_call_that_makes_no_sense_is_told_so(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err


def test_the_help_page_names_every_option(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", "--help"]) == 0
    page = capsys.readouterr().out
    assert all(f"--{name}" in page for name in ("against", "html", "quick", "processes", "json"))
