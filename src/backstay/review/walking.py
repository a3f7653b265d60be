"""Walking: every situation of a space answered, in as many processes as there are, and counted.

    walk(folders, against, quick, processes, progress) -> Review

The space is cut into stretches that are handed out one by one. Each process loads the same compiled knowledge for
itself, answers a stretch and gives back its tally, so that nothing is shared and memory stays flat. With one process
everything is done in this one.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from backstay.review.comparing import Comparer, Comparison
from backstay.review.solving import Solver
from backstay.review.space import Space, space_of
from backstay.review.tally import Tally

STRETCH = 1_000
Stretch = tuple[int, int]
Progress = Callable[[int, int], None]  # situations done, and of how many


class Review(NamedTuple):
    """A walk that was made."""

    bases: tuple[Base, ...]  # the one reviewed, and the one before where there is one
    space: Space
    tally: Tally
    comparer: Comparer | None = None
    comparison: Comparison | None = None


class Walker:
    """One process's means: a solver for each base, and the space."""

    def __init__(self, bases: Sequence[Base], space: Space) -> None:
        self.space = space
        self.solver = Solver(bases[0])
        self.other = Solver(bases[1]) if len(bases) > 1 else None
        self.comparer = Comparer(bases[1], bases[0]) if len(bases) > 1 else None

    def walk(self, stretch: Stretch) -> tuple[Tally, Comparison | None]:
        """Answer the situations of a stretch."""
        tally, solver = Tally(), self.solver
        comparison = Comparison() if self.other is not None else None
        for number, situation in enumerate(self.space.situations(*stretch), start=stretch[0]):
            solved = solver.answer(situation)
            tally.see(number, situation, solved, solver)
            if comparison is not None and self.other is not None and self.comparer is not None:
                before = self.other.answer(situation)
                same = before.answer == solved.answer
                causes = frozenset() if same else self.comparer.causes(before, solved)
                comparison.see(situation, before.answer, solved.answer, causes)
        tally.problems, solver.problems = solver.problems, set()
        tally.solved, solver.solved = solver.solved, 0
        return tally, comparison


def walk(
    folders: Sequence[str],
    against: Sequence[str] | None = None,
    quick: bool = False,
    processes: int | None = None,
    progress: Progress | None = None,
) -> Review:
    """Walk the space of the built-in knowledge with these folders over it; `against` are those of before a change."""
    layers = [tuple(folders)] if against is None else [tuple(folders), tuple(against)]
    bases = [load(folders) for folders in layers]
    return walk_space(bases, space_of(bases, quick), layers, processes, progress)


def walk_space(
    bases: Sequence[Base],
    space: Space,
    layers: Sequence[tuple[str, ...]] = (),
    processes: int | None = None,
    progress: Progress | None = None,
) -> Review:
    """Walk a space with a base, or with two of which the second is the one before; without layers in this process."""
    tally = Tally()
    comparison = Comparison() if len(bases) > 1 else None
    count = (processes or os.cpu_count() or 1) if layers else 1
    stretches = [(start, min(start + STRETCH, space.size)) for start in range(0, space.size, STRETCH)]
    for part, compared in _walked(bases, layers, space, stretches, count):
        tally.add(part)
        if comparison is not None and compared is not None:
            comparison.add(compared)
        if progress is not None:
            progress(tally.situations, space.size)
    comparer = Comparer(bases[1], bases[0]) if len(bases) > 1 else None
    return Review(tuple(bases), space, tally, comparer, comparison)


def _walked(
    bases: Sequence[Base], layers: Sequence[tuple[str, ...]], space: Space, stretches: Sequence[Stretch], count: int
) -> Iterator[tuple[Tally, Comparison | None]]:
    if count == 1:
        yield from map(Walker(bases, space).walk, stretches)
        return
    from multiprocessing import get_context
    from multiprocessing.connection import wait

    # Processes that are started anew share nothing with this one, whatever threads it has.
    context = get_context("spawn")
    open_ends: list[Any] = []
    processes = []
    try:
        for number in range(count):
            mine, theirs = context.Pipe(duplex=False)
            process = context.Process(
                target=_walk_share, args=(tuple(layers), space, stretches[number::count], theirs), daemon=True
            )
            process.start()
            theirs.close()
            open_ends.append(mine)
            processes.append(process)
        while open_ends:
            for end in list[Any](wait(open_ends)):
                try:
                    found: tuple[Tally, Comparison | None] = end.recv()
                except EOFError:
                    open_ends.remove(end)
                else:
                    yield found
        for process in processes:
            process.join()
            if process.exitcode:
                raise RuntimeError(f"a walking process ended with status {process.exitcode}")
    finally:
        for process in processes:
            process.terminate()
            process.join()


def _walk_share(layers: Sequence[tuple[str, ...]], space: Space, stretches: Sequence[Stretch], into: Any) -> None:
    """Walk one process's share and hand over each tally as it is made."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever interrupts interrupts the process that asked
    walker = Walker([load(folders) for folders in layers], space)
    for stretch in stretches:
        into.send(walker.walk(stretch))
