"""What the screening tests share: tables beside them, and facts written as YAML writes them."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

import yaml

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load

HERE = Path(__file__).parent


def table(name: str) -> list[dict[str, Any]]:
    """The cases of one file beside this one."""
    cases: list[dict[str, Any]] = yaml.safe_load((HERE / name).read_text(encoding="utf-8"))
    return cases


@functools.cache
def built_in_base() -> Base:
    """The built-in knowledge, compiled once."""
    return load()


def facts_of(told: dict[str, Any]) -> list[Fact]:
    """Facts as a case tells them."""
    every = []
    for attribute, values in told.items():
        for value in values if isinstance(values, list) else [values]:
            every.append(Fact(attribute, float(value) if isinstance(value, int | float) else value, ""))
    return every
