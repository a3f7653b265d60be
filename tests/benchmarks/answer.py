"""Time of a warm answer, and of its parts: reading, concluding, planning, and all of it.

    python tests/benchmarks/answer.py [ROUNDS]

Prints medians over a set of messages in milliseconds of processor time.
"""

import statistics
import sys
from datetime import date
from time import process_time

from backstay.assistant import Assistant
from backstay.case import Case
from backstay.coaching.plan import make_plan
from backstay.language.reading import understand
from backstay.reasoning.engine import conclude

TODAY = date(2026, 11, 25)
MESSAGES = (
    "my back rounds when the bar leaves the floor, 6 weeks out",
    "I turn to the right when I catch a heavy snatch, what do I do",
    "low back hurts 3 out of 10 in the clean off the floor, 5 weeks out, I train 6 days",
    "how do I set up a reverse hyperextension",
    "sets and reps for back extensions?",
    "no reverse hyper at my gym, what do i do instead",
    "make me a week, 4 sessions, 15 minutes after each one",
    "plan the back work for the 10 weeks till my meet",
    "numb between my legs since the deadlifts yesterday",
    "why no good mornings",
)


def timed(rounds: int, do: object, arguments: list[tuple[object, ...]]) -> list[float]:
    """Milliseconds of each call, the middle one of some rounds."""
    assert callable(do)
    times = []
    for one in arguments:
        taken = []
        for _ in range(rounds):
            start = process_time()
            do(*one)
            taken.append((process_time() - start) * 1000)
        times.append(statistics.median(taken))
    return times


def main() -> None:
    """Measure and print."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 31
    assistant = Assistant()
    base = assistant.base
    for message in MESSAGES:
        assistant.answer(message, today=TODAY)
    readings = [understand(base, message, TODAY) for message in MESSAGES]
    cases = [Case().absorb(reading, base.attributes) for reading in readings]
    facts = [case.for_reasoning(reading.want) for case, reading in zip(cases, readings, strict=True)]
    found = [conclude(base, held) for held in facts]
    plans: list[tuple[object, ...]] = [
        (base, findings, reading.want, case.about(reading))
        for findings, reading, case in zip(found, readings, cases, strict=True)
    ]
    parts = {
        "read": timed(rounds, understand, [(base, message, TODAY) for message in MESSAGES]),
        "conclude": timed(rounds, conclude, [(base, held) for held in facts]),
        "plan": timed(rounds, make_plan, plans),
        "answer": timed(rounds, lambda message: assistant.answer(message, today=TODAY), [(one,) for one in MESSAGES]),
    }
    for name, times in parts.items():
        print(f"{name:<9} median {statistics.median(times):.2f} ms, greatest {max(times):.2f} ms")
    for message, time in zip(MESSAGES, parts["answer"], strict=True):
        print(f"  {time:6.2f} ms  {message}")


if __name__ == "__main__":
    main()
