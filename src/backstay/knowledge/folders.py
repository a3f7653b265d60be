"""Folders: where knowledge lies on the disk, and which files a folder holds, with size and time of each.

Stands on the path of every start, so it imports nothing but os. Links, and whatever else is no plain file, are listed
with a size of -1 and never followed or opened: nothing outside its folder is read, and nobody is waited for.
"""

import os
from collections.abc import Sequence
from typing import NamedTuple

MOST_FILES = 5000
MOST_LEVELS = 4
BUILT_IN = "knowledge"  # how the built-in folder is called in places

Stamp = tuple[str, int, int]
"""(path below the folder with /, size, time of change in nanoseconds)"""


class Folder(NamedTuple):
    """A knowledge folder: its path, how it is called in places, and its files in order."""

    path: str
    shown: str
    stamps: tuple[Stamp, ...]


def built_in() -> str:
    """The knowledge that comes with the package: beside its modules when installed, else at the top of the checkout."""
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    installed = os.path.join(package, "builtin")
    if os.path.isdir(installed):
        return installed
    return os.path.join(os.path.dirname(os.path.dirname(package)), "knowledge")


def folder(path: str, shown: str) -> Folder:
    """What a folder holds now. A folder that is not there raises OSError."""
    stamps: list[Stamp] = []
    _scan(path, "", stamps, MOST_LEVELS)
    stamps.sort()
    return Folder(path, shown, tuple(stamps))


def layers(folders: Sequence[str]) -> list[Folder]:
    """The built-in folder and those laid over it; raises KnowledgeError where one cannot be read."""
    found = []
    for path, shown in [(built_in(), BUILT_IN), *((os.path.abspath(path), os.path.normpath(path)) for path in folders)]:
        try:
            found.append(folder(path, shown))
        except OSError as error:
            from backstay.knowledge.problems import KnowledgeError, Problem  # only when something is wrong

            what = f"the folder cannot be read: {os.strerror(error.errno or 0)}."
            raise KnowledgeError([Problem(path, 0, 0, "folder-unreadable", what)]) from None
    return found


def _scan(path: str, below: str, stamps: list[Stamp], levels: int) -> None:
    with os.scandir(path) as entries:
        for entry in entries:
            name = entry.name
            if len(stamps) > MOST_FILES:
                return
            if name.startswith(".") or name.endswith("~"):
                continue  # hidden files and editors' copies
            if entry.is_symlink():
                stamps.append((below + name, -1, 0))
            elif entry.is_dir():
                if levels > 1:
                    _scan(entry.path, f"{below}{name}/", stamps, levels - 1)
                else:
                    stamps.append((f"{below}{name}/", -1, 0))
            elif entry.is_file():
                try:
                    facts = entry.stat(follow_symlinks=False)
                except FileNotFoundError:
                    continue  # gone while we looked
                stamps.append((below + name, facts.st_size, facts.st_mtime_ns))
            elif os.path.lexists(entry.path):  # a pipe, a device; what has just gone is not here
                stamps.append((below + name, -1, 0))
