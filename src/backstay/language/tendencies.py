"""Tendencies: what the words and shapes of a whole message make likely to be wanted, where cues are few or at odds.

Each want has a weight for what may be seen in a message: a family of words or a fact (`seen`), a word that is part of
no fact (`words`), the same in the last sentence (`last`). They were fitted once to the labelled messages of the tests
by a script and stand in a file as numbers. Their sum says how likely each want is; cues and leans speak beside them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from backstay.knowledge.slots import FIGURES
from backstay.language.scene import Scene

Tendencies = Mapping[str, Sequence[tuple[str, float]]]
"""For each feature the wants it speaks for or against, and how much."""
SEEN, WORD, LAST = "seen ", "word ", "last "
FIGURE = "#"
BRIEF, LONG = 4, 16  # words
KEPT = frozenset(FIGURES) | {"asks", "tells", "ends-open", "brief", "two-exercises", "lacks", "refuses", "test"}
OURS = frozenset({
    "area", "muscle", "lift", "exercise", "pain", "equipment", "sensation", "fault", "moment", "aim", "weeks-to-meet",
    "training-days", "minutes", "phase", "pain-score", "pain-weeks", "today-state", "state", "leg-symptom", "test",
    "best", "movement", "load", "done",
})  # fmt: skip
"""What a message that is about training a back says something of."""


def features(scene: Scene, present: Mapping[int, Mapping[str, int]]) -> set[str]:
    """What can be seen in a message; `present` is what fills each of its sentences."""
    words = scene.words
    size = len(words)
    found = {SEEN + slot for here in present.values() for slot in here if slot in KEPT}
    found.update([SEEN + one.name for one in scene.wants if one.kind == "hint"])
    part = [False] * size
    said = set()
    for one in scene.mentions:
        if one.kind == "phrase":
            for name, _ in one.says:
                said.add(name.partition(".")[0])
                part[one.start : one.end] = [True] * (one.end - one.start)
    found.update([f"{SEEN}said {name}" for name in said])
    if not said:
        found.add(SEEN + "nothing said")
    if size and OURS.isdisjoint(said):
        found.add(SEEN + "not-ours")
        found.add(f"{SEEN}not-ours first {words.words[0] if words.words[0].isalpha() else FIGURE}")
        if words.asks[-1]:
            found.add(SEEN + "not-ours asks")
    sentence_of = scene.clauses.sentence
    final = sentence_of[-1] if size else 0
    for at in range(size):
        if part[at]:
            continue
        word = words.words[at] if words.words[at].isalpha() else FIGURE
        found.add(WORD + word)
        if sentence_of[at] == final:
            found.add(LAST + word)
    if size:
        found.add(f"{SEEN}first {FIGURE if not words.words[0].isalpha() else words.words[0]}")
        if words.asks[-1]:
            found.add(SEEN + "asks at last")
    found.add(SEEN + ("few words" if size <= BRIEF else "many words" if size >= LONG else "some words"))
    return found


def tended(found: set[str], tendencies: Tendencies) -> dict[str, float]:
    """How likely each want is, as the sum of what speaks for it; nothing where nothing is known of the message."""
    sums: dict[str, float] = {}
    for feature in found:
        for want, weight in tendencies.get(feature, ()):
            sums[want] = sums.get(want, 0.0) + weight
    return sums
