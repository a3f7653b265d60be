"""The cache: kept under its key, verified before it is read, whole or absent, done without where it does not fit."""

from __future__ import annotations

import marshal
import os
import subprocess
import sys
import zlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import platformdirs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge import cache

KEY: tuple[Any, ...] = (1, ("a.yaml", 3, 5))
SECTIONS: dict[str, Any] = {"rules": {"a": ("because", 1, 2.5, True, None)}, "empty": {}, "words": ("ä", "b")}


def unpacked(sections: dict[str, Any] | None) -> dict[str, Any] | None:
    return None if sections is None else {name: marshal.loads(data) for name, data in sections.items()}


def test_what_is_written_is_read(tmp_path: Path) -> None:
    path = str(tmp_path / "deep" / "k.bin")
    assert cache.write(path, KEY, SECTIONS)
    assert unpacked(cache.read(path, KEY)) == SECTIONS
    assert os.listdir(tmp_path / "deep") == ["k.bin"]


def test_another_key_finds_nothing(tmp_path: Path) -> None:
    path = str(tmp_path / "k.bin")
    cache.write(path, KEY, SECTIONS)
    assert cache.read(path, (1, ("a.yaml", 3, 6))) is None
    assert cache.read(path, (2, ("a.yaml", 3, 5))) is None


def test_no_file_finds_nothing(tmp_path: Path) -> None:
    assert cache.read(str(tmp_path / "none.bin"), KEY) is None
    assert cache.read(str(tmp_path), KEY) is None


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("cache") / "k.bin"
    cache.write(str(path), KEY, SECTIONS)
    return path.read_bytes()


def test_each_single_damaged_byte_is_found(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "k.bin"
    for index in range(len(whole)):
        path.write_bytes(whole[:index] + bytes([whole[index] ^ 0x20]) + whole[index + 1 :])
        assert cache.read(str(path), KEY) is None, index


def test_a_file_cut_short_is_found(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "k.bin"
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        assert cache.read(str(path), KEY) is None, length


@settings(deadline=None)
@given(raw=st.binary(max_size=80))
def test_nothing_is_unmarshalled_that_does_not_fit_its_checksum(
    raw: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("cache") / "k.bin"
    first = f"backstay-knowledge 2 {sys.implementation.cache_tag} {sys.hexversion:x}\n".encode()
    path.write_bytes(first + raw)
    fits = len(raw) >= 8 and int.from_bytes(raw[:4]) == zlib.crc32(raw[4:])
    assert fits or cache.read(str(path), KEY) is None


def test_the_file_of_another_python_is_left_alone(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "k.bin"
    line, _, rest = whole.partition(b"\n")
    path.write_bytes(line.replace(b"cpython", b"cpythoX") + b"\n" + rest)
    assert cache.read(str(path), KEY) is None


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="only where files have owners")
def test_the_file_of_another_user_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = str(tmp_path / "k.bin")
    cache.write(path, KEY, SECTIONS)
    monkeypatch.setattr(os, "getuid", lambda: os.stat(path).st_uid + 1)
    assert cache.read(path, KEY) is None


def test_a_place_that_cannot_be_written_is_done_without(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert not cache.write(str(blocked / "k.bin"), KEY, SECTIONS)
    assert blocked.read_text() == "in the way"


def test_a_full_disk_leaves_the_old_file_and_nothing_half(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = str(tmp_path / "k.bin")
    cache.write(path, KEY, SECTIONS)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    assert not cache.write(path, (2,), {})
    assert os.listdir(tmp_path) == ["k.bin"]
    assert unpacked(cache.read(path, KEY)) == SECTIONS


def test_many_who_write_and_read_at_once_never_see_half_a_file(tmp_path: Path) -> None:
    path = str(tmp_path / "k.bin")
    big = {"rules": {str(index): ("x" * 50, index) for index in range(2000)}}

    def write(_: int) -> bool:
        return cache.write(path, KEY, big)

    def read(_: int) -> bool:
        found = cache.read(path, KEY)
        return found is None or unpacked(found) == big

    with ThreadPoolExecutor(8) as pool:
        written = pool.map(write, range(20))
        seen = pool.map(read, range(60))
        assert all(written)
        assert all(seen)
    assert os.listdir(tmp_path) == ["k.bin"]


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the places of this system")
@pytest.mark.parametrize("given_", ["/somewhere/caches", "", "   ", None])
def test_the_place_is_that_of_platformdirs(given_: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BACKSTAY_CACHE", raising=False)
    if given_ is None:
        monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    else:
        monkeypatch.setenv("XDG_CACHE_HOME", given_)
    assert cache.place() == platformdirs.user_cache_dir("backstay", appauthor=False)


def test_the_place_can_be_given_or_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BACKSTAY_CACHE", "/srv/backstay")
    assert cache.place() == "/srv/backstay"
    monkeypatch.setenv("BACKSTAY_CACHE", "")
    assert cache.place() is None


@pytest.mark.parametrize(
    "platform, environment, expected",
    [
        ("win32", {"LOCALAPPDATA": "L"}, os.path.join("L", "backstay", "Cache")),
        ("win32", {}, None),
        ("darwin", {"HOME": "/Users/anna"}, "/Users/anna/Library/Caches/backstay"),
        ("linux", {"HOME": "/home/anna"}, "/home/anna/.cache/backstay"),
        ("linux", {"HOME": "/home/anna", "XDG_CACHE_HOME": "relative"}, None),
    ],
)
def test_the_places_of_other_systems(
    platform: str, environment: dict[str, str], expected: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("BACKSTAY_CACHE", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", platform)
    assert cache.place() == expected


def test_each_set_of_folders_has_a_file_of_its_own() -> None:
    names = {cache.file_name(roots) for roots in [("a",), ("a", "b"), ("b", "a"), ("ab",)]}
    assert len(names) == 4


def test_a_start_from_the_cache_opens_none_of_the_slow_modules(tmp_path: Path) -> None:
    """The first start fills the cache; the second is the one that counts."""
    code = (
        "import sys\n"
        "from backstay.knowledge.loading import load\n"
        "base = load()\n"
        "base.rules, base.exercises, base.attributes, base.program, base.automaton, base.messages\n"
        "slow = 'pydantic yaml pathlib dataclasses inspect rapidfuzz difflib platformdirs importlib.metadata hashlib'\n"
        "print(*[name for name in slow.split() if name in sys.modules])\n"
    )
    environment = {**os.environ, "BACKSTAY_CACHE": str(tmp_path)}
    runs = [
        subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True).stdout
        for _ in range(2)
    ]
    assert "pydantic" in runs[0]
    assert runs[1].strip() == ""
