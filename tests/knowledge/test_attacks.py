"""Each folder of attacks/ tries to weaken the screening; it is refused by name, or its messages are answered as safely.

An attack with `refused:` names the file and the code of the error. All of these are laid over each other in one go:
each must be found beside the others. One without is loaded, and the messages of stop-messages.yaml are walked through.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from backstay.assistant import Assistant
from backstay.knowledge.base import Base
from backstay.knowledge.compiling import compile_folders
from backstay.knowledge.folders import BUILT_IN, built_in, folder
from backstay.knowledge.problems import Problem, errors
from backstay.reply.reply import Reply

from .small_bases import HERE, write

ATTACKS: dict[str, Any] = {
    path.stem: yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted((HERE / "attacks").glob("*.yaml"))
}
REFUSED = sorted(name for name, attack in ATTACKS.items() if "refused" in attack)
HARMLESS = sorted(set(ATTACKS) - set(REFUSED))
MESSAGES: list[tuple[str, str, str]] = [
    tuple(row) for row in yaml.safe_load((HERE / "stop-messages.yaml").read_text(encoding="utf-8"))
]
TODAY = date(2026, 5, 31)
# The safer an answer the later it stands.
SAFETY = [
    ("advice", ""), ("question", ""), ("refer", "weeks"), ("refer", "days"), ("stop", "days"), ("stop", "today"),
    ("stop", "now"),
]  # fmt: skip


def test_there_are_attacks_enough() -> None:
    assert len(REFUSED) >= 25
    assert len(HARMLESS) >= 10


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> tuple[Problem, ...]:
    root = tmp_path_factory.mktemp("attacks")
    folders = [folder(built_in(), BUILT_IN)]
    for name in REFUSED:
        write(root / name, ATTACKS[name]["files"])
        folders.append(folder(str(root / name), name))
    return compile_folders(folders).problems


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_by_name(name: str, said: tuple[Problem, ...]) -> None:
    found = {(problem.file, problem.code) for problem in errors(said) if problem.file.startswith(f"{name}/")}
    for file, code in ATTACKS[name]["refused"].items():
        assert (f"{name}/{file}", code) in found, [str(problem) for problem in said if name in problem.file]


def test_of_what_is_refused_nothing_else_is_blamed(said: tuple[Problem, ...]) -> None:
    assert [str(problem) for problem in errors(said) if problem.file.startswith(f"{BUILT_IN}/")] == []


def safety(reply: Reply) -> int:
    return SAFETY.index((reply.outcome, reply.within or "")) if reply.outcome in dict(SAFETY) else -1


@pytest.fixture(scope="module")
def unharmed() -> list[Reply]:
    assistant = Assistant()
    return [assistant.answer(message, today=TODAY) for _, _, message in MESSAGES]


@pytest.mark.parametrize("row", range(len(MESSAGES)))
def test_without_any_attack(row: int, unharmed: list[Reply]) -> None:
    assert (unharmed[row].outcome, unharmed[row].within or "") == MESSAGES[row][:2]


@pytest.mark.parametrize("name", HARMLESS)
def test_it_does_no_harm(name: str, tmp_path: Path, unharmed: list[Reply]) -> None:
    write(tmp_path / name, ATTACKS[name]["files"])
    made = compile_folders([folder(built_in(), BUILT_IN), folder(str(tmp_path / name), name)])
    assert [str(problem) for problem in errors(made.problems)] == []
    assistant = Assistant.of(Base(made.sections))
    for before, (_, _, message) in zip(unharmed, MESSAGES, strict=True):
        after = assistant.answer(message, today=TODAY)
        assert safety(after) >= safety(before), (message, after.outcome, after.within)
        assert {one.id for one in before.notices} <= {one.id for one in after.notices}, message
        assert before.picks or not after.picks, message
