"""Iron: what bars, discs and single weights can make of a load, exactly.

Loads are whole numbers of quarters of a kilogram in here, so that nothing is lost in rounding. A bar carries the same
discs on each side; of each disc there are as many as it takes, up to MOST_DISCS on a side.
"""

from __future__ import annotations

from collections.abc import Sequence

QUARTERS = 4
MOST_DISCS = 12


def side(discs: Sequence[float], kg: float) -> tuple[float, ...] | None:
    """Return the fewest discs that weigh exactly so much on one side, the heaviest first; None if none do.

    Of equally few the ones that begin with the heaviest are taken.
    """
    wanted = _quarters(kg)
    if wanted != kg * QUARTERS or wanted < 0:
        return None
    sizes = _sizes(discs)
    for count, sums in enumerate(_sums(sizes, wanted)):
        if sums >> wanted & 1:
            return _taken(sizes, wanted, count)
    return None


def most_on_side(discs: Sequence[float], kg: float) -> float:
    """Return the most that the discs can weigh on one side without weighing more than this."""
    wanted = _quarters(kg)
    every = 0
    for sums in _sums(_sizes(discs), wanted):
        every |= sums
    return (every.bit_length() - 1) / QUARTERS


def on_bar(bar: float, discs: Sequence[float], kg: float, collar: float = 0.0) -> float | None:
    """Return the heaviest load up to this that the bar can carry, itself and a collar a side counted."""
    bare = bar + 2 * collar
    if kg < bare:
        return None
    return bare + 2 * most_on_side(discs, (kg - bare) / 2)


def single(weights: Sequence[float], kg: float) -> float | None:
    """Return the heaviest single weight up to this."""
    return max((weight for weight in weights if weight <= kg), default=None)


def _quarters(kg: float) -> int:
    # A hundredth of a gram is forgiven: 110 x 0.7 is 77, whatever binary fractions make of it.
    return int(kg * QUARTERS + 1e-5)


def _sizes(discs: Sequence[float]) -> tuple[int, ...]:
    return tuple(sorted({int(disc * QUARTERS) for disc in discs}, reverse=True))


def _sums(sizes: Sequence[int], most: int) -> list[int]:
    """The sums that 0, 1, 2 … discs make, up to a most, as sets of bits; ends where more discs are too heavy."""
    mask = (1 << (most + 1)) - 1
    layers = [1]
    while layers[-1] and len(layers) <= MOST_DISCS:
        sums = 0
        for size in sizes:
            sums |= layers[-1] << size
        layers.append(sums & mask)
    return layers


def _taken(sizes: Sequence[int], wanted: int, count: int) -> tuple[float, ...]:
    """The discs of a sum that so many can make: of each in turn the heaviest that leaves the rest a sum."""
    layers = _sums(sizes, wanted)
    found = []
    for left in range(count - 1, -1, -1):
        size = next(one for one in sizes if one <= wanted and layers[left] >> (wanted - one) & 1)
        found.append(size / QUARTERS)
        wanted -= size
    return tuple(found)
