"""Names: what is defined, so that a name that points nowhere is found, once, with the nearest one that exists."""

from __future__ import annotations

from collections.abc import Iterable

from backstay.knowledge.base import Attribute
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor

ALWAYS_SOURCES = ("common-practice", "from-memory")


class Names:
    """The ids of each kind. `unsure` kinds had a file that could not be read: what they lack may stand there."""

    def __init__(
        self,
        known: dict[str, set[str]],
        unsure: Iterable[str],
        attributes: dict[str, Attribute],
        broken: Iterable[str] = (),
    ) -> None:
        self.known = known
        self.unsure = frozenset(unsure)
        self.broken = frozenset(broken)  # attributes whose own entry is wrong
        self.attributes = attributes

    def check(self, kind: str, name: object, cursor: Cursor, key: str | None = None) -> bool:
        """Whether the name is known; if not, it is noted at the cursor, or at this key of it."""
        known = self.known.get(kind, set())
        if isinstance(name, str) and name in known:
            return True
        if kind not in self.unsure:
            if isinstance(name, str):
                what, follow = f"there is no {kind} `{name}`.", nearest(name, known) or self._known(kind)
            else:
                what, follow = f"the id of a {kind} is expected here.", ""
            if key is None:
                cursor.error(f"unknown-{kind}", what, follow)
            else:
                cursor.key_error(key, f"unknown-{kind}", what, follow)
        return False

    def _known(self, kind: str) -> str:
        """What to name instead, where no name is near."""
        if kind == "source":
            return f"Write it into sources/, or cite {' or '.join(f'`{name}`' for name in ALWAYS_SOURCES)}."
        return f"There are {listing(sorted(self.known.get(kind, ())))}."

    def attribute(self, name: object, cursor: Cursor, key: str | None = None) -> Attribute | None:
        """The attribute of this name, or None with the name noted."""
        if isinstance(name, str) and name in self.attributes:
            return self.attributes[name]
        head, dot, tail = str(name).partition(".")
        if "attribute" in self.unsure or head in self.broken:
            return None
        parent = self.attributes.get(head) if dot else None
        if parent is not None and parent.kind in ("map", "records"):
            parts = [dotted.removeprefix(f"{head}.") for dotted in self.attributes if dotted.startswith(f"{head}.")]
            what, follow = f"`{head}` has no part `{tail}`.", nearest(tail, parts)
        else:
            what, follow = f"there is no attribute `{name}`.", nearest(str(name), self.attributes)
        if key is None:
            cursor.error("unknown-attribute", what, follow)
        else:
            cursor.key_error(key, "unknown-attribute", what, follow)
        return None
