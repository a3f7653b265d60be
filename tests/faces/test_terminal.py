"""The chat at a real pseudo-terminal: it starts, answers, survives interrupts, and leaves the screen as it found it."""

import os
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
