"""A baseline for honesty: what plain statistics make of messages, beside what the phrases make of them.

    python tests/benchmarks/baseline.py [LABELLED.yaml …]

Two models over character n-grams, the nearest neighbour and a linear one, learn from tests/language/messages (or the
files named) and are scored on the first-contact batches beside ours: share of right wants, F1 over facts. A figure has
to be right as a value, so neither can do well on ages or loads. Needs the extra `bench`.
"""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import yaml
from sklearn.feature_extraction.text import TfidfVectorizer
from sklearn.multiclass import OneVsRestClassifier
from sklearn.neighbors import KNeighborsClassifier
from sklearn.preprocessing import MultiLabelBinarizer
from sklearn.svm import LinearSVC

from backstay.knowledge.loading import load
from backstay.language.reading import understand

TODAY = datetime.date(2026, 11, 25)
FOLDER = Path(__file__).parent.parent / "language"
Fact = tuple[str, str]
Read = tuple[str, set[Fact]]
Case = tuple[str, str, set[Fact], datetime.date]


def facts(told: dict[str, Any]) -> set[Fact]:
    """Labels as (name, value); those of the screening left out."""
    every: set[Fact] = set()
    for name, values in told.items():
        if name == "red-flag":
            continue
        for value in values if isinstance(values, list) else [values]:
            if isinstance(value, dict) and name in ("best", "test", "day-load"):
                every |= {(f"{name}.{key}", plain(figure)) for key, figure in value.items()}
            else:
                every.add((name, plain(value)))
    return every


def plain(value: Any) -> str:
    """A value as text, figures rounded."""
    if isinstance(value, dict):
        return str(sorted((key, plain(one)) for key, one in value.items()))
    return f"{round(float(value), 1):g}" if isinstance(value, int | float) else str(value)


def cases(path: Path) -> list[Case]:
    """The cases of a file in either of the two shapes."""
    found = []
    for case in yaml.safe_load(path.read_text(encoding="utf-8")):
        expect = case.get("expect", case)
        if "want" in expect:
            told = facts({**expect["facts"], **expect.get("more", {})})
            day = datetime.date.fromisoformat(str(case.get("today", TODAY)))
            found.append((case.get("say") or case["text"], expect["want"], told, day))
    return found


class Learned:
    """A model of wants and one of facts, trained on some messages."""

    def __init__(self, train: Sequence[Case], model: Callable[[], Any]) -> None:
        self._vectors = TfidfVectorizer(analyzer="char_wb", ngram_range=(2, 5), sublinear_tf=True, lowercase=True)
        self._labels = MultiLabelBinarizer()
        known = self._vectors.fit_transform(case[0] for case in train)
        self._wants = model().fit(known, [case[1] for case in train])
        marks = self._labels.fit_transform([case[2] for case in train])
        self._facts = OneVsRestClassifier(model()).fit(known, marks)

    def read(self, test: Sequence[Case]) -> list[Read]:
        """What the models make of other messages."""
        asked = self._vectors.transform(case[0] for case in test)
        told = self._labels.inverse_transform(self._facts.predict(asked))
        return [(str(want), set(said)) for want, said in zip(self._wants.predict(asked), told, strict=True)]


def ours(test: Sequence[Case]) -> list[Read]:
    """What the phrases make of them."""
    base = load()
    found = []
    for text, _, _, day in test:
        said = understand(base, text, day)
        shown = {
            (fact.attribute, plain(fact.value))
            for fact in said.facts + said.records
            if base.attributes[fact.attribute.partition(".")[0]].shown != "own"
        }
        found.append((said.want, shown))
    return found


def score(test: Sequence[Case], read: Sequence[Read]) -> str:
    """Want accuracy and F1, in words."""
    names = {name.partition(".")[0] for case in test for name, _ in case[2]}
    right = missed = wrong = wants = 0
    for (_, want, gold, _), (said, told) in zip(test, read, strict=True):
        told = {fact for fact in told if fact[0].partition(".")[0] in names}
        wants += want == said
        right, missed, wrong = right + len(gold & told), missed + len(gold - told), wrong + len(told - gold)
    return f"want {wants / len(test):.2f}  F1 {2 * right / max(1, 2 * right + missed + wrong):.2f}"


def main(paths: Sequence[str]) -> None:
    """Print the three beside each other, a batch a line."""
    files = [Path(path) for path in paths] or sorted((FOLDER / "messages").glob("*.yaml"))
    train = [case for path in files for case in cases(path)]
    print(f"learned from {len(train)} messages")
    near = Learned(train, lambda: KNeighborsClassifier(n_neighbors=1, metric="cosine"))
    line = Learned(train, lambda: LinearSVC(C=1.0, class_weight="balanced"))
    for path in sorted((FOLDER / "first-contact").glob("*.yaml")):
        test = cases(path)
        if not test:
            continue
        figures = {
            "nearest": score(test, near.read(test)),
            "linear": score(test, line.read(test)),
            "ours": score(test, ours(test)),
        }
        print(f"{path.stem:14}", "   ".join(f"{name}: {figure}" for name, figure in figures.items()), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
