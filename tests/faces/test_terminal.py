"""The chat at a real pseudo-terminal: it starts, answers, survives interrupts, and leaves the screen as it found it."""

import os
import re
import sys
import sysconfig
from pathlib import Path

import pexpect
import pytest

SCRIPT = str(Path(sysconfig.get_path("scripts")) / "backstay")
SOON = 20


@pytest.fixture
def home(tmp_path: Path) -> dict[str, str]:
    return {**os.environ, "HOME": str(tmp_path), "PROMPT_TOOLKIT_NO_CPR": "1", "TERM": "xterm", "PYTHONUTF8": "1"}


def opened(environment: dict[str, str], wide: int = 80, *options: str) -> "pexpect.spawn[str]":
    return pexpect.spawn(
        SCRIPT,
        list(options),
        env=environment,
        encoding="utf-8",
        timeout=SOON,
        dimensions=(30, wide),
        cwd=environment["HOME"],
    )


def test_a_talk_with_keys(home: dict[str, str]) -> None:
    child = opened(home)
    child.expect("you >")
    child.send("half a line\x03")
    child.send("my low back hurts 2 out of 10 in the clean\r")
    child.expect("clinician")
    child.expect("you >")
    child.send("\x03\x03")
    child.expect("To leave")
    child.send("\x04")
    child.expect("Nothing of this was kept")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_a_talk_at_a_terminal_that_only_prints(home: dict[str, str]) -> None:
    child = opened({**home, "TERM": "dumb"})
    child.expect("you >")
    child.sendline("no pain, what for my back 6 weeks out")
    child.expect("For your back")
    child.expect("you >")
    child.sendintr()
    child.expect("you >")
    child.sendintr()
    child.expect("To leave")
    child.sendline("bye")
    child.expect("Nothing of this was kept")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert "\x1b" not in (child.before or "")


def test_forty_columns_are_enough(home: dict[str, str]) -> None:
    child = opened({**home, "TERM": "dumb"}, 40)
    child.expect("you >")
    child.sendline("back work, 6 weeks out")
    child.expect("you >")
    lines = (child.before or "").replace("\r", "").split("\n")
    assert len(lines) > 5
    assert all(len(line) <= 40 for line in lines)
    child.sendeof()
    child.expect(pexpect.EOF)


def test_nothing_is_written_at_home(home: dict[str, str]) -> None:
    child = opened({**home, "XDG_CACHE_HOME": str(Path(home["HOME"]) / "cache")})
    child.expect("you >")
    child.send("marker word hurts in the clean\r")
    child.expect("clinician")
    child.expect("you >")
    child.send("\x04")
    child.expect(pexpect.EOF)
    for file in Path(home["HOME"]).rglob("*"):
        if file.is_file():
            assert b"marker word" not in file.read_bytes()


def test_python_is_the_one_under_test() -> None:
    assert Path(SCRIPT).parent == Path(sys.executable).parent


def screen_of(child: "pexpect.spawn[str]", seconds: float = 1.0) -> str:
    """All that arrives within a short while."""
    shown = ""
    try:
        while True:
            shown += child.read_nonblocking(4096, timeout=seconds)
    except (pexpect.TIMEOUT, pexpect.EOF):
        return shown


def test_a_resize_in_the_middle_of_a_line_loses_nothing(home: dict[str, str]) -> None:
    child = opened(home, 100)
    child.expect("you >")
    child.send("my low back hurts 2 out of 10 ")
    screen_of(child)
    child.setwinsize(30, 44)
    screen_of(child)
    child.send("in the clean\r")
    child.expect("clinician")
    answer = (child.before or "") + (child.buffer or "") + screen_of(child, 2)
    assert "pain 2 of 10" in answer
    child.send("\x04")
    child.expect(pexpect.EOF)


def test_an_answer_is_as_wide_as_the_terminal_is_then(home: dict[str, str]) -> None:
    child = opened({**home, "TERM": "dumb"}, 100)
    child.expect("you >")
    child.setwinsize(30, 44)
    child.sendline("back work, 6 weeks out, no pain")
    child.expect("you >")
    lines = (child.before or "").splitlines()[1:]
    assert len(lines) > 5
    assert max(len(line) for line in lines) <= 44
    child.sendline("bye")
    child.expect(pexpect.EOF)


def test_an_interrupt_keeps_what_was_held(home: dict[str, str]) -> None:
    child = opened({**home, "TERM": "dumb"})
    child.expect("you >")
    child.sendline("my low back hurts 2 out of 10 in the clean")
    child.expect("you >")
    child.send("something half wri")
    child.sendintr()
    child.expect("you >")
    child.sendline("forget my pain")
    child.expect("Forgotten")
    child.sendline("bye")
    child.expect(pexpect.EOF)


@pytest.mark.parametrize("colourless", [{"NO_COLOR": "1"}])
def test_without_colour_nothing_is_coloured(home: dict[str, str], colourless: dict[str, str]) -> None:
    child = opened({**home, **colourless, "TERM": "xterm-256color"})
    child.expect("you >")
    child.send("back work, 6 weeks out\r")
    child.expect("you >")
    shown = (child.before or "") + screen_of(child)
    assert re.search(r"\x1b\[[0-9;]*(?:3[0-7]|38|4[0-7]|48|9[0-7])[0-9;]*m", shown) is None
    child.send("\x04")
    child.expect(pexpect.EOF)


def test_tab_completes_a_name_at_the_keys(home: dict[str, str]) -> None:
    child = opened(home)
    child.expect("you >")
    child.send("show bird\t")
    screen_of(child)
    child.send("\r")
    child.expect("(?i)bird dog")
    child.expect("you >")
    child.send("\x04")
    child.expect(pexpect.EOF)


def test_escapes_that_are_typed_or_pasted_never_reach_the_screen(home: dict[str, str]) -> None:
    child = opened({**home, "TERM": "dumb"})
    child.expect("you >")
    child.setecho(False)
    child.sendline("\x1b]0;gone\x07 my back \x1b[31mrounds\x1b[0m off the floor")
    child.expect("you >")
    assert "\x1b" not in (child.before or "")
    child.sendline("bye")
    child.expect(pexpect.EOF)
