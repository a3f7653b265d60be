"""Random problems of choice for the tests and benchmarks of the menu."""

from __future__ import annotations

import random
from typing import NamedTuple

from backstay.coaching.menu import Candidate, Limits

QUALITIES = tuple(f"q{number:02d}" for number in range(30))


class Instance(NamedTuple):
    """Needs, candidates and limits."""

    needs: dict[str, int]
    candidates: list[Candidate]
    limits: Limits


def instance(seed: int, size: int) -> Instance:
    """A problem like those of a real knowledge: patterns that share qualities, families within patterns, few needs."""
    chance = random.Random(seed)
    patterns = [{quality: chance.randint(1, 3) for quality in chance.sample(QUALITIES, 6)} for _ in range(14)]
    candidates = []
    for number in range(size):
        pattern = chance.randrange(len(patterns))
        gains = {}
        for quality, gain in patterns[pattern].items():
            if chance.random() < 0.75:
                gains[quality] = max(1, min(3, gain + chance.choice((-1, 0, 0, 1))))
        if chance.random() < 0.5:
            gains[chance.choice(QUALITIES)] = chance.randint(1, 2)
        weight, sets, times = chance.choice((0, 1, 2)), chance.choice((2, 3, 3, 4)), chance.choice((1, 1, 2))
        candidates.append(
            Candidate(
                exercise=f"x{number:02d}",
                gains=gains,
                preference=chance.choice((0, 0, 0, 0, 1, 1, 2, -1, -2, 3, -3)),
                minutes=chance.randint(4, 11),
                stress=weight * sets * times,
                least_stress=weight * times,
                family=f"{pattern}-{chance.randrange(3)}",
            )
        )
    needs = {name: chance.choice((2, 3, 3, 4, 5, 6)) for name in chance.sample(QUALITIES, chance.randint(3, 10))}
    minutes, stress = chance.choice((None, None, 15, 20, 30)), chance.choice((None, 6, 10, 16))
    return Instance(needs, candidates, Limits(minutes, stress, chance.choice((2, 3, 4, 5))))


def crowded(seed: int, size: int) -> Instance:
    """A problem full of ties and near misses: few qualities, equal preferences, tight limits."""
    chance = random.Random(seed)
    qualities = QUALITIES[: chance.randint(2, 6)]
    candidates = []
    for number in range(size):
        weight, sets = chance.choice((0, 1, 2)), chance.choice((2, 3))
        own = chance.sample(qualities, chance.randint(1, len(qualities)))
        candidates.append(
            Candidate(
                exercise=f"x{number:02d}",
                gains={name: chance.randint(1, 3) for name in own},
                preference=chance.choice((0, 0, 1, -1, -7)),
                minutes=chance.choice((4, 5, 6)),
                stress=weight * sets,
                least_stress=weight,
                family=chance.choice(("", f"f{chance.randrange(6)}")),
            )
        )
    needs = {name: chance.randint(1, 6) for name in qualities}
    limits = Limits(chance.choice((None, 10, 15, 16)), chance.choice((None, 2, 4)), chance.choice((None, 1, 2, 3, 4)))
    return Instance(needs, candidates, limits)
