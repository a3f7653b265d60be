"""Messages and the code that says them hold together: none is missing, none is dead, all places can be filled."""

import ast
import re
from pathlib import Path

import pytest
import yaml

import backstay

SOURCE = Path(backstay.__file__).parent
MESSAGES = Path(__file__).parents[2] / "knowledge" / "messages"
# Files whose messages are said by Python; those that rules bring along are checked with the knowledge.
OWN = (
    "answer", "names", "topics", "told", "calls", "chat", "writing", "reference", "why-not", "back-load", "binding",
)  # fmt: skip
# Messages chosen by a value: their names are made in Python from these beginnings.
MADE = (
    "answer-", "fact-", "value-", "stress-", "speed-", "skill-", "fits-", "much-", "source-", "step-", "timing-",
    "stop-", "refer-", "sets-", "case-fault-", "help-about-", "help-usage-", "help-shown-", "help-exit-", "option-",
    "binding-", "bound-", "change-", "chat-words-", "list-", "new-",
    "weekday-", "month-", "sheet-column-", "sheet-week-count-",
    "test-", "effect-", "explain-", "points-", "export-screening", "export-rules",
)  # fmt: skip
# Words that answers to a question stand for, and steering words that a face looks up by itself.
LOOKED_UP = ("yes", "no")


def written(file: str) -> dict[str, str]:
    text = (MESSAGES / f"{file}.yaml").read_text(encoding="utf-8")
    return {entry["message"]: entry["text"] for entry in yaml.load(text, Loader=yaml.BaseLoader)}


def everything() -> dict[str, str]:
    return {name: text for file in MESSAGES.glob("*.yaml") for name, text in written(file.stem).items()}


def literals() -> set[str]:
    """All texts in Python that could be the id of a message."""
    found = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return found


def said() -> set[str]:
    """The ids that are said by name."""
    found = set()
    for path in [
        *SOURCE.glob("*.py"),
        *(path for room in ("reply", "faces", "reference") for path in SOURCE.glob(f"{room}/*.py")),
    ]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "say":
                found |= {one.value for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)}
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "CallError":
                found |= {one.value for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)}
    return {name for name in found if isinstance(name, str) and re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", name)}


def test_nothing_is_said_that_is_not_written() -> None:
    beginnings = {name.removesuffix("-") for name in MADE}
    assert said() - everything().keys() - beginnings == set()


@pytest.mark.parametrize("file", OWN)
def test_nothing_is_written_that_is_not_said(file: str) -> None:
    used = literals() | set(LOOKED_UP)
    assert [name for name in written(file) if name not in used and not name.startswith(MADE)] == []


@pytest.mark.parametrize("file", OWN)
def test_every_sentence_is_short_and_plain(file: str) -> None:
    for name, text in written(file).items():
        for sentence in re.split(r"(?<=[.!?:;])\s+|\n", text):
            assert len(sentence.split()) <= 26, (name, sentence)
        assert not re.search(r"\b(please|oops|invalid|illegal|simply|just)\b", text, re.IGNORECASE), name
        assert not re.search(r"\s{2,}", text.replace("\n", " ").replace("    ", "")) or name == "chat-prompt-more", name
