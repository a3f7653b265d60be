"""Provocation: which of the movements named provoke, which ease, and which leave it alone.

The nearest cue in the clause decides: what hurts or sets it off, what takes it away, what is fine. A movement without a
cue of its own takes that of the movement it is listed with; without any it is no fact.
"""

from __future__ import annotations

from backstay.language.cleaning import SENTENCE
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention

PROVOKES, EASES, NEITHER = "provoked-by", "eased-by", ""
ONLY_EASES = frozenset({"rest", "moving", "warm-up", "heat"})
FELT = ("pain", "sensation")
FARTHEST = 10
SENSES = frozenset({"ache", "sharp", "spasm", "tight", "stiff", "sore"})


def settle_provocation(draft: Draft) -> None:
    """Add provoked-by and eased-by."""
    scene = draft.scene
    moves = [one for one in scene.mentions if one.kind == "phrase" and one.says_any("movement") and not one.scope]
    if not moves:
        return
    cues = _cues(draft)
    before: tuple[Mention, str] | None = None
    for move in sorted(moves, key=lambda one: one.start):
        kind = _nearest(draft, move, cues)
        if kind is None and before is not None and _listed(draft, before[0], move):
            kind = before[1]
        if kind is None:
            continue
        before = (move, kind)
        value = move.value("movement")
        if kind == PROVOKES and value not in ONLY_EASES:
            draft.say(PROVOKES, value, move.start, move.end)
            if value == "twisting" and not draft.has("twist-toward"):
                draft.drop([note for note in draft.of("fault") if note.value == "twists"])
        elif kind == EASES:
            draft.say(EASES, value, move.start, move.end)


def _cues(draft: Draft) -> list[tuple[int, int, str]]:
    found = []
    for one in draft.scene.mentions:
        if one.kind == "idea" and one.name in ("sets-off", "takes-away", "leaves-alone"):
            kind = {"sets-off": PROVOKES, "takes-away": EASES, "leaves-alone": NEITHER}[one.name]
            found.append((one.start, one.end, kind))
        elif one.kind == "phrase" and one.says_any(*FELT):
            if one.value("pain") == "absent" or one.scope:
                found.append((one.start, one.end, NEITHER))
            elif one.value("pain") == "present" or one.value("sensation") in SENSES:
                found.append((one.start, one.end, PROVOKES))
    return found


def _nearest(draft: Draft, move: Mention, cues: list[tuple[int, int, str]]) -> str | None:
    """The kind of the nearest cue in the clause, or in the sentence right beside the movement."""
    clauses = draft.scene.clauses
    best: tuple[float, str] | None = None
    for start, end, kind in cues:
        if start < move.end and move.start < end:
            continue
        if clauses.sentence[start] != clauses.sentence[move.start]:
            continue
        gap = float(start - move.end if start >= move.end else move.start - end)
        if gap > FARTHEST:
            continue
        if clauses.clause[start] != clauses.clause[move.start]:
            gap += 6
        if kind == EASES and start < move.start:
            gap -= 0.5  # better when moving
        if best is None or gap < best[0]:
            best = (gap, kind)
    return None if best is None else best[1]


def _listed(draft: Draft, first: Mention, second: Mention) -> bool:
    words = draft.scene.words
    between = words.words[first.end : second.start]
    return (
        len(between) <= 2
        and all(word in ("or", "and", "also", "the") for word in between)
        and words.breaks[second.start] != SENTENCE
    )
