"""Wants: what is wanted, from cues weighed over the clause that asks.

Cues are phrase data with weights. Within a sentence the heaviest cue wins, the first of equals; over sentences the
first
that asks with weight 2 or more. A report (log) yields to a question after it. Without any cue the facts decide: a
complaint or a fact is a state, bare keywords or a question mark a wish for advice, and what nobody can read is out of
scope.
"""

from __future__ import annotations

from backstay.knowledge.automaton import MARKS
from backstay.language.mentions import Mention
from backstay.language.scene import Scene

TALKS = frozenset({"i", "my", "we", "he", "she", "his", "her", "our"})
ASKS = 2.0
REPORT = "log"
GREETING = "social"


def wanted(scene: Scene) -> tuple[str, dict[str, float]]:
    """The want, and the best weight of each that has a cue."""
    cues = [cue for cue in _standing(scene.wants) if not _refused(scene, cue) and not _in_a_test(scene, cue)]
    scores: dict[str, float] = {}
    for cue in cues:
        scores[cue.name] = max(scores.get(cue.name, 0.0), _weight(cue))
    by_sentence: dict[int, list[Mention]] = {}
    for cue in cues:
        by_sentence.setdefault(scene.clauses.sentence[cue.start], []).append(cue)
    report = ""
    for sentence in sorted(by_sentence):
        best = max(by_sentence[sentence], key=lambda cue: (_weight(cue), -cue.start))
        if _weight(best) < ASKS:
            continue
        if best.name == REPORT:
            report = REPORT
            continue
        return best.name, scores
    if report:
        return report, scores
    return _without_cue(scene, scores), scores


def _refused(scene: Scene, cue: Mention) -> bool:
    """Whether a cue about exercises only lists those that are refused: `not allowed to do rows or planks`."""
    return cue.name in ("compare", "timing") and any(
        trigger.name == "refuses" and trigger.extra[1] == "forward" and 0 <= cue.start - trigger.end <= 4
        for trigger in scene.triggers
    )


def _in_a_test(scene: Scene, cue: Mention) -> bool:
    return any(
        one.kind == "phrase"
        and one.start <= cue.start
        and cue.end <= one.end
        and any(name.startswith("test.") for name, _ in one.says)
        for one in scene.mentions
    )


def _weight(cue: Mention) -> float:
    return float(cue.extra[1])


def _standing(wants: list[Mention]) -> list[Mention]:
    """Cues that are no part of a longer one of at least their weight."""
    kept: list[Mention] = []
    for cue in sorted(wants, key=lambda one: (one.start - one.end, one.start)):
        inside = any(
            other.start <= cue.start
            and cue.end <= other.end
            and other.end - other.start > cue.end - cue.start
            and (_weight(other) >= _weight(cue) or other.name == cue.name)
            for other in kept
        )
        if not inside:
            kept.append(cue)
    return sorted(kept, key=lambda one: one.start)


def _without_cue(scene: Scene, scores: dict[str, float]) -> str:
    words = scene.words
    said = [one for one in scene.mentions if one.kind != "idea" and any(name not in MARKS for name, _ in one.says)]
    facts = [one for one in said if not one.scope]
    if GREETING in scores and not facts:
        return GREETING
    if words.asks[-1] and said:
        return "recommend"
    attributes = {name for one in scene.mentions if not one.scope for name, _ in one.says}
    target = {"muscle", "aim"} if TALKS & set(words.words) else {"muscle", "aim", "fault"}
    if "equipment" in attributes and attributes & target and not attributes & {"pain", "sensation"}:
        return "recommend"  # a target and what is at hand, in keywords
    if said:
        return "state"
    known = len(words) - len(words.unknown)
    if len(words) == 0 or len(words.unknown) > known:
        return "out-of-scope"
    if any(words.asks) and len(words) > 3:
        return "out-of-scope"
    return "state"
