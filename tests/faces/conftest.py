"""A talk with an assistant that answers at once, so that keys and lines can be tried without the rest."""

from collections.abc import Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import yaml

from backstay.case import Case
from backstay.faces.talk import Talk
from backstay.knowledge.facts import Fact

MESSAGES = Path(__file__).parents[2] / "knowledge" / "messages"


def messages() -> dict[str, str]:
    """All shown sentences, read by a reader of its own."""
    return {
        entry["message"]: entry["text"]
        for file in sorted(MESSAGES.glob("*.yaml"))
        for entry in yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    }


class Echo:
    """Answers with the message, holds each word as a lift, and breaks or is interrupted on demand."""

    def __init__(self) -> None:
        names: dict[str, Any] = {
            "bird-dog": SimpleNamespace(name="Bird dog", exercise="bird-dog", also=("bird dogs",)),
            "dead-bug": SimpleNamespace(name="Dead bug", exercise="dead-bug", also=()),
        }
        empty: dict[str, Any] = {}
        places = {
            "area": SimpleNamespace(shown="facts", values=("lower-back", "hip")),
            "lift": SimpleNamespace(shown="facts", values=("clean", "back-squat")),
            "moment": SimpleNamespace(shown="facts", values=("knee-pass",)),
        }
        self.base = SimpleNamespace(
            messages=messages(), exercises=names, equipment=empty, muscles=empty, phases=empty, attributes=places
        )
        self.heard: list[str] = []
        self.widths: list[int | None] = []

    def follow(self) -> None:
        """No folder ever changes."""

    def answer(
        self, message: str, case: Case | Mapping[str, Any] | None = None, today: Any = None, width: int | None = None
    ) -> Any:
        self.heard.append(message)
        self.widths.append(width)
        if message == "break":
            raise RuntimeError(message)
        if message == "interrupt":
            raise KeyboardInterrupt
        held = case if isinstance(case, Case) else Case()
        now = Case([*held.facts, Fact("lift", message)], turns=held.turns + 1)
        ask = SimpleNamespace(answers=("yes", "no")) if message == "ask" else None
        return SimpleNamespace(text=f"said: {message}", case=now.as_json(), ask_next=ask)


@pytest.fixture
def echo() -> Echo:
    return Echo()


@pytest.fixture
def talk(echo: Echo) -> Talk:
    return Talk(echo)  # type: ignore[arg-type]
