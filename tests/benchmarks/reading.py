"""Time to read a message, warm: over messages as people write them, over longer ones, and over more phrases.

    python tests/benchmarks/reading.py [MESSAGES.yaml …]

Prints milliseconds of processor time: median and the 95th of a hundred over the messages (those of the tests if
none are named); the time a word as a message grows to 2, 4 … 16 times its length; and the median with 2,000 and 8,000
phrases added that no message uses. Reading is to grow with the message, and not with the number of phrases.
"""

from __future__ import annotations

import datetime
import statistics
import sys
from pathlib import Path
from time import process_time
from typing import Any

import yaml

from backstay.knowledge.loading import load
from backstay.language.matching import Automaton
from backstay.language.reading import understand
from backstay.language.scene import take_apart

TODAY = datetime.date(2026, 11, 25)
MESSAGES = Path(__file__).parent.parent / "language" / "messages"
TIMES = 5


def texts(paths: list[Path]) -> list[str]:
    """What the messages of some files say."""
    every = [case for path in paths for case in yaml.safe_load(path.read_text(encoding="utf-8"))]
    return [case.get("say") or case["text"] for case in every]


def least(read: Any, text: str) -> float:
    """The least of a few times, in milliseconds: what reading takes when nothing else interferes."""
    best = float("inf")
    for _ in range(TIMES):
        start = process_time()
        read(text)
        best = min(best, process_time() - start)
    return best * 1000


def main() -> None:
    """Measure, and print."""
    named = [Path(name) for name in sys.argv[1:]] or sorted(MESSAGES.glob("*.yaml"))
    messages = texts(named)
    base = load()

    def whole(text: str) -> None:
        understand(base, text, TODAY)

    for text in messages:
        whole(text)
    times = sorted(least(whole, text) for text in messages)
    median, late = statistics.median(times), times[int(len(times) * 0.95)]
    print(f"{len(messages)} messages: median {median:.2f} ms, 95 of 100 within {late:.2f} ms, most {times[-1]:.2f} ms")

    long = "my low back gets tight in the snatch when the bar passes the knee, and I train four times a week. "
    for factor in (1, 2, 4, 8, 16):
        text = long * factor
        words = len(text.split())
        print(f"  {words:4} words: {least(whole, text) / words * 1000:6.1f} us a word")

    for more in (0, 2_000, 8_000):
        automaton = _grown(more)
        times = sorted(
            least(lambda text, read=automaton: take_apart(read, text, TODAY), text) for text in messages[:200]
        )
        print(f"  {more:5} phrases more: median {statistics.median(times):.2f} ms to take a message apart")


def _grown(more: int) -> Automaton:
    """The built-in phrases with others beside them that share their words but stand in no message."""
    from backstay.knowledge.automaton import compile_phrases

    base = load()
    entries = [
        {
            "phrase": f"other-{number}",
            "says": {"units": "metric"},
            "forms": [f"low back qx{number} [of|in] the (snatch|clean)"],
        }
        for number in range(more)
    ]
    folder = Path(__file__).parent.parent.parent / "knowledge"
    read: list[dict[str, Any]] = []
    for path in sorted((folder / "phrases").glob("*.yaml")):
        read += yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    names = [("exercise", one.exercise, (one.name, *one.also)) for one in base.exercises.values()]
    words = {path.stem: path.read_text(encoding="utf-8") for path in (folder / "words").glob("*.txt")}
    data, _ = compile_phrases([*read, *entries], base.attributes, names, words)
    return Automaton(data)


if __name__ == "__main__":
    main()
