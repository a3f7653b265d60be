"""Each file of broken/ is put into the small base; what is said of it is what its comments expect, no more, no less.

A comment `# ! CODE @TEXT ~ WORDS` says: a problem with this code stands on this line, where TEXT begins
(`#2`: where it begins the second time; `end`: after all of it; `file`: on the file as a whole), and WORDS are in
what is said.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from .small_bases import HERE, compiled, small

BROKEN = HERE / "broken"
CASES = sorted(path.relative_to(BROKEN).as_posix() for path in BROKEN.rglob("*.yaml"))


class Expected(NamedTuple):
    line: int
    column: int
    code: str


def expectations(text: str) -> tuple[list[Expected], list[str]]:
    found, words = [], []
    for number, line in enumerate(text.splitlines(), 1):
        content, mark, comment = line.partition("# ! ")
        for one in comment.split(" ! ") if mark else ():
            match = re.fullmatch(r"(\S+) @(.+?)(?:#(\d))?(?: ~ (.+))?", one.strip(" \n"))
            assert match, one
            code, where, nth, said = match.groups()
            if where == "file":
                found.append(Expected(0, 0, code))
            elif where == "end":
                found.append(Expected(number, len(content.rstrip()) + 1, code))
            else:
                start = -1
                for _ in range(int(nth or 1)):
                    start = content.index(where, start + 1)
                found.append(Expected(number, start + 1, code))
            if said:
                words.append(said)
    return sorted(found), words


@pytest.mark.parametrize("case", CASES)
def test_what_is_said_of_a_broken_file(case: str, tmp_path: Path) -> None:
    text = (BROKEN / case).read_text(encoding="utf-8")
    expected, words = expectations(text)
    kind, _, name = case.partition("/")
    target = f"{kind}/{name.rpartition('/')[2]}"
    made = compiled(small(tmp_path / "small", {target: text}))
    said = [(problem.file, Expected(problem.line, problem.column, problem.code)) for problem in made.problems]
    assert said == [(f"small/{target}", one) for one in expected], [str(problem) for problem in made.problems]
    whole = "\n".join(map(str, made.problems))
    for word in words:
        assert word in whole
    assert all(problem.why for problem in made.problems)


def test_the_small_base_is_right() -> None:
    assert compiled(HERE / "small").problems == ()
