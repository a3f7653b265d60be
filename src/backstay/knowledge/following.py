"""Following: the knowledge of some folders as they change, for whoever answers longer than one message.

    following = Following(folders, base)     following.base is the knowledge in use, at first the one handed in
    news = following.look()                  None, or what became of a change

A look costs no more than asking each file for its size and time. A change is taken when the files have held still for a
moment, before the reading and after it, so that a file that is being written never serves an answer. What cannot be
used changes nothing: the last good knowledge stays, and the problems are told once.
"""

from __future__ import annotations

import contextlib
import time
from collections.abc import Sequence
from typing import NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.folders import Folder, layers
from backstay.knowledge.loading import load
from backstay.knowledge.problems import KnowledgeError, Problem

STILL = 0.2  # seconds without a change that count as a finished one
MOST_LOOKS = 10


class News(NamedTuple):
    """What became of a change: the new knowledge is in use if there are no problems."""

    problems: tuple[Problem, ...]


class Following:
    """The last good knowledge of some folders."""

    __slots__ = ("_folders", "_seen", "base")

    def __init__(self, folders: Sequence[str], base: Base) -> None:
        self._folders = tuple(folders)
        self._seen: list[Folder] = []
        self.base = base
        # Loaded once more after it was looked at: what changed since `base` was loaded would else go unseen.
        with contextlib.suppress(KnowledgeError):
            found = layers(self._folders)
            self.base = load(self._folders)
            self._seen = found

    def look(self) -> News | None:
        """Take a change that is finished; None where there is none."""
        try:
            if layers(self._folders) == self._seen:
                return None
            found = self._still()
            if found is None:
                return None
            base = self.base
            problems: tuple[Problem, ...] = ()
            try:
                base = load(self._folders)
            except KnowledgeError as error:
                problems = error.problems
            if layers(self._folders) != found:
                return None  # changed while it was read: for the next look
        except OSError:
            return None  # a file went away while it was looked at: for the next look
        except KnowledgeError as error:  # a folder is gone; it may come back
            if not self._seen:
                return None  # told already
            found, problems, base = [], error.problems, self.base
        self._seen, self.base = found, base
        return News(problems)

    def _still(self) -> list[Folder] | None:
        """The folders when nothing has changed in them for a moment, or None if it goes on."""
        found = layers(self._folders)
        for _ in range(MOST_LOOKS):
            time.sleep(STILL)
            again = layers(self._folders)
            if again == found:
                return found
            found = again
        return None
