"""Problem: one thing that is wrong in the knowledge, where it stands, and what to do about it.

Problems are values in a list, never raised one at a time; KnowledgeError carries the whole list.

    KnowledgeError (ValueError)
    └── .problems: tuple[Problem, …]   sorted by file, line and column, errors and warnings together
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

ERROR = "error"
WARNING = "warning"
LONGEST_NAME = 100  # what is longer is no slip of a name


class Place(NamedTuple):
    """Where something stands: lines and columns count from 1, as editors do; 0 means the file as a whole."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


class Problem(NamedTuple):
    """One finding: the place, a code for tests and tools, what is wrong, and what was probably meant or comes next."""

    file: str
    line: int
    column: int
    code: str
    what: str
    next: str = ""
    severity: str = ERROR

    @property
    def place(self) -> Place:
        """Where it stands."""
        return Place(self.file, self.line, self.column)

    @property
    def why(self) -> str:
        """Why it matters."""
        from backstay.knowledge.stakes import stake  # only needed when something is wrong

        return stake(self.code)

    @property
    def told(self) -> str:
        """What is wrong, why that matters, and what was probably meant: one line without the place."""
        return " ".join(filter(None, (self.what, self.why, self.next)))

    def __str__(self) -> str:
        return f"{self.place}: {self.severity}: {self.told} ({self.code})"


class KnowledgeError(ValueError):
    """The knowledge cannot be used; `problems` says all that is wrong with it, in one go."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = arranged(problems)
        count = sum(problem.severity == ERROR for problem in self.problems)
        noun = "error" if count == 1 else "errors"
        super().__init__("\n".join([f"the knowledge has {count} {noun}", *map(str, self.problems)]))


def arranged(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Each problem once, by file, line, column and code."""
    return tuple(sorted(set(problems)))


def errors(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Only those that keep the knowledge from being used."""
    return tuple(problem for problem in problems if problem.severity == ERROR)


def nearest(word: str, known: Iterable[str]) -> str:
    """`Did you mean …?` for a name that is not known, or nothing if no known name is near."""
    from rapidfuzz import fuzz, process  # only needed when something is wrong

    near = process.extractOne(word[:LONGEST_NAME], sorted(known), scorer=fuzz.ratio, score_cutoff=60)
    return f"Did you mean `{near[0]}`?" if near else ""


def listing(words: Sequence[str], most: int = 12) -> str:
    """Some names for a message: all of a short list, the first of a long one."""
    shown = ", ".join(words[:most])
    return f"{shown}, … ({len(words)} in all)" if len(words) > most else shown
