"""How long a week and a block take: random weeks beside a general solver, and whole blocks of the built-in knowledge.

    python tests/benchmarks/week.py [RUNS]

Prints milliseconds of process time, median and 95 %, for menu and days of a week at 12 and 45 candidates; the same told
to the solver, with the ratio of the medians; and a block of 12 weeks.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from backstay.assistant import Assistant
from backstay.coaching.block import make_block
from backstay.coaching.menu import Choice
from backstay.coaching.packing import best_packed
from backstay.coaching.week import lay_week
from backstay.knowledge.facts import Fact
from backstay.reasoning.engine import conclude
from coaching.weeks_solved import WeekTold, menu_solved, placing_solved, week_told

RUNS = 100
FAULTS = ("rounds", "hips-rise-first", "twists", "tips-forward")


def timed(work: Callable[[], object]) -> float:
    """Milliseconds of process time that work takes."""
    began = time.process_time()
    work()
    return (time.process_time() - began) * 1000


def shown(name: str, times: list[float]) -> float:
    """Print what was measured, and return the median."""
    late = sorted(times)[int(len(times) * 0.95)]
    print(f"{name:32} median {median(times):8.2f} ms   95 % {late:8.2f} ms   most {max(times):8.2f} ms")
    return median(times)


def ours(told: WeekTold) -> bool:
    """Choose and place a week; whether both are proved best."""
    if told.minutes is None:
        menu = Choice(*told.problem).menu
    else:
        works = {name: (item.minutes, item.times) for name, item in told.items.items()}
        menu = best_packed(*told.problem, (), works, len(told.days)).menu
    laid = lay_week([told.items[name] for name in menu.exercises], told.days, told.minutes)
    return menu.proved and laid.proved


def solver(told: WeekTold) -> None:
    """The same, told to the general solver."""
    names = menu_solved(told)[3]
    placing_solved([told.items[name] for name in names], told.days, told.minutes)


def main(runs: int) -> None:
    """Measure weeks of two sizes, then blocks."""
    for size in (12, 45):
        weeks = [week_told(seed, size) for seed in range(runs)]
        ours(weeks[0])
        cut_short = sum(not ours(told) for told in weeks)
        mine = shown(f"week, {size} candidates", [timed(partial(ours, told)) for told in weeks])
        theirs = shown("  general solver", [timed(partial(solver, told)) for told in weeks])
        print(f"  ratio of medians {theirs / mine:.1f}   not proved {cut_short} of {runs}")
    base = Assistant().base
    today = date(2026, 3, 2)
    blocks = []
    for days in (2, 3, 4, 5, 6):
        for fault in FAULTS:
            found = conclude(base, [Fact("weeks-to-meet", 12.0), Fact("training-days", days), Fact("fault", fault)])
            blocks.append(timed(partial(make_block, base, found, "block", (), today)))
    shown("block of 12 weeks", blocks)


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else RUNS)
