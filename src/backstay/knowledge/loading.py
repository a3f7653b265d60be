"""Loading: the compiled knowledge, from the cache where it fits, else from the YAML."""

import os
from collections.abc import Sequence
from typing import Any

from backstay import __version__
from backstay.knowledge import cache
from backstay.knowledge.base import Base
from backstay.knowledge.folders import Folder, folder, layers


def load(folders: Sequence[str] = ()) -> Base:
    """The built-in knowledge with these folders laid over it; raises KnowledgeError with all that is wrong."""
    found = layers(folders)
    where = cache.place()
    key = _key(found)
    path = (
        os.path.join(where, cache.file_name(tuple(f"{layer.shown}={layer.path}" for layer in found))) if where else ""
    )
    if path:
        kept = cache.read(path, key)
        if kept is not None:
            return Base(kept)
    sections = _compile(found)
    if path:
        # A file that changed in the meantime has another stamp by now, so this key will not be asked for again.
        cache.write(path, key, sections)
    return Base(sections)


def _key(found: Sequence[Folder]) -> tuple[Any, ...]:
    """All that compiling depends on: the folders' files and the code itself."""
    code = folder(os.path.dirname(os.path.abspath(__file__)), "")
    stamps = tuple(stamp for stamp in code.stamps if stamp[0].endswith(".py"))
    return (__version__, stamps, tuple(tuple(layer) for layer in found))


def _compile(found: Sequence[Folder]) -> dict[str, Any]:
    from backstay.knowledge.compiling import compile_folders  # pydantic and YAML: only where knowledge is read
    from backstay.knowledge.problems import KnowledgeError, errors

    compiled = compile_folders(found)
    if errors(compiled.problems):
        raise KnowledgeError(compiled.problems)
    return compiled.sections
