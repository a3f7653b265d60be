"""How long the review of the built-in knowledge takes, and whether its memory stays flat.

python tests/benchmarks/review.py walks              a sample of each walk: process time, what repeats
python tests/benchmarks/review.py whole [PROCESSES]  the whole space: time, situations a second, memory by tenths
"""

from __future__ import annotations

import resource
import sys
import time

from backstay.knowledge.loading import load
from backstay.review.solving import Solver
from backstay.review.space import space_of
from backstay.review.tally import Tally
from backstay.review.walking import walk

SAMPLE = 6_000


def walks() -> None:
    """Answer and count a run of situations from the middle of each walk, as a process of a review does."""
    base = load()
    began = time.process_time()
    space = space_of([base])
    print(f"laid out in {time.process_time() - began:.1f} s: {space.size} situations")
    for one in space.walks:
        count = min(SAMPLE, one.size)
        first = (one.size - count) // 2
        solver, tally = Solver(base), Tally()
        began = time.process_time()
        for number in range(first, first + count):
            situation = one.situation(number)
            tally.see(number, situation, solver.answer(situation), solver)
        spent = time.process_time() - began
        print(
            f"{one.name:8} {one.size:7} situations   {spent / count * 1000:6.3f} ms each   "
            f"{len(solver.problems) / count:6.1%} distinct choices   all: {spent / count * one.size:5.0f} s"
        )


def whole(processes: int) -> None:
    """Walk everything; memory is the most that one process has held so far."""
    began = time.monotonic()
    shown = 0

    def progress(done: int, of: int) -> None:
        nonlocal shown
        if done * 10 // of > shown:
            shown = done * 10 // of
            held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            print(f"{shown * 10:4} %   {time.monotonic() - began:6.1f} s   {held:5.0f} MB in this process", flush=True)

    review = walk((), processes=processes, progress=progress)
    seconds = time.monotonic() - began
    theirs = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = time.process_time() + theirs.ru_utime + theirs.ru_stime
    tally = review.tally
    print(
        f"{tally.situations} situations, {len(tally.problems)} distinct choices, {tally.solved} solved, "
        f"{processes} processes: {seconds:.0f} s, {spent:.0f} s of process time, {tally.situations / seconds:.0f}/s; "
        f"the largest other process held {theirs.ru_maxrss / 1024:.0f} MB"
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["whole"]:
        whole(int(sys.argv[2]) if sys.argv[2:] else 2)
    else:
        walks()
