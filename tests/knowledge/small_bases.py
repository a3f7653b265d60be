"""Small knowledge folders for tests."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from backstay.knowledge.compiling import Compiled, compile_folders
from backstay.knowledge.folders import folder

HERE = Path(__file__).parent
SMALL = HERE / "small"


def write(root: Path, files: Mapping[str, str | bytes]) -> Path:
    """These files below a folder."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode() if isinstance(text, str) else text)
    return root


def small(root: Path, files: Mapping[str, str | bytes]) -> Path:
    """The small base, with these files in it besides."""
    shutil.copytree(SMALL, root)
    return write(root, files)


def compiled(*roots: Path) -> Compiled:
    """The folders laid over each other; each is called by its own name in problems."""
    return compile_folders([folder(str(root), root.name) for root in roots])
