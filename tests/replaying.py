"""Replays the conversations of transcripts_demo; run as a script it writes their texts anew.

python tests/replaying.py
"""

from __future__ import annotations

from pathlib import Path

from backstay import Assistant, Reply
from backstay.examples import Example, read_examples, replay
from backstay.knowledge.problems import Problem

FOLDER = Path(__file__).parents[1] / "transcripts_demo"
TEXTS = FOLDER / "text"


def talks(assistant: Assistant) -> tuple[dict[str, Example], list[Problem]]:
    """All conversations by their names, and what is wrong with the form of any."""
    notes: list[Problem] = []
    files = [(str(file), file.name) for file in sorted(FOLDER.glob("*.yaml"))]
    found = read_examples(files, assistant.base, notes)
    return {example.entry.example: example for example in found}, notes


def written(talk: Example, replies: list[Reply]) -> str:
    """A conversation as it is read."""
    lines = [talk.entry.title, talk.entry.who, ""]
    for turn, reply in zip(talk.entry.turns, replies, strict=True):
        lines += [f"> {turn.says}", "", reply.text, "", ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def main() -> None:
    """Write all texts anew."""
    assistant = Assistant()
    TEXTS.mkdir(exist_ok=True)
    for name, talk in talks(assistant)[0].items():
        (TEXTS / f"{name}.txt").write_text(written(talk, replay(assistant, talk)), encoding="utf-8")


if __name__ == "__main__":
    main()
