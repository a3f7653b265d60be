"""Folders that are wrong as a whole: bytes, links, pipes, sizes, depths; each is told of, and soon."""

from __future__ import annotations

import os
import re
import time
from pathlib import Path

import pytest

from backstay.knowledge import folders, gathering
from backstay.knowledge.compiling import Compiled
from backstay.knowledge.problems import errors
from backstay.knowledge.stakes import STAKES

from .small_bases import HERE, SMALL, compiled, write

MOST_SECONDS = 20  # far from what any of these takes; a hang is longer
RULE = "because: A., source: common-practice}\n"


def laid(tmp_path: Path, files: dict[str, str | bytes]) -> Compiled:
    started = time.monotonic()
    made = compiled(SMALL, write(tmp_path / "club", files))
    assert time.monotonic() - started < MOST_SECONDS
    return made


def codes(made: Compiled) -> list[tuple[str, str]]:
    return [(problem.file, problem.code) for problem in made.problems]


A_RULE = "- {rule: a, when: {fault: twists}, then: {need: {row-strength: 1}}, " + RULE
LAYERS = "\n".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9 if n else ['x'] * 9)}]" for n in range(40)) + "\n"
BYTES: dict[str, tuple[bytes, str]] = {
    "UTF-16": (A_RULE.encode("utf-16"), "not-utf-8"),
    "UTF-32": (A_RULE.encode("utf-32"), "not-utf-8"),
    "Latin-1": (A_RULE.replace("A.", "Rücken.").encode("latin-1"), "not-utf-8"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)) * 40, "not-utf-8"),
    "a compiled cache": (b"\xe3\x00\x00\x00" + os.urandom(4000), "not-utf-8"),
    "nothing but noughts": (b"\x00" * 4000, "yaml"),
    "a control character": (A_RULE.replace("A.", "A\x07.").encode(), "yaml"),
    "half of it": (A_RULE.encode()[:40], "yaml"),
    "a tab": (b"- rule: a\n\twhen: {fault: twists}\n", "tab"),
    "empty": (b"", "file-empty"),
    "only a mark": (b"\xef\xbb\xbf", "file-empty"),
    "a million aliases": (LAYERS.encode(), "too-many-problems"),
    "deep brackets": (b"[" * 200_000, "yaml"),
    "deep braces": (b"{a: " * 50_000, "too-deep"),
    "deep dashes": (b"- " * 50_000 + b"a\n", "too-deep"),
    "a long line": (b"- " + b"a" * 1_900_000 + b"\n", "not-an-entry"),
    "too many values": (b"- [" + b"a," * 250_000 + b"a]\n", "too-many-nodes"),
    "too large": (b"#" * 2_000_001, "file-too-big"),
    "code": (b"- !!python/object/apply:os.system ['true']\n", "tag"),
    "a second document": (A_RULE.encode() + b"---\n- {rule: b}\n", "several-documents"),
    "a merge": (b"- {rule: a, <<: {then: {forbid: everything}}}\n", "merge-key"),
}


@pytest.mark.parametrize("what", BYTES)
def test_bytes_that_are_no_knowledge(what: str, tmp_path: Path) -> None:
    raw, code = BYTES[what]
    made = laid(
        tmp_path,
        {"rules/a.yaml": raw, "rules/b.yaml": A_RULE.replace("rule: a", "rule: beside").replace("twists", "rounds")},
    )
    assert ("club/rules/a.yaml", code) in codes(made), made.problems
    assert {file for file, _ in codes(made)} == {"club/rules/a.yaml"}
    assert "beside" in made.sections["rules"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"rules/a.yaml": A_RULE})
    os.mkfifo(club / "rules" / "pipe.yaml")
    made = laid(tmp_path, {})
    assert codes(made) == [("club/rules/pipe.yaml", "link")]


