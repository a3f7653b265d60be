"""What the tests of the exercise knowledge read: the files as they are written, and the compiled base."""

from __future__ import annotations

import functools
import os
from typing import Any

import pytest
import yaml

from backstay.knowledge.base import Base
from backstay.knowledge.folders import built_in
from backstay.knowledge.loading import load

HERE = os.path.dirname(__file__)


@functools.cache
def written() -> dict[str, dict[str, Any]]:
    """Every exercise file by its name, as it is written."""
    folder = os.path.join(built_in(), "exercises")
    files = {}
    for name in sorted(os.listdir(folder)):
        with open(os.path.join(folder, name), encoding="utf-8") as file:
            files[name.removesuffix(".yaml")] = yaml.safe_load(file)
    return files


def table(name: str) -> Any:
    """A table that stands beside the tests."""
    with open(os.path.join(HERE, name), encoding="utf-8") as file:
        return yaml.safe_load(file)


@pytest.fixture(scope="session")
def base() -> Base:
    return load()
