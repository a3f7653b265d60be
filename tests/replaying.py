"""Replays the conversations of transcripts_demo; run as a script it writes their texts anew.

python tests/replaying.py
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from backstay import Assistant, Reply

FOLDER = Path(__file__).parents[1] / "transcripts_demo"
TEXTS = FOLDER / "text"
WIDTH = 80


def talks() -> dict[str, Mapping[str, Any]]:
    """All conversations by the names of their files."""
    return {file.stem: yaml.safe_load(file.read_text(encoding="utf-8")) for file in sorted(FOLDER.glob("*.yaml"))}


def replay(assistant: Assistant, talk: Mapping[str, Any]) -> list[Reply]:
    """The answers of a conversation, the case handed on from one to the next."""
    today = date.fromisoformat(talk["today"])
    replies: list[Reply] = []
    for turn in talk["turns"]:
        case = replies[-1].case if replies else None
        replies.append(assistant.answer(turn["says"], case=case, today=today, width=WIDTH))
    return replies


def written(talk: Mapping[str, Any], replies: list[Reply]) -> str:
    """A conversation as it is read."""
    lines = [talk["title"], talk["who"], ""]
    for turn, reply in zip(talk["turns"], replies, strict=True):
        lines += [f"> {turn['says']}", "", reply.text, "", ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def main() -> None:
    """Write all texts anew."""
    assistant = Assistant()
    TEXTS.mkdir(exist_ok=True)
    for name, talk in talks().items():
        (TEXTS / f"{name}.txt").write_text(written(talk, replay(assistant, talk)), encoding="utf-8")


if __name__ == "__main__":
    main()
