"""Problem: candidates, needs and limits of one choice, laid out for the search.

A candidate that gains nothing of what is needed, or does not fit the limits even alone, is not admitted. Those admitted
stand in the order of their ids, so that the order in which they were handed over cannot matter.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from backstay.coaching.columns import Columns

A_POINT = 10
UNLIMITED = 10**6


class Candidate(NamedTuple):
    """An exercise that may be chosen, its dose fixed."""

    exercise: str
    gains: Mapping[str, int]
    preference: int = 0
    minutes: int = 0
    stress: int = 0
    least_stress: int = 0  # with all sets cut that may be cut: what a stress limit counts
    family: str = ""


class Limits(NamedTuple):
    """What a menu must stay within; None is no limit."""

    minutes: float | None = None
    stress: float | None = None
    items: float | None = None


class Problem:
    """One choice to be made. Everything is by place: the number of a candidate, or of a quality."""

    __slots__ = (
        "candidates",
        "columns",
        "families",
        "gain_columns",
        "gains",
        "items",
        "least",
        "minutes",
        "minutes_limit",
        "needs",
        "outside",
        "preference",
        "qualities",
        "stress",
        "stress_limit",
    )

    def __init__(self, needs: Mapping[str, int], candidates: Iterable[Candidate], limits: Limits) -> None:
        self.qualities = tuple(sorted(quality for quality, points in needs.items() if points > 0))
        self.needs = [needs[quality] for quality in self.qualities]
        self.minutes_limit = UNLIMITED if limits.minutes is None else int(limits.minutes)
        self.stress_limit = UNLIMITED if limits.stress is None else int(limits.stress)
        places = {quality: place for place, quality in enumerate(self.qualities)}
        self.candidates: list[Candidate] = []
        self.gains: list[tuple[tuple[int, int], ...]] = []
        for one in sorted(candidates, key=_id):
            if one.minutes > self.minutes_limit or one.least_stress > self.stress_limit:
                continue
            own = sorted((places[name], gain) for name, gain in one.gains.items() if gain > 0 and name in places)
            if own:
                self.candidates.append(one)
                self.gains.append(tuple(own))
        self.preference = [one.preference for one in self.candidates]
        self.minutes = [one.minutes for one in self.candidates]
        self.stress = [one.stress for one in self.candidates]
        self.least = [one.least_stress for one in self.candidates]
        size = len(self.candidates)
        self.items = size if limits.items is None else max(0, min(int(limits.items), size))
        self.columns = Columns(size)
        self._lay_out_families()
        self._lay_out_gains()

    def _lay_out_families(self) -> None:
        """Give each family a bit, and each candidate the mask of all who are of other families."""
        members: dict[str, list[int]] = {}
        for place, one in enumerate(self.candidates):
            members.setdefault(one.family or f"only {one.exercise}", []).append(place)
        self.families = [0] * len(self.candidates)
        self.outside = [0] * len(self.candidates)
        for number, family in enumerate(members.values()):
            outside = self.columns.all ^ self.columns.mask(family)
            for place in family:
                self.families[place] = 1 << number
                self.outside[place] = outside

    def _lay_out_gains(self) -> None:
        """For each quality and each need from 0 on: min(need, gain) of every candidate, as a column."""
        rows = [[0] * len(self.candidates) for _ in self.qualities]
        for place, own in enumerate(self.gains):
            for quality, gain in own:
                rows[quality][place] = gain
        self.gain_columns: list[list[int]] = []
        for row, need in zip(rows, self.needs, strict=True):
            table, most = [0], max(row, default=0)
            for points in range(1, need + 1):
                if points <= most:
                    table.append(self.columns.pack([gain if gain < points else points for gain in row]))
                else:
                    table.append(table[-1])
            self.gain_columns.append(table)

    def add(self, place: int, needs: list[int]) -> tuple[int, list[int]]:
        """Return what a candidate is worth where these needs are still open, and the needs it leaves open."""
        value = self.preference[place]
        left = needs[:]
        for quality, gain in self.gains[place]:
            points = left[quality]
            if points > gain:
                left[quality] = points - gain
                value += A_POINT * gain
            elif points:
                left[quality] = 0
                value += A_POINT * points
        return value, left


def _id(candidate: Candidate) -> str:
    return candidate.exercise
