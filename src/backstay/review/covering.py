"""Covering: rows of levels in which every three levels of three columns, or every two of two, stand together.

    design = covering(sizes, strength)
    design.size, design.row(number)

Level 0 of a column is "not told"; levels 1 to its size are told. Column x of row (a, b, c) has the symbol
a + bx + cx² over a prime field, and one more column has c itself: any three columns then hold every three symbols
exactly once, since such a system of equations has one solution. Symbols past the size of a column are level 0.

That is more rows than the fewest possible, on purpose: fewer rows are fuller ones, and in a row that tells forty things
at once one of them settles the answer and hides all others. Here a row tells as many things as people do.

Where that takes fewer rows there are two such arrays: columns that share a place in the first stand alone in the
second, so that any three stand apart in one of them. Those that share a place are told at different symbols where
there is room.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

PAIRS, TRIPLES = 2, 3
Cell = tuple[int, int]  # column, level


class Design(NamedTuple):
    """A covering design; rows are made when they are asked for."""

    prime: int
    strength: int
    sizes: tuple[int, ...]
    maps: tuple[tuple[tuple[int, int], ...], ...]  # for each array: of each column its place, and its first symbol

    @property
    def size(self) -> int:
        """How many rows there are."""
        return len(self.maps) * int(self.prime**self.strength)

    def row(self, number: int) -> tuple[Cell, ...]:
        """Return the levels that are told in a row."""
        prime = self.prime
        number, c = divmod(number, prime)
        number, b = divmod(number, prime)
        number, a = divmod(number, prime) if self.strength == TRIPLES else (number, 0)
        if self.strength == TRIPLES:
            symbols = [(a + place * (b + place * c)) % prime for place in range(prime)]
        else:
            symbols = [(b + place * c) % prime for place in range(prime)]
        symbols.append(c)
        told = []
        for column, (place, first) in enumerate(self.maps[number]):
            level = (symbols[place] - first) % prime
            if level < self.sizes[column]:
                told.append((column, level + 1))
        return tuple(told)


def covering(sizes: Sequence[int], strength: int = TRIPLES) -> Design:
    """Return a design for columns of these sizes; every size must be at least 1."""
    columns = len(sizes)
    apart = next_prime(max(*sizes, columns - 1, 2))
    designs = [Design(apart, strength, tuple(sizes), (_places(sizes, range(columns), apart),))]
    shared = _shared(columns, max(sizes, default=1))
    if strength == TRIPLES and shared < apart:
        designs.append(Design(shared, strength, tuple(sizes), _two_maps(sizes, shared)))
    return min(designs, key=lambda design: design.size)


def next_prime(least: int) -> int:
    """Return the least prime that is not below a figure."""
    number = max(2, least)
    while any(number % divisor == 0 for divisor in range(2, int(number**0.5) + 1)):
        number += 1
    return number


def _shared(columns: int, largest: int) -> int:
    """The least prime with which two arrays are enough: whoever shares a place in one stands alone in the other."""
    prime = next_prime(max(largest, 2))
    while 2 * (columns - prime - 1) > prime:
        prime = next_prime(prime + 1)
    return prime


def _two_maps(sizes: Sequence[int], prime: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    columns = len(sizes)
    pairs = max(0, columns - prime - 1)
    first = [column // 2 if column < 2 * pairs else column - pairs for column in range(columns)]
    left = prime + 1 - 2 * pairs
    second = [column if column < 2 * pairs else 2 * pairs + (column - 2 * pairs) % left for column in range(columns)]
    return _places(sizes, first, prime), _places(sizes, second, prime)


def _places(sizes: Sequence[int], places: Sequence[int], prime: int) -> tuple[tuple[int, int], ...]:
    """Each column's place and its first symbol, those of one place one after the other."""
    begun: dict[int, int] = {}
    found = []
    for size, place in zip(sizes, places, strict=True):
        found.append((place, begun.get(place, 0) % prime))
        begun[place] = begun.get(place, 0) + size
    return tuple(found)