@pytest.mark.parametrize("target", ["/etc/passwd", "../secret.yaml", "nowhere", "."])
def test_links_lead_nowhere(target: str, tmp_path: Path) -> None:
    (tmp_path / "secret.yaml").write_text("- {message: secret, text: Secret.}\n", encoding="utf-8")
    club = write(tmp_path / "club", {"base.yaml": "format: 1\nname: club\n"})
    (club / "messages").mkdir()
    (club / "messages" / "a.yaml").symlink_to(target)
    made = laid(tmp_path, {})
    assert codes(made) == [("club/messages/a.yaml", "link")]
    assert "secret" not in str(made.sections["messages"]).lower()


def test_a_folder_that_holds_itself_is_read_once(tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"rules/a.yaml": A_RULE})
    (club / "rules" / "again").symlink_to(club, target_is_directory=True)
    assert codes(laid(tmp_path, {})) == [("club/rules/again", "link")]


def test_folders_in_folders_come_to_an_end(tmp_path: Path) -> None:
    made = laid(tmp_path, {"rules/" + "in/" * 30 + "a.yaml": A_RULE})
    assert codes(made) == [("club/rules/in/in/in/", "link")]


def test_too_many_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "MOST_FILES", 100)
    monkeypatch.setattr(gathering, "MOST_FILES", 100)
    made = laid(tmp_path, {f"messages/m{n}.yaml": f"- {{message: m{n}, text: A.}}\n" for n in range(120)})
    assert codes(made) == [("club", "too-many-files")]


def test_too_many_bytes_in_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gathering, "MOST_FOLDER_BYTES", 100_000)
    made = laid(tmp_path, {f"messages/m{n}.yaml": f"- {{message: m{n}, text: A.}}\n" + "#" * 20_000 for n in range(6)})
    assert codes(made) == [("club", "folder-too-big")]


def test_too_many_entries(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gathering, "MOST_ENTRIES", 50)
    made = laid(tmp_path, {"messages/m.yaml": "".join(f"- {{message: m{n}, text: A.}}\n" for n in range(60))})
    assert codes(made) == [("club", "too-many-entries")]


def test_rules_that_nobody_can_keep_apart(tmp_path: Path) -> None:
    rules = "".join(
        f"- {{rule: z{n}, when: {{age: {{at-least: {n / 10}, below: {(n + 1) / 10}}}}}, "
        f"then: {{conclude: {{level: {('beginner', 'advanced')[n % 2]}}}}}, {RULE}"
        for n in range(400)
    )
    assert ("club/rules/a.yaml", "too-many-rivals") in codes(laid(tmp_path, {"rules/a.yaml": rules}))


def test_conditions_without_end_are_decided(tmp_path: Path) -> None:
    each = ", ".join(
        "{some: {at-least: 4, of: [" + ", ".join(f"{{build: b{n}x{m}}}" for m in range(8)) + "]}}" for n in range(60)
    )
    rules = f"- {{rule: a, when: {{all-of: [{each}]}}, then: {{need: {{row-strength: 1}}}}, {RULE}"
    assert errors(laid(tmp_path, {"rules/a.yaml": rules}).problems) == ()


def test_no_word_is_looked_for_without_end(tmp_path: Path) -> None:
    """Names that are wrong by the thousand: each is told of, with the nearest one."""
    rules = "".join(f"- {{rule: z{n}, when: {{agge{n}: 3}}, then: {{ask: mniutes{n}}}, {RULE}" for n in range(3000))
    assert len(laid(tmp_path, {"rules/a.yaml": rules}).problems) == 6000


def test_every_kind_of_problem_says_why_it_matters() -> None:
    """Codes are written where problems are noted: as the first text of a call, alone or after a place."""
    source = "\n".join(path.read_text(encoding="utf-8") for path in Path(folders.__file__).parent.glob("*.py"))
    noted = set(re.findall(r'(?:\.error|note_at|\bnote)\(\s*(?:[\w.()]+, )*"([a-z]+(?:-[a-z0-9]+)+)"', source))
    assert len(noted) > 50
    assert noted - set(STAKES) == set()


def test_the_corpus_is_broad() -> None:
    expected = "\n".join(path.read_text(encoding="utf-8") for path in (HERE / "broken").rglob("*.yaml"))
    told = set(re.findall(r"! ([a-z0-9-]+) @", expected))
    assert len(told) >= 80
