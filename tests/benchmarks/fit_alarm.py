"""Fit the weights of knowledge/words/alarm.txt to all labelled messages of the tests.

    python tests/benchmarks/fit_alarm.py             say how it does on each batch when it has not seen it
    python tests/benchmarks/fit_alarm.py --write     and write the list, fitted to all of them

Needs scikit-learn (extra `bench`). A logistic model over words, pairs and pieces of words; the marks lie where so many
of the messages that need no stop would wrongly be stopped or asked about, by batches the model had not seen.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import yaml
from sklearn.feature_extraction import DictVectorizer
from sklearn.linear_model import LogisticRegression

from backstay.knowledge.base import Base
from backstay.knowledge.loading import load
from backstay.language.alarm import features
from backstay.language.matching import Automaton
from backstay.language.scene import take_apart

TESTS = Path(__file__).parents[1]
LIST = TESTS.parent / "knowledge" / "words" / "alarm.txt"
TODAY = date(2026, 11, 25)
MUST_STOP = ("emergency", "urgent")
SOFTNESS = 20.0  # inverse of the penalty on weights
KEPT = 7000  # weights in the list; the rest are too small to matter
# Shares of messages without a stop sign that a mark may catch, of emergencies that may be taken for less, and of
# urgent messages that may overrule a phrase.
FALSE_STOPS = 0.02
NEEDLESS = 0.045
TAKEN_FOR_LESS = 0.02
TAKEN_FOR_MORE = 0.03
FOLDS = 6
HEAD = """\
# How much a word, a pair of words or a piece of a word (~) weighs towards a stop sign, and among stop signs towards an
# emergency, in hundredths. Fitted by tests/benchmarks/fit_alarm.py to the labelled messages of the tests, not written
# by hand; what a phrase says goes before it. See src/backstay/language/alarm.py.
"""


class Told(NamedTuple):
    """One labelled message, as its words are read."""

    words: tuple[str, ...]
    tier: str
    batch: str


class Fit(NamedTuple):
    """Weights by feature and what an empty message weighs."""

    vectorizer: Any
    weights: Any
    start: float

    def __call__(self, told: Sequence[Told]) -> Any:
        return self.vectorizer.transform([vector(one) for one in told]) @ self.weights + self.start


def messages(base: Base) -> list[Told]:
    """All messages of the tests that are labelled with how soon to be seen, or with no sign at all."""
    net = Automaton(base.automaton)
    told = []
    for file in sorted([*TESTS.glob("screening/messages-*.yaml"), *TESTS.glob("language/first-contact/*.yaml")]):
        for case in yaml.safe_load(file.read_text(encoding="utf-8")):
            expect = case.get("expect", case)
            tier = expect.get("tier", "flagged" if "red-flag" in expect.get("facts", ()) else "none")
            if tier != "flagged":
                words = tuple(take_apart(net, case["text"], TODAY).words.words)
                told.append(Told(words, tier, file.stem))
    return told


def vector(told: Told) -> dict[str, float]:
    """A message as numbers: each feature the same, all together of length one."""
    found = {feature for feature, _ in features(told.words)}
    return dict.fromkeys(found, len(found) ** -0.5) if found else {}


def fitted(told: Sequence[Told], yes: Sequence[bool]) -> Fit:
    """Fit one model."""
    vectorizer = DictVectorizer()
    model = LogisticRegression(C=SOFTNESS, max_iter=5000, class_weight="balanced")
    model.fit(vectorizer.fit_transform([vector(one) for one in told]), list(yes))
    return Fit(vectorizer, model.coef_[0], float(model.intercept_[0]))


def both(told: Sequence[Told]) -> tuple[Fit, Fit]:
    """Fit the model of stops, and among stops that of emergencies."""
    stops = [one for one in told if one.tier in MUST_STOP]
    return (
        fitted(told, [one.tier in MUST_STOP for one in told]),
        fitted(stops, [one.tier == "emergency" for one in stops]),
    )


def unseen(told: list[Told]) -> tuple[Any, Any]:
    """What each message weighs by models that saw no message of its batch."""
    stop, now = np.zeros(len(told)), np.zeros(len(told))
    batches = list(dict.fromkeys(one.batch for one in told))
    for fold in (set(batches[start::FOLDS]) for start in range(FOLDS)):
        here = [place for place, one in enumerate(told) if one.batch in fold]
        models = both([one for one in told if one.batch not in fold])
        stop[here], now[here] = (model([told[place] for place in here]) for model in models)
    return stop, now


def marks(told: list[Told], stop: Any, now: Any) -> dict[str, float]:
    """Where the decisions lie."""
    must = np.array([one.tier in MUST_STOP for one in told])
    emergency = np.array([one.tier == "emergency" for one in told])
    # Messages that come near a sign: plain ones lie far off, and would let the marks slip down among these.
    near = ~must & np.array([one.batch.startswith(("messages", "safety")) for one in told])
    return {
        "stop": float(np.quantile(stop[near], 1 - FALSE_STOPS)),
        "ask": float(np.quantile(stop[near], 1 - NEEDLESS)),
        "now": float(np.quantile(now[emergency], TAKEN_FOR_LESS)),
        "surely": float(np.quantile(now[must & ~emergency], 1 - TAKEN_FOR_MORE)),
    }


def report(told: list[Told], stop: Any, now: Any, at: dict[str, float]) -> None:
    """Print what the list alone would do to each batch it has not seen."""
    print({name: round(mark, 2) for name, mark in at.items()})
    for batch in dict.fromkeys(one.batch for one in told):
        here = np.array([one.batch == batch for one in told])
        must = here & np.array([one.tier in MUST_STOP for one in told])
        rest = here & ~must
        counts = [
            f"of {of.sum():3} {name}: stopped {(stop[of] >= at['stop']).sum():3}, asked "
            f"{((stop[of] < at['stop']) & (stop[of] >= at['ask'])).sum():3}"
            for name, of in (("signs", must), ("others", rest))
        ]
        print(f"{batch:26} {'   '.join(counts)}")


def write(told: list[Told], at: dict[str, float]) -> None:
    """Write the list, fitted to all messages."""
    stop, now = both(told)
    names = stop.vectorizer.get_feature_names_out()
    urgent = dict(zip(now.vectorizer.get_feature_names_out(), now.weights, strict=True))
    cut = np.sort(np.abs(stop.weights))[::-1][min(KEPT, len(names) - 1)]
    lines = [f"= {name}\t{round(100 * mark)}" for name, mark in at.items()]
    lines += [f"= at-stop\t{round(100 * stop.start)}", f"= at-now\t{round(100 * now.start)}"]
    for name, weight in sorted(zip(names, stop.weights, strict=True)):
        if abs(weight) > cut:
            lines.append(f"{name}\t{round(100 * weight)}\t{round(100 * urgent.get(name, 0.0))}")
    LIST.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")


def main(options: Sequence[str]) -> None:
    """Fit, report, and write on demand."""
    told = messages(load())
    stop, now = unseen(told)
    at = marks(told, stop, now)
    report(told, stop, now, at)
    if "--write" in options:
        write(told, at)


if __name__ == "__main__":
    main(sys.argv[1:])
