"""A running talk takes a changed folder without a restart, and goes on with the last good one when it is broken."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pexpect
import pytest

from backstay.faces.talk import Talk
from backstay.knowledge.following import News
from backstay.knowledge.problems import Problem

RULE = """- rule: ours
  when: {{lift: snatch-pull, sensation: tight}}
  then: {{need: {{{quality}: 9}}}}
  because: {because}
  source: common-practice
"""
BOUND = 60
COMMAND = "import sys; from backstay.faces.command import main; sys.exit(main())"


def test_a_running_talk_takes_a_change_and_keeps_the_last_good_one(tmp_path: Path) -> None:
    file = tmp_path / "club" / "rules" / "ours.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(RULE.format(quality="hamstring-length", because="The first reason."), encoding="utf-8")
    talk = pexpect.spawn(
        sys.executable, ["-c", COMMAND, "--plain", "--knowledge", "club"], cwd=tmp_path, encoding="utf-8", timeout=BOUND
    )
    talk.expect("you >")
    talk.sendline("tight in snatch pulls, what should i do?")
    talk.expect("The first reason")
    talk.expect("you >")

    file.write_text(RULE.format(quality="hamstrng-length", because="The second reason."), encoding="utf-8")
    talk.sendline("and 5 weeks out")
    talk.expect("The first reason")
    talk.expect(r"cannot be used as it is")
    talk.expect(r"club/rules/ours.yaml:3:17")
    talk.expect(r"hamstring-length")
    talk.expect("you >")

    file.write_text(RULE.format(quality="hamstring-length", because="The third reason."), encoding="utf-8")
    talk.sendline("6 weeks out")
    talk.expect("The third reason")
    talk.expect("was changed")
    talk.expect("you >")
    talk.sendline("bye")
    talk.expect(pexpect.EOF)


def test_a_batch_that_runs_all_day_takes_a_change_too(tmp_path: Path) -> None:
    file = tmp_path / "club" / "rules" / "ours.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(RULE.format(quality="hamstring-length", because="The first reason."), encoding="utf-8")
    batch = subprocess.Popen(
        [sys.executable, "-c", COMMAND, "ask", "--json", "--batch", "--knowledge", "club"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=tmp_path,
    )  # fmt: skip
    assert batch.stdin is not None
    assert batch.stdout is not None

    def asked() -> str:
        assert batch.stdin is not None
        assert batch.stdout is not None
        batch.stdin.write("tight in snatch pulls, what should i do?\n")
        batch.stdin.flush()
        return batch.stdout.readline()

    assert "The first reason." in asked()
    file.write_text("- rule: [\n", encoding="utf-8")
    assert "The first reason." in asked()
    file.write_text(RULE.format(quality="hamstring-length", because="The second reason."), encoding="utf-8")
    assert "The second reason." in asked()
    _, complaints = batch.communicate(timeout=BOUND)
    assert batch.returncode == 0
    assert complaints.count("club/rules/ours.yaml") == 1
    assert "cannot be used as it is" in complaints


def changed(talk: Talk, monkeypatch: pytest.MonkeyPatch, *problems: Problem) -> None:
    """Let the knowledge of a talk have changed before its next turn."""
    news = [News(problems)]
    monkeypatch.setattr(talk._assistant, "follow", lambda: news.pop() if news else None)


def test_what_became_of_a_change_stands_after_the_answer(talk: Talk, monkeypatch: pytest.MonkeyPatch) -> None:
    changed(talk, monkeypatch)
    assert talk.turn("clean") == "said: clean\n\n" + talk.words.say("chat-knowledge-new")
    assert talk.turn("snatch") == "said: snatch"


def test_of_many_faults_the_first_are_shown(talk: Talk, monkeypatch: pytest.MonkeyPatch) -> None:
    changed(talk, monkeypatch, *(Problem("club/x.yaml", line, 1, "yaml", f"fault {line}.") for line in range(1, 8)))
    said = talk.turn("clean")
    assert said.startswith("said: clean\n\n(The knowledge was changed")
    assert [f"fault {line}." in said for line in range(1, 8)] == [True] * 3 + [False] * 4
    assert "and 4 more" in said


def test_the_new_words_count_from_the_change_on(talk: Talk, monkeypatch: pytest.MonkeyPatch) -> None:
    talk._assistant.base.messages["chat-bye"] = "So long."
    changed(talk, monkeypatch)
    assert talk.turn("bye").startswith("So long.")
