"""Columns: one figure for each candidate, side by side in one long whole number.

Adding two columns adds the figures of all candidates at once, which is what makes a node of the search cheap. A field
is 32 bits; figures must stay positive, so whoever subtracts adds a bias first. A column is taken apart only to sort it.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable

FIELD = 32
# The low bits of a field name the candidate; the figure stands above them.
PLACE = 10
PLACES = (1 << PLACE) - 1
# In a column of last choices the figure stands above the stress and the place.
LAST = 18
MOST_STRESS = 255


class Columns:
    """How the figures of a number of candidates are packed and taken apart."""

    __slots__ = ("_bytes", "_struct", "all", "field", "ones", "places")

    def __init__(self, size: int) -> None:
        if size > PLACES:
            raise ValueError(f"{size} candidates: no more than {PLACES} can be compared")
        self._struct = struct.Struct(f"<{size}I")
        self._bytes = FIELD // 8 * size
        self.field = tuple(((1 << FIELD) - 1) << (FIELD * place) for place in range(size))
        self.all = (1 << (FIELD * size)) - 1
        self.ones = self.pack([1] * size)
        self.places = self.pack(range(size))

    def pack(self, figures: Iterable[int]) -> int:
        """Put one figure a candidate side by side."""
        return int.from_bytes(self._struct.pack(*figures), "little")

    def fields(self, column: int) -> tuple[int, ...]:
        """Take a column apart."""
        return self._struct.unpack(column.to_bytes(self._bytes, "little"))

    def mask(self, places: Iterable[int]) -> int:
        """Return the column with ones in all bits of these candidates."""
        column = 0
        for place in places:
            column |= self.field[place]
        return column
