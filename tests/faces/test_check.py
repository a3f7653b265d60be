"""`check`: all that is wrong in one run, as text, JSON and annotations; the exit status says whether it is used."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from backstay.faces.check import annotation
from backstay.knowledge.problems import WARNING, Problem

RULE = "  because: The back is meant.\n  source: common-practice\n"


def run(*arguments: str) -> subprocess.CompletedProcess[bytes]:
    code = "import sys; from backstay.faces.command import main; sys.exit(main())"
    return subprocess.run([sys.executable, "-c", code, *arguments], input=b"", capture_output=True, timeout=60)


def club(root: Path, files: dict[str, str]) -> str:
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return str(root)


def wrong(root: Path) -> str:
    return club(
        root,
        {
            "rules/a.yaml": f"- rule: a\n  when: {{pian: present}}\n  then: {{forbid: [{{stres: high}}]}}\n{RULE}",
            "rules/b.yaml": "rule: b\n",
            "messages/c.yaml": '- {message: c, text: "100 % of {it"}\n',
        },
    )


def test_every_problem_has_a_line_with_place_reason_and_what_was_meant(tmp_path: Path) -> None:
    folder = wrong(tmp_path / "club")
    done = run("check", folder)
    lines = done.stdout.decode().splitlines()
    assert done.returncode == 1
    assert done.stderr == b""
    assert lines == [
        f"{folder}/messages/c.yaml:1:22: error: a brace here opens or closes no placeholder. People would read the "
        "brace. A placeholder is a word in braces: {exercise}. (bad-placeholder)",
        f"{folder}/rules/a.yaml:2:10: error: there is no attribute `pian`. A test of what does not exist never holds. "
        "Did you mean `pain`? (unknown-attribute)",
        f"{folder}/rules/a.yaml:3:20: error: exercises have no property `stres`. No exercise would be found by it. "
        "Did you mean `stress`? (unknown-property)",
        f"{folder}/rules/b.yaml:1:1: error: a file of rules is a list of entries. Entries are read one by one. "
        "Begin each with `- rule: …`. (not-a-list)",
        f"{folder} is refused as a whole. Errors: 4, in files: 3. No answer uses it until all are mended.",
    ]


def test_for_programs_each_problem_is_an_object(tmp_path: Path) -> None:
    done = run("check", wrong(tmp_path / "club"), "--json")
    assert done.returncode == 1
    found = [json.loads(line) for line in done.stdout.decode().splitlines()]
    assert [(one["line"], one["column"], one["code"], one["severity"]) for one in found] == [
        (1, 22, "bad-placeholder", "error"),
        (2, 10, "unknown-attribute", "error"),
        (3, 20, "unknown-property", "error"),
        (1, 1, "not-a-list", "error"),
    ]
    assert all(set(one) == {"file", "line", "column", "code", "what", "why", "next", "severity"} for one in found)
    assert found[1]["next"] == "Did you mean `pain`?"
    assert found[1]["why"]


def test_for_services_each_problem_is_an_annotation(tmp_path: Path) -> None:
    folder = wrong(tmp_path / "club")
    done = run("check", folder, "--annotations")
    assert done.returncode == 1
    lines = done.stdout.decode().splitlines()
    assert lines[1].startswith(f"::error file={folder}/rules/a.yaml,line=2,col=10,title=unknown-attribute::there is no")
    assert len(lines) == 4


@pytest.mark.parametrize(
    "problem, line",
    [
        (Problem("a.yaml", 3, 7, "x", "what."), "::error file=a.yaml,line=3,col=7,title=x::what."),
        (Problem("a.yaml", 0, 0, "x", "what.", severity=WARNING), "::warning file=a.yaml,title=x::what."),
        (
            Problem("a, b: c.yaml", 1, 1, "x", "100 %: one,\ntwo\r", "Next."),
            "::error file=a%2C b%3A c.yaml,line=1,col=1,title=x::100 %25: one,%0Atwo%0D Next.",
        ),
    ],
)
def test_an_annotation_is_one_line_whatever_is_in_it(problem: Problem, line: str) -> None:
    assert annotation(problem) == line


def test_several_folders_are_checked_as_they_are_laid_over_each_other(tmp_path: Path) -> None:
    first = club(tmp_path / "first", {"messages/m.yaml": "- {message: our-line, text: Of the club.}\n"})
    second = club(
        tmp_path / "second", {"messages/m.yaml": "- {message: our-line, replaces: our-line, text: Of the team.}\n"}
    )
    assert run("check", first, second).returncode == 0
    done = run("check", second + "/", first)
    assert done.returncode == 1
    assert f"{second} is refused as a whole." in done.stdout.decode()
    assert f"{first} is refused as a whole." in done.stdout.decode()


def test_warnings_alone_do_no_harm(tmp_path: Path) -> None:
    folder = club(
        tmp_path / "club",
        {"sources/s.yaml": "- {source: our-book, cite: Our book., kind: book, seen: page, says: Much.}\n"},
    )
    done = run("check", folder)
    assert done.returncode == 0
    first, last = done.stdout.decode().splitlines()
    assert "warning: nothing cites `our-book`" in first
    assert last.startswith("No errors, 1 warnings")


def test_no_sign_of_a_file_reaches_the_terminal_as_a_command(tmp_path: Path) -> None:
    folder = club(tmp_path / "club", {"rules/a.yaml": '- rule: a\n  "\\e[31mred": 1\n'})
    done = run("check", folder)
    assert done.returncode == 1
    assert b"\x1b" not in done.stdout


def test_a_broken_folder_is_named_where_it_is_used(tmp_path: Path) -> None:
    folder = wrong(tmp_path / "club")
    done = run("ask", "my back", "--knowledge", folder)
    assert done.returncode == 1
    assert done.stdout == b""
    assert done.stderr.decode().count(f"{folder}/") == 4
