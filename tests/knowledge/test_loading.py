"""Loading: from the cache where nothing has changed, else from the files, and never from what is wrong."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from backstay.knowledge import cache, compiling, folders, loading
from backstay.knowledge.base import Base
from backstay.knowledge.problems import KnowledgeError

from .small_bases import SMALL, small, write


@pytest.fixture
def base_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small base in the place of the built-in one, and a cache of its own."""
    root = small(tmp_path / "knowledge", {})
    monkeypatch.setattr(folders, "built_in", lambda: str(root))
    monkeypatch.setenv("BACKSTAY_CACHE", str(tmp_path / "cache"))
    return root


@pytest.fixture
def compiles(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """One entry for each time that files were compiled."""
    counted: list[int] = []
    compile_ = compiling.compile_folders

    def counting(layers: list[folders.Folder]) -> compiling.Compiled:
        counted.append(len(layers))
        return compile_(layers)

    monkeypatch.setattr(compiling, "compile_folders", counting)
    return counted


def test_the_second_time_nothing_is_compiled(base_folder: Path, compiles: list[int]) -> None:
    first, second = loading.load(), loading.load()
    assert compiles == [1]
    for section in Base.__slots__:
        if not section.startswith("_"):
            assert getattr(first, section) == getattr(second, section)


def test_a_changed_file_is_seen(base_folder: Path, compiles: list[int]) -> None:
    loading.load()
    path = base_folder / "messages" / "messages.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("a parent", "the team"), encoding="utf-8")
    assert "the team" in loading.load().messages["guardian"]
    assert compiles == [1, 1]


def test_a_change_that_keeps_the_size_is_seen_by_its_time(base_folder: Path, compiles: list[int]) -> None:
    loading.load()
    path = base_folder / "messages" / "messages.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("parent", "friend"), encoding="utf-8")
    os.utime(path, ns=(0, path.stat().st_mtime_ns + 1))
    assert "friend" in loading.load().messages["guardian"]


def test_files_that_come_and_go_are_seen(base_folder: Path, compiles: list[int]) -> None:
    loading.load()
    more = write(base_folder, {"messages/more.yaml": "- {message: more, text: More.}\n"}) / "messages" / "more.yaml"
    assert loading.load().messages["more"] == "More."
    more.unlink()
    assert "more" not in loading.load().messages
    assert compiles == [1, 1, 1]


def test_folders_laid_over_have_a_cache_of_their_own(base_folder: Path, compiles: list[int], tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"messages/m.yaml": "- {message: m, text: M.}\n"})
    for _ in range(2):
        assert loading.load([str(club)]).messages["m"] == "M."
        assert "m" not in loading.load().messages
    assert compiles == [2, 1]


def test_a_damaged_cache_is_made_again(base_folder: Path, compiles: list[int], tmp_path: Path) -> None:
    loading.load()
    (kept,) = (tmp_path / "cache").iterdir()
    kept.write_bytes(kept.read_bytes()[:-1] + b"\x00\x01")
    assert loading.load().exercises
    loading.load()
    assert compiles == [1, 1]


def test_without_a_place_for_the_cache_it_works(
    base_folder: Path, compiles: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BACKSTAY_CACHE", "")
    assert loading.load().exercises
    assert loading.load().exercises
    assert compiles == [1, 1]


def test_a_file_that_changes_while_others_are_read_is_seen_next_time(
    base_folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    compile_ = compiling.compile_folders

    def meddling(layers: list[folders.Folder]) -> compiling.Compiled:
        made = compile_(layers)
        write(base_folder, {"messages/late.yaml": "- {message: late, text: Late.}\n"})
        return made

    monkeypatch.setattr(compiling, "compile_folders", meddling)
    assert "late" not in loading.load().messages
    monkeypatch.setattr(compiling, "compile_folders", compile_)
    assert loading.load().messages["late"] == "Late."


def test_a_folder_with_errors_is_refused_whole_and_by_name(base_folder: Path, tmp_path: Path) -> None:
    club = write(tmp_path / "club", {"messages/m.yaml": "- {message: m}\n", "rules/r.yaml": "- {rul: r}\n"})
    with pytest.raises(KnowledgeError) as caught:
        loading.load([str(club)])
    assert [(Path(problem.file).name, problem.code) for problem in caught.value.problems] == [
        ("m.yaml", "missing-key"),
        ("r.yaml", "no-head"),
    ]
    assert str(club) in str(caught.value)
    assert "2 errors" in str(caught.value)


def test_errors_in_the_built_in_folder_are_refused_too(base_folder: Path) -> None:
    write(base_folder, {"messages/m.yaml": "- {message: m}\n"})
    with pytest.raises(KnowledgeError, match="1 error\n"):
        loading.load()


def test_warnings_do_not_keep_anybody_from_training(base_folder: Path, tmp_path: Path) -> None:
    source = "- {source: unread-1999, cite: X., kind: paper, seen: page, says: X.}\n"
    club = write(tmp_path / "club", {"sources/s.yaml": source})
    assert "unread-1999" in loading.load([str(club)]).sources


def test_a_folder_that_is_not_there(base_folder: Path, tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError) as caught:
        loading.load([str(tmp_path / "nowhere")])
    assert caught.value.problems[0].code == "folder-unreadable"


def test_what_is_wrong_is_never_kept(base_folder: Path, tmp_path: Path) -> None:
    write(base_folder, {"messages/m.yaml": "- {message: m}\n"})
    for _ in range(2):
        with pytest.raises(KnowledgeError):
            loading.load()
    assert not (tmp_path / "cache").exists()


def test_the_same_folder_gives_the_same_bytes(
    base_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No set, no order of files and no hash of text decides anything."""
    import subprocess
    import sys

    code = (
        "import sys\n"
        "from backstay.knowledge.compiling import compile_folders\n"
        "from backstay.knowledge.folders import folder\n"
        "made = compile_folders([folder(sys.argv[1], 'knowledge')])\n"
        "print(repr(made))\n"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code, str(SMALL)],
            env={**os.environ, "PYTHONHASHSEED": str(seed)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in (1, 2, 3)
    }
    assert len(outputs) == 1
    assert cache.place()
