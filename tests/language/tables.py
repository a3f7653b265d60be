"""What the language tests share: tables with the line that each case stands on, and readings as plain values."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from backstay.language.matching import Automaton
from backstay.language.reading import Understanding, show, understand
from backstay.language.scene import take_apart

HERE = Path(__file__).parent
TODAY = datetime.date(2026, 11, 25)
NEVER_LABELLED = frozenset({"red-flag"})  # concluded by the screening, not read


@functools.cache
def built_in_base() -> Base:
    """The built-in knowledge, compiled once."""
    return load()


def cases(path: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """The cases of a file, each with `file:line`."""
    text = path.read_text(encoding="utf-8")
    node = yaml.compose(text)
    for item, case in zip(node.value if node is not None else (), yaml.safe_load(text), strict=True):
        yield f"{path.name}:{item.start_mark.line + 1}", case


def read(say: str, today: str | None = None, **chat: Any) -> Understanding:
    """A message as it is understood."""
    return understand(built_in_base(), say, datetime.date.fromisoformat(today) if today else TODAY, **chat)


def shown(say: str, today: str | None = None) -> str:
    """How a message was read, word by word, for a failing test."""
    day = datetime.date.fromisoformat(today) if today else TODAY
    return show(take_apart(Automaton(built_in_base().automaton), say, day))


def plain(understood: Understanding, *, more: bool) -> set[tuple[str, str]]:
    """Facts as (name, value); those of the further facts only if they are asked for."""
    said = set()
    for fact in understood.facts + understood.records:
        name = fact.attribute.partition(".")[0]
        attribute = built_in_base().attributes[name]
        if attribute.shown == "facts" or (more and attribute.shown == "more"):
            said.add((fact.attribute, _text(fact.value)))
    return said


def expected(told: dict[str, Any]) -> set[tuple[str, str]]:
    """The labels of a case as (name, value)."""
    every = set()
    for name, values in told.items():
        if name in NEVER_LABELLED:
            continue
        for value in values if isinstance(values, list) else [values]:
            if isinstance(value, dict) and name in ("best", "test", "day-load"):
                every |= {(f"{name}.{key}", _text(figure)) for key, figure in value.items()}
            else:
                every.add((name, _text(value)))
    return every


def _text(value: Any) -> str:
    if isinstance(value, dict):
        return str(sorted((key, _text(one)) for key, one in value.items()))
    return f"{round(float(value), 1):g}" if isinstance(value, int | float) else str(value)
