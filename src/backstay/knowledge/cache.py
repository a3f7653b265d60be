"""Cache: compiled knowledge in one file of plain data, so that a start need not read YAML.

    first line   format of the file and the Python that wrote it
    8 bytes      checksum of what follows, and the length of the index
    index        marshalled: the key, and for each section its length
    sections     marshalled one by one, in the order of the index; one that is bytes stands as it is

The checksum is verified before anything is unmarshalled. A file that is of another Python, of another key, not ours,
cut short or damaged is as good as none; a place that cannot be written is done without. Never pickle: data cannot run.

The place is BACKSTAY_CACHE where that is set (empty: no cache), else the user's cache folder as platformdirs finds it.
This stands on the path of every start, so it imports nothing that is not cheap.
"""

import marshal
import mmap
import os
import sys
import zlib
from typing import Any

_FIRST = f"backstay-knowledge 2 {sys.implementation.cache_tag} {sys.hexversion:x}\n".encode()
_MOST_BYTES = 100_000_000


def place() -> str | None:
    """The folder for cached knowledge, or None if there is none."""
    given = os.environ.get("BACKSTAY_CACHE")
    if given is not None:
        return given or None
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA")
        return os.path.join(local, "backstay", "Cache") if local else None
    if sys.platform == "darwin":
        return os.path.join(home, "Library", "Caches", "backstay") if home != "~" else None
    caches = os.environ.get("XDG_CACHE_HOME", "").strip()
    if not caches:
        caches = os.path.join(home, ".cache")
    return os.path.join(caches, "backstay") if os.path.isabs(caches) else None


def file_name(roots: tuple[str, ...]) -> str:
    """One file for each set of folders, so that two clubs on one machine do not take turns in one."""
    return f"knowledge-{zlib.crc32(chr(0).join(roots).encode('utf-8', 'surrogatepass')):08x}.bin"


def read(path: str, key: tuple[Any, ...]) -> dict[str, Any] | None:
    """The sections kept under this key, still marshalled each, or None."""
    try:
        # Mapped, not read: of the whole file an answer needs few pages, and a file is replaced, never written into.
        with open(path, "rb", buffering=0) as stream:
            facts = os.fstat(stream.fileno())
            if facts.st_size > _MOST_BYTES or (hasattr(os, "getuid") and facts.st_uid != os.getuid()):
                return None
            whole = memoryview(mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ))
    except (OSError, ValueError):
        return None  # not there, not ours to read, or empty
    if whole[: len(_FIRST)] != _FIRST:
        return None
    raw = whole[len(_FIRST) :]
    if len(raw) < 8 or int.from_bytes(raw[:4]) != zlib.crc32(raw[4:]):
        return None
    start = 8 + int.from_bytes(raw[4:8])
    kept, lengths = marshal.loads(raw[8:start])
    if kept != key:
        return None
    sections: dict[str, Any] = {}
    for name, length in lengths:
        sections[name] = raw[start : start + length]
        start += length
    return sections


def write(path: str, key: tuple[Any, ...], sections: dict[str, Any]) -> bool:
    """Keep the sections; whether that was possible. The file is put in place whole or not at all."""
    packed = {
        name: section if isinstance(section, bytes) else marshal.dumps(section) for name, section in sections.items()
    }
    index = marshal.dumps((key, tuple((name, len(data)) for name, data in packed.items())))
    body = len(index).to_bytes(4) + index + b"".join(packed.values())
    data = _FIRST + zlib.crc32(body).to_bytes(4) + body
    unfinished = f"{path}.{os.getpid()}.{os.urandom(4).hex()}"
    try:
        os.makedirs(os.path.dirname(path), mode=0o700, exist_ok=True)
        with open(unfinished, "xb") as stream:
            stream.write(data)
        os.replace(unfinished, path)
    except OSError:
        _remove(unfinished)
        return False
    return True


def _remove(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        return  # it was never made
