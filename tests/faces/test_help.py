"""The help pages are made from the table of commands: nothing is missing, all fits, and what they show works."""

import shlex
from datetime import date
from pathlib import Path

import pytest

from backstay.faces.command import COMMANDS, EXITS, main, module_of
from backstay.faces.help import page
from backstay.faces.options import read
from backstay.knowledge.loading import load
from backstay.reply.layout import columns

README = Path(__file__).parents[2] / "README.md"
EVERY = ["", *(name for name in COMMANDS if name)]


@pytest.mark.parametrize("name", EVERY)
def test_a_page_tells_all_there_is(name: str) -> None:
    text = page(name, 80)
    for option in module_of(name).OPTIONS:
        assert f"--{option.name} {option.value}".strip() in text
    for status in EXITS:
        assert f"\n  {status} " in text
    if not name:
        assert all(f"\n  {command} " in text for command in COMMANDS if command)


@pytest.mark.parametrize("wide", [40, 80, 120])
@pytest.mark.parametrize("name", EVERY)
def test_a_page_fits(name: str, wide: int) -> None:
    assert max(columns(line) for line in page(name, wide).splitlines()) <= wide


@pytest.mark.parametrize("name", EVERY)
def test_what_a_page_shows_can_be_called(name: str) -> None:
    for line in load().messages[f"help-shown-{name or 'all'}"].strip().splitlines():
        program, *words = shlex.split(line.split(" > ")[0].split(" >> ")[0].split(" < ")[0])
        assert program == "backstay"
        command = words.pop(0) if words and words[0] in COMMANDS else ""
        assert command == name or not name
        read(words, module_of(command).OPTIONS)


@pytest.mark.parametrize("call", [["help"], ["--help"], ["help", "ask"], ["ask", "--help"], ["check", "-h"]])
def test_help_is_found_where_people_look_for_it(call: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(call) == 0
    assert capsys.readouterr().out.startswith("Use: backstay")


def test_help_on_a_mistyped_command_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", "undrstand"]) == 2
    assert "understand" in capsys.readouterr().err


def test_the_table_of_the_readme_is_that_of_the_pages() -> None:
    readme = README.read_text(encoding="utf-8")
    for status in EXITS:
        assert f"| {status} | {load().messages[f'help-exit-{status}']} |" in readme


@pytest.mark.parametrize(
    "call, status",
    [
        (["ask", "my low back is tired"], 0),
        (["ask", "I cannot feel my bum since the fall"], 0),
        (["--version"], 0),
        (["ask", "--knowledge", "/nowhere/at/all", "x"], 1),
        (["aks", "x"], 2),
        (["ask", "--jsn", "x"], 2),
        (["ask", "--today", "yesterday", "x"], 2),
    ],
)
def test_the_exit_status_says_how_it_went(call: list[str], status: int) -> None:
    assert main(call) == status


def test_an_interrupt_has_a_status_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object, **__: object) -> date:
        raise KeyboardInterrupt

    monkeypatch.setattr("backstay.assistant.Assistant.answer", interrupted)
    assert main(["ask", "x"]) == 130
