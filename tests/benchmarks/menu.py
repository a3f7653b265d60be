"""How long a choice takes: random problems like real ones, by number of candidates.

    python tests/benchmarks/menu.py [SIZE ...]

Prints milliseconds of process time, median and 95 %, nodes searched, and how many were not proved within the limit.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from backstay.coaching.menu import Menu, best_menu
from coaching.instances import Instance, crowded, instance

RUNS = 400


def measure(name: str, problems: list[Instance]) -> None:
    """Solve each problem and print what it took."""
    best_menu(*problems[0])
    times: list[float] = []
    menus: list[Menu] = []
    for problem in problems:
        began = time.process_time()
        menus.append(best_menu(*problem))
        times.append((time.process_time() - began) * 1000)
    nodes = [menu.nodes for menu in menus]
    late = sorted(times)[int(len(times) * 0.95)]
    unproved = sum(not menu.proved for menu in menus)
    print(
        f"{name:24} median {median(times):6.2f} ms   95 % {late:6.2f} ms   most {max(times):6.2f} ms   "
        f"nodes {median(nodes):.0f}, at most {max(nodes)}   not proved {unproved}"
    )


def main(sizes: list[int]) -> None:
    """Measure all kinds of problem at all sizes."""
    kinds: list[tuple[str, Callable[[int, int], Instance]]] = [("like real ones", instance), ("full of ties", crowded)]
    for size in sizes:
        for name, make in kinds:
            measure(f"{size} {name}", [make(seed, size) for seed in range(RUNS)])


if __name__ == "__main__":
    main([int(size) for size in sys.argv[1:]] or [12, 45, 90])
