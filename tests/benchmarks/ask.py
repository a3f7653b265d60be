"""CPU time of one whole `backstay ask` process against `python -c pass`, in pairs, one after the other.

    python tests/benchmarks/ask.py [PAIRS] [MESSAGE …]

Prints the median of the ratios inside the pairs, and the middle half of them. Run it on an idle machine.
"""

import os
import resource
import shutil
import statistics
import subprocess
import sys
import sysconfig

MESSAGES = ("my back rounds when the bar leaves the floor, 6 weeks out", "revers hypper how many sets")

# As on a user's machine: compiled modules are kept, whatever this shell says.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def cpu(command: list[str]) -> float:
    """Seconds of processor time that a process takes, its children included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True, env=ENVIRONMENT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime - before.ru_utime) + (after.ru_stime - before.ru_stime)


def burst(command: list[str], times: int = 3) -> float:
    """One reading is that of several runs, so that what else the machine does is less of it."""
    return sum(cpu(command) for _ in range(times)) / times


def main() -> None:
    """Measure and print."""
    pairs = int(sys.argv[1]) if len(sys.argv) > 1 else 31
    messages = sys.argv[2:] or MESSAGES
    script = shutil.which("backstay", path=sysconfig.get_path("scripts")) or "backstay"
    bare = [sys.executable, "-c", "pass"]
    for message in messages:
        command = [script, "ask", message]
        cpu(command), cpu(bare)
        ratios = []
        for _ in range(pairs):
            base, ours = burst(bare), burst(command)
            ratios.append(ours / base)
        low, middle, high = statistics.quantiles(ratios, n=4)
        print(f"{middle:.2f}x python -c pass ({low:.2f} to {high:.2f}, {pairs} pairs): {message}")


if __name__ == "__main__":
    main()
