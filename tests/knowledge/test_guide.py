"""The guide for coaches, done as it is written: each file put where its first line says, each command run.

`# says:` behind a command is what its output must hold; `# fails:` the same, with exit status 1.
"""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from backstay.faces.command import COMMANDS, main
from backstay.knowledge.folders import built_in
from backstay.knowledge.reading import read_file
from backstay.knowledge.starting import STARTERS

GUIDE = Path(built_in()) / "GUIDE.md"
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks() -> list[tuple[str, str]]:
    return BLOCK.findall(GUIDE.read_text(encoding="utf-8"))


def test_the_guide_works_as_it_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    last: tuple[str, int, str] = ("", 0, "")
    for language, text in blocks():
        if language == "yaml":
            path = tmp_path / text.splitlines()[0].removeprefix("# ")
            assert path.parent.parent == tmp_path / "club"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            last = ("", 0, "")
            continue
        assert language == "sh"
        for line in text.splitlines():
            command, mark, expected = re.split(r" +# (says|fails): ", line)
            program, *words = shlex.split(command)
            assert program == "backstay"
            if command != last[0]:  # the same line again looks at the same output
                status = main(words)
                said = capsys.readouterr()
                last = (command, status, " ".join((said.out + said.err).split()))
            assert (last[1], mark) in ((0, "says"), (1, "fails")), last[2]
            assert expected in last[2], last[2]


def test_all_yaml_in_it_is_knowledge_and_stands_in_a_block_with_a_name(tmp_path: Path) -> None:
    for language, text in blocks():
        if language == "yaml":
            assert re.match(r"# club/[a-z]+/[a-z-]+\.yaml\n", text)
            (tmp_path / "x.yaml").write_text(text, encoding="utf-8")
            assert read_file(str(tmp_path / "x.yaml"), "x.yaml").problems == ()


def test_every_command_it_names_is_there() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    assert set(re.findall(r"\bbackstay ([a-z]+)\b", text)) <= set(COMMANDS)
    assert set(re.findall(r"\bbackstay new ([a-z]+)\b", text)) <= set(STARTERS)


def test_the_readme_leads_to_it() -> None:
    root = Path(__file__).parents[2]
    assert "(knowledge/GUIDE.md)" in (root / "README.md").read_text(encoding="utf-8")
