"""Time of a plan with its computed question and without, over cases of many kinds; what is asked, and how it compares.

    python tests/benchmarks/question.py [ROUNDS]

Prints medians in milliseconds of processor time, then for each case the question; with `--against`, how often it is the
one that choosing again for every answer of every question finds.
"""

import statistics
import sys
from time import process_time
from typing import Any

from backstay.coaching import question, worth
from backstay.coaching.deciding import decide
from backstay.coaching.plan import make_plan
from backstay.coaching.wants import ledger_for
from backstay.coaching.weighing import Scales
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.loading import load
from backstay.reasoning.engine import conclude

SORE: dict[str, Any] = {"pain": "present", "area": "lower-back", "hurting": ["anywhere", "spine"]}
CASES: tuple[dict[str, Any], ...] = (
    {},
    {"fault": "rounds", "moment": "first-pull"},
    {"fault": "rounds", "moment": "first-pull", "weeks-to-meet": 6, "pain": "absent"},
    {"fault": "twists", "moment": "catch", "lift": "snatch"},
    {"fault": "twists", "twist-toward": "right", "lift": "snatch", "pain": "absent", "level": "advanced", "age": 27},
    {"lift": "clean", "sensation": "tired", "area": "lower-back"},
    SORE,
    {**SORE, "pain-score": 3, "lift": "clean", "moment": "first-pull", "weeks-to-meet": 5, "training-days": 6},
    {**SORE, "provoked-by": "bending", "pain-score": 2, "pain-weeks": 1},
    {"want": "swap", "lacks": "reverse-hyperextension-bench"},
    {"want": "week"},
    {"want": "week", "training-days": 4, "minutes": 15},
    {"want": "week", "phase": "specific-preparation", "level": "beginner", "age": 16},
    {"want": "block", "weeks-to-meet": 10},
    {"want": "dose", "exercise": "back-extension"},
    {"want": "dose", "exercise": "romanian-deadlift", "weeks-to-meet": 8},
    {"want": "how-to", "exercise": "reverse-hyperextension"},
    {"aim": "endurance", "phase": "general-preparation", "level": "intermediate"},
    {"kit": "none", "minutes": 10},
    {"occasion": "warm-up"},
)
Case = tuple[str, tuple[str, ...], list[Fact]]


def cases() -> list[Case]:
    """Each case as its want, the exercises named, and facts."""
    made: list[Case] = []
    for case in CASES:
        told = {"want": "recommend", **case}
        facts = [Fact(n, v) for n, held in told.items() for v in (held if isinstance(held, list) else [held])]
        made.append((str(told["want"]), (told["exercise"],) if "exercise" in told else (), facts))
    return made


def planned(base: Base, case: Case) -> Any:
    """The plan of a case, from its facts on."""
    want, named, facts = case
    return make_plan(base, conclude(base, facts), want, named)


def without(base: Base, case: Case) -> Any:
    """What of it is done without looking for a question."""
    want, named, facts = case
    findings = conclude(base, facts)
    return decide(base, findings, ledger_for(base, findings, want, named).resolved, want, named)


def against(base: Base, case: Case) -> tuple[bool, float]:
    """Whether the question found is the best there is, and its score as a share of the best score."""
    want, named, facts = case
    findings = conclude(base, facts)
    ledger = ledger_for(base, findings, want, named)
    decision = decide(base, findings, ledger.resolved, want, named)
    asked = [fact for _, fact in question.worth_asking(base, findings, ledger.resolved)]
    scales = Scales(base, ledger, decision, want, named)
    found = worth.best(base, findings, scales, asked)
    scores = worth.exact_scores(base, findings, scales, asked)
    most = max(scores.values(), default=0)
    if found is None:
        return not most, 1.0 if not most else 0.0
    return scores[found.fact] == most, scores[found.fact] / most if most else 0.0


def timed(rounds: int, do: Any, base: Base, case: Case) -> float:
    """Milliseconds, the middle one of some rounds."""
    taken = []
    for _ in range(rounds):
        start = process_time()
        do(base, case)
        taken.append((process_time() - start) * 1000)
    return statistics.median(taken)


def main() -> None:
    """Measure and print."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 and sys.argv[1].isdigit() else 15
    base = load()
    every = cases()
    for name, do in (("without", without), ("with", planned)):
        times = [timed(rounds, do, base, case) for case in every]
        print(f"{name:<9} median {statistics.median(times):.2f} ms, greatest {max(times):.2f} ms")
    for case, told in zip(every, CASES, strict=True):
        time = timed(rounds, planned, base, case)
        print(f"  {time:6.2f} ms  {planned(base, case).ask_next!s:<18} {told}")
    if "--against" in sys.argv:
        pairs = [against(base, case) for case in every]
        same, shares = sum(best for best, _ in pairs), [share for _, share in pairs]
        print(f"the best question in {same} of {len(every)} cases; of the best score {min(shares):.2f} at least")


if __name__ == "__main__":
    main()
