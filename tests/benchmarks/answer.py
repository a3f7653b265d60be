"""Time of a warm answer, and of its parts: reading, concluding, planning, and all of it.

    python tests/benchmarks/answer.py [ROUNDS]

Prints medians over a set of messages in milliseconds of processor time; then, over all messages of strangers, what an
answer takes that asks something back and weighed facts for it, and what any other takes.
"""

import statistics
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from time import process_time

import yaml

from backstay.assistant import Assistant
from backstay.case import Case
from backstay.coaching import worth
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


STRANGERS = Path(__file__).parents[1] / "language" / "first-contact"
FEW = 5  # rounds for each message of strangers


def of_strangers() -> Iterator[str]:
    """All messages that were written by people who had not seen the phrases."""
    for file in sorted(STRANGERS.glob("*.yaml")):
        for entry in yaml.safe_load(file.read_text(encoding="utf-8")):
            yield entry["text"]


def over_strangers(assistant: Assistant) -> None:
    """Measure an answer to each of them, and print by whether facts were weighed for a question."""
    weighed = []
    best = worth.best
    worth.best = lambda *given: weighed.append(True) or best(*given)  # type: ignore[func-returns-value]
    times: dict[bool, list[float]] = {True: [], False: []}
    for message in of_strangers():
        weighed.clear()
        reply = assistant.answer(message, today=TODAY)
        with_question = bool(weighed) and reply.ask_next is not None
        (taken,) = timed(FEW, lambda one: assistant.answer(one, today=TODAY), [(message,)])
        times[with_question].append(taken)
    for with_question, of_all in times.items():
        ordered = sorted(of_all)
        p95 = ordered[int(0.95 * len(ordered))]
        name = "with a question" if with_question else "without"
        print(
            f"{name:<16} median {statistics.median(ordered):.2f} ms, p95 {p95:.2f} ms, "
            f"greatest {ordered[-1]:.2f} ms, {len(ordered)} messages"
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
    over_strangers(assistant)


if __name__ == "__main__":
    main()
