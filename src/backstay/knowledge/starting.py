"""Starting: a commented file for a coach to fill in, written into a folder of the club's.

    start(kind, name, club) -> Started     kind: one of STARTERS, club: the folder

Nothing is overwritten, nothing is written outside the folder or through a link, and a name that is taken is refused.
What is to be filled in is marked `<like this>`; reading.py says of each mark that is left where it stands.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from backstay.knowledge.files import put_new
from backstay.knowledge.folders import BUILT_IN, built_in, folder
from backstay.knowledge.format import FORMAT, ID_PATTERN
from backstay.knowledge.gathering import OTHER_KINDS, gather
from backstay.knowledge.kinds import KINDS
from backstay.knowledge.loading import load
from backstay.knowledge.schemas import modeline, put_schemas

# What can be begun -> the folder it goes to, and the head key of its entry.
STARTERS = MappingProxyType(
    {
        "exercise": ("exercises", "exercise"),
        "rule": ("rules", "rule"),
        "phrase": ("phrases", "phrase"),
        "caution": ("rules", "rule"),
        "source": ("sources", "source"),
        "equipment": ("equipment", "equipment"),
    }
)
LONGEST_NAME = 60
# Names that some systems keep for devices, whatever ending they are given.
DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))})
_MARK = re.compile(r"<[^<>\n]+>")


class StartError(Exception):
    """Why a file cannot be begun: `why` is one of name, taken, there, foreign, link, unwritable."""

    def __init__(self, why: str, **values: str) -> None:
        super().__init__(why, values)
        self.why = why
        self.values = values


class Started(NamedTuple):
    """What was written: the file, as the caller calls it, and how many places are to be filled in."""

    path: str
    marks: int


def start(kind: str, name: str, club: str) -> Started:
    """Write the starting file; raises StartError where there must be none."""
    where, head = STARTERS[kind]
    id_ = identifier(name)
    _refuse_foreign(club)
    below = os.path.join(club, where)
    path = os.path.join(below, f"{id_}.yaml")
    for place in (club, below):
        if os.path.islink(place):
            raise StartError("link", place=place)
    if os.path.lexists(path):
        raise StartError("there", place=path)
    _refuse_taken(kind, head, id_, club)
    text = starter(kind, id_, club)
    try:
        new = not os.path.isdir(club) or not os.listdir(club)
        os.makedirs(below, exist_ok=True)
        if new:
            called = json.dumps(os.path.basename(os.path.abspath(club)) or "club", ensure_ascii=False)
            put_new(os.path.join(club, "base.yaml"), f"format: {FORMAT}\nname: {called}\n")
        put_schemas(club, load())
        put_new(path, text)
    except FileExistsError:
        raise StartError("there", place=path) from None
    except OSError as error:
        raise StartError("unwritable", place=path, reason=os.strerror(error.errno or 0)) from None
    return Started(path, len(_MARK.findall("\n".join(line.partition("#")[0] for line in text.splitlines()))))


def identifier(name: str) -> str:
    """Return the id that a name stands for: `Cable hip turn` is cable-hip-turn; raises StartError if it is none."""
    id_ = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    if not re.fullmatch(ID_PATTERN, id_) or len(id_) > LONGEST_NAME or id_ in DEVICES:
        raise StartError("name", name=name)
    return id_


def starter(kind: str, id_: str, club: str) -> str:
    """Return the text of a starting file."""
    here = os.path.join(os.path.dirname(os.path.abspath(__file__)), "starters", f"{kind}.yaml")
    with open(here, encoding="utf-8") as stream:
        text = stream.read()
    return f"{modeline(STARTERS[kind][0])}\n" + text.replace("NAME", id_).replace(
        "FOLDER", club if club.isprintable() else "FOLDER"
    )


def _refuse_foreign(club: str) -> None:
    """Refuse a folder that holds other things than knowledge, and the built-in one."""
    if os.path.isdir(club) and os.path.samefile(club, built_in()):
        raise StartError("foreign", place=club)
    try:
        names = [name for name in os.listdir(club) if not name.startswith(".")]
    except FileNotFoundError:
        return
    except OSError as error:
        raise StartError("unwritable", place=club, reason=os.strerror(error.errno or 0)) from None
    known = {*KINDS, *OTHER_KINDS}
    if names and not any(name.removesuffix(".yaml") in known for name in names):
        raise StartError("foreign", place=club)


def _refuse_taken(kind: str, head: str, id_: str, path: str) -> None:
    """Refuse an id that is there already, in the built-in folder or in this one, whatever else is wrong in them."""
    if kind == "phrase":
        return  # phrases may share a name
    base = load()
    known: dict[str, Mapping[str, object]] = {
        "exercise": base.exercises,
        "rule": base.rules,
        "source": base.sources,
        "equipment": base.equipment,
    }
    if id_ in known[head]:
        raise StartError("taken", name=id_, place=BUILT_IN)
    own = gather([folder(path, os.path.normpath(path))] if os.path.isdir(path) else [])
    for item in own.of(head):
        if item.id == id_:
            raise StartError("taken", name=id_, place=str(item.cursor.place))
