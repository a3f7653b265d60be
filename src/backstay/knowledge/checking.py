"""Checking: all problems of some folders in one run, and what could be made of the rest."""

from __future__ import annotations

from collections.abc import Sequence

from backstay.knowledge.compiling import Compiled, compile_folders
from backstay.knowledge.folders import layers
from backstay.knowledge.problems import KnowledgeError, Problem


def checked(folders: Sequence[str] = ()) -> Compiled:
    """The built-in folder and those laid over it, compiled as far as that goes, with everything that is wrong."""
    try:
        return compile_folders(layers(folders))
    except KnowledgeError as error:
        return Compiled({"messages": {}}, error.problems)


def check(folders: Sequence[str] = ()) -> list[Problem]:
    """Everything that is wrong with the built-in folder and those laid over it."""
    return list(checked(folders).problems)
