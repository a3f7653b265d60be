"""The command line, as a process: what it prints where, and how it ends."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from backstay.faces.command import COMMANDS

TODAY = ["--today", "2026-11-25"]


def run(*arguments: str, given: str | bytes = "") -> "subprocess.CompletedProcess[bytes]":
    code = "import sys; from backstay.faces.command import main; sys.exit(main())"
    typed = given.encode() if isinstance(given, str) else given
    return subprocess.run([sys.executable, "-c", code, *arguments], input=typed, capture_output=True, timeout=60)


def objects(done: "subprocess.CompletedProcess[bytes]") -> list[dict[str, Any]]:
    assert done.returncode == 0, done.stderr.decode()
    return [json.loads(line) for line in done.stdout.decode("ascii").splitlines()]


def test_a_message_is_answered_in_words() -> None:
    done = run("ask", "my back rounds when the bar leaves the floor, 6 weeks out", *TODAY)
    assert done.returncode == 0
    assert b"1. " in done.stdout
    assert done.stderr == b""


def test_words_need_no_quotes() -> None:
    quoted = run("ask", "back work 6 weeks out", *TODAY)
    assert run("ask", "back", "work", "6", "weeks", "out", *TODAY).stdout == quoted.stdout


def test_a_message_may_come_through_a_pipe() -> None:
    assert (
        run("ask", *TODAY, given="back work 6 weeks out\n").stdout == run("ask", *TODAY, "back work 6 weeks out").stdout
    )


def test_json_is_one_object_on_one_line() -> None:
    (answer,) = objects(run("ask", "--json", "back work, 6 weeks out", *TODAY))
    assert answer["format"] == 1
    assert answer["understood"]["facts"]["weeks-to-meet"] == 6
    assert answer["picks"]


def test_a_batch_is_a_line_for_a_line_in_order() -> None:
    lines = ["hello", "sets for back extensions?", "", "numb between my legs since yesterday", "back work 6 weeks out"]
    answers = objects(run("ask", "--json", "--batch", *TODAY, given="\n".join(lines) + "\n"))
    wants = [answer["understood"]["want"] for answer in answers]
    assert len(answers) == 5
    assert (wants[0], wants[1], wants[4]) == ("social", "dose", "recommend")
    assert answers[3]["outcome"] == "stop"
    assert [answer["case"]["turns"] for answer in answers] == [1] * 5


def test_a_line_that_cannot_be_read_keeps_its_place() -> None:
    answers = objects(
        run("ask", "--json", "--batch", *TODAY, given=b"hello\n\xff\xfe\x00\nhello\n" + b"x " * 20_000 + b"\n")
    )
    assert [answer.get("line") for answer in answers] == [None, 2, None, None]
    assert answers[1]["outcome"] == answers[3]["outcome"] == "not-understood"
    assert answers[1]["picks"] == []
    assert "emergency" in answers[1]["text"]


def test_a_batch_answers_each_line_when_it_comes() -> None:
    code = "import sys; from backstay.faces.command import main; sys.exit(main(['ask', '--json', '--batch']))"
    with subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as child:
        assert child.stdin is not None
        assert child.stdout is not None
        for message in (b"hello\n", b"thanks\n"):
            child.stdin.write(message)
            child.stdin.flush()
            assert json.loads(child.stdout.readline())["understood"]["want"] == "social"
        child.stdin.close()
    assert child.returncode == 0


def test_a_case_goes_on(tmp_path: Path) -> None:
    first = run("ask", "--json", "my back rounds off the floor in the clean", *TODAY)
    file = tmp_path / "answer.json"
    file.write_bytes(first.stdout)
    (then,) = objects(run("ask", "--json", "6 weeks out", "--case", str(file), *TODAY))
    assert then["outcome"] == "advice"
    assert then["case"]["turns"] == 2
    (same,) = objects(
        run("ask", "--json", "6 weeks out", "--case", "-", *TODAY, given=json.dumps(objects(first)[0]["case"]))
    )
    assert same == then


def test_a_narrow_text_is_narrow() -> None:
    lines = run("ask", "--width", "40", "back work, 6 weeks out", *TODAY).stdout.decode().splitlines()
    assert max(map(len, lines)) <= 40


@pytest.mark.parametrize(
    "arguments, says",
    [
        (["aks", "x"], "Did you mean ask?"),
        (["my back hurts"], "backstay ask"),
        (["ask", "--jsn", "x"], "Did you mean json?"),
        (["ask", "--today", "tomorrow", "x"], "2026-05-31"),
        (["ask", "--today"], "needs a value"),
        (["ask", "--width", "wide", "x"], "whole number"),
        (["ask", "--width", "0", "x"], "whole number"),
        (["ask", "--batch", "x"], "one a line"),
        (["ask", "--batch", "--case", "f"], "on its own"),
        (["ask", "--case", "nowhere.json", "x"], "nowhere.json"),
        (["check", "--json", "--annotations"], "one of them"),
        (["check", "nowhere"], "no folder nowhere"),
        (["understand"], "no message"),
        (["help", "aks"], "Did you mean ask?"),
    ],
)
def test_a_call_that_makes_no_sense_ends_with_2_and_says_what_instead(arguments: list[str], says: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == b""
    assert says in done.stderr.decode()
    assert done.stderr.decode().startswith("backstay: ")
    assert "Traceback" not in done.stderr.decode()


@pytest.mark.parametrize(
    "case, where",
    [
        ("{", "case"),
        ("[]", "case"),
        ('{"format": 9}', "case.format"),
        ('{"format": 1, "facts": [[1]]}', "case.facts[0]"),
    ],
)
def test_a_case_that_is_none_is_named_by_its_place(case: str, where: str) -> None:
    done = run("ask", "hello", "--case", "-", given=case)
    assert done.returncode == 2
    assert f"at {where} " in done.stderr.decode()


@pytest.mark.parametrize("name", ["", *filter(None, COMMANDS)])
def test_every_command_has_a_page_that_fits(name: str) -> None:
    done = run(*filter(None, [name]), "--help")
    assert done.returncode == 0
    lines = done.stdout.decode().splitlines()
    assert lines[0].startswith("Use: backstay")
    assert max(map(len, lines)) <= 80
    # Lines to paste stand before the options.
    shown = [line for line in lines if line.startswith("    backstay")]
    assert len(shown) >= 2
    assert lines.index(shown[-1]) < lines.index("Options")


def test_the_examples_of_the_help_pages_run() -> None:
    import shlex

    for name in filter(None, COMMANDS):
        for line in run(name, "--help").stdout.decode().splitlines():
            if line.startswith("    backstay") and "club/" not in line:
                assert run(*shlex.split(line.strip())[1:]).returncode in (0, 1), line


def test_the_version_is_told() -> None:
    import backstay

    assert run("--version").stdout.decode() == f"backstay {backstay.__version__}\n"


def test_knowledge_that_cannot_be_used_gives_no_advice(tmp_path: Path) -> None:
    (tmp_path / "base.yaml").write_text("format: 1\nname: broken\n", encoding="utf-8")
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "x.yaml").write_text("- rule: x\n  when: {nothing-known: x}\n", encoding="utf-8")
    done = run("ask", "back work", "--knowledge", str(tmp_path))
    assert done.returncode == 1
    assert done.stdout == b""
    assert "x.yaml" in done.stderr.decode()
    assert "emergency number" in done.stderr.decode()
    checked = run("check", str(tmp_path))
    assert checked.returncode == 1
    assert "x.yaml" in checked.stdout.decode()


def test_the_built_in_knowledge_is_clean() -> None:
    done = run("check")
    assert done.returncode == 0, done.stdout.decode()


def test_nobody_reading_is_no_reason_to_complain() -> None:
    code = "import sys; from backstay.faces.command import main; sys.exit(main(['ask', '--json', '--batch']))"
    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as child:
        assert child.stdin is not None
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.close()
        child.stdin.write(b"hello\n" * 50)
        child.stdin.close()
        assert child.stderr.read() == b""
    assert child.returncode == 0


def test_terminal_escapes_are_not_passed_on() -> None:
    for typed in ("\x1b]0;title\x07 back work 6 weeks out \x1b[2J", "\x9b31m zzyzx \u202e"):
        for options in ([], ["--json"]):
            out = run("ask", *options, typed).stdout.decode()
            assert not {"\x1b", "\x07", "\x9b", "\u202e"} & set(out + (json.loads(out)["text"] if options else ""))


def test_an_ascii_terminal_gets_an_answer() -> None:
    code = "import sys; from backstay.faces.command import main; sys.exit(main(['ask', 'Rücken 腰 back work']))"
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
    )
    assert done.returncode == 0
    assert done.stdout.isascii()
