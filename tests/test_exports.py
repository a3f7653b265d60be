"""The way in is one page, light, and Python holds no sentence that is shown to people."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import backstay

SOURCE = Path(backstay.__file__).parent
# The knowledge room speaks to whoever writes YAML, where no messages can be had; the fail-safe when nothing can.
SPEAK = ("knowledge/", "faces/failsafe.py")
HEAVY = {
    "argparse", "dataclasses", "importlib.metadata", "importlib.resources", "pathlib", "prompt_toolkit", "pydantic",
    "rapidfuzz", "subprocess", "textwrap", "yaml", "enum_tools", "inspect", "difflib", "asyncio",
}  # fmt: skip


def test_three_lines_are_enough() -> None:
    assert backstay.__all__ == ["Assistant", "Case", "Reply", "__version__"]
    for name in backstay.__all__:
        assert getattr(backstay, name)
        assert name in dir(backstay)
    with pytest.raises(AttributeError):
        backstay.Nothing  # noqa: B018


def test_the_version_is_the_package_s() -> None:
    from importlib.metadata import version

    assert backstay.__version__ == version("backstay")


def loaded(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('\\n'.join(sys.modules), file=sys.stderr)"],
        check=True,
        capture_output=True,
        text=True,
    )
    return set(done.stderr.split())


@pytest.mark.parametrize(
    "code",
    [
        "import backstay",
        "from backstay.faces.command import main; main(['--version'])",
        "from backstay.faces.command import main; main(['ask', 'back extensions, 6 weeks out'])",
        "from backstay.faces.command import main; main(['ask', '--json', 'my back rounds off the floor'])",
    ],
)
def test_one_answer_opens_nothing_heavy(code: str) -> None:
    subprocess.run([sys.executable, "-c", "from backstay.knowledge.loading import load; load()"], check=True)
    bare = loaded("")
    assert not (loaded(code) - bare) & HEAVY


def test_the_package_alone_opens_no_room() -> None:
    assert not {name for name in loaded("import backstay") if name.startswith("backstay.")}


def sentences(path: Path) -> list[str]:
    """Texts of four words and more that are neither a docstring nor the message of an error for programmers."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    spared: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
            spared.add(id(node.body[0].value))  # type: ignore[attr-defined]
        if isinstance(node, ast.Attribute) and node.attr == "split":
            spared.add(id(node.value))  # a list of words
        if isinstance(node, ast.Raise | ast.Assert):
            spared.update(id(inner) for inner in ast.walk(node))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            spared.add(id(node.value))
    return [
        f"{path}:{node.lineno}: {node.value}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in spared
        and re.search(r"(?:[A-Za-z']+[,:]? +){3}[A-Za-z']+", node.value)
    ]


def test_no_sentence_stands_in_python() -> None:
    found = [
        line
        for path in sorted(SOURCE.rglob("*.py"))
        if not str(path.relative_to(SOURCE)).startswith(SPEAK)
        for line in sentences(path)
    ]
    assert found == []


def test_the_search_for_sentences_finds_one(tmp_path: Path) -> None:
    path = tmp_path / "planted.py"
    path.write_text('"""A docstring may say much here."""\nX = "see a clinician about this"\n', encoding="utf-8")
    assert len(sentences(path)) == 1


def test_rooms_import_only_what_stands_before_them() -> None:
    order = [
        "knowledge", "language", "case", "reasoning", "coaching", "reply", "review", "reference", "expectations",
        "assistant", "examples", "faces",
    ]  # fmt: skip
    wrong = []
    for path in sorted(SOURCE.rglob("*.py")):
        parts = path.relative_to(SOURCE).parts
        room = parts[0].removesuffix(".py")
        if room not in order:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            module = node.module if isinstance(node, ast.ImportFrom) else None
            if module and module.startswith("backstay."):
                other = module.split(".")[1]
                if other in order and order.index(other) > order.index(room):
                    wrong.append(f"{'/'.join(parts)} imports {module}")
    assert wrong == []
