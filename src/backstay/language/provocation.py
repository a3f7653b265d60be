"""Provocation: which of the movements named provoke, which ease, and which leave it alone.

Each movement belongs to the cue that costs least to reach: what sets it off, what takes it away, what is fine. Cheapest
is the cue that the movement hangs on (`better when I walk`), then the one said of it (`sitting kills it`), then the
nearest. Movements in one list go together; without any cue a movement is no fact, unless it is said when it hurts.
"""

from typing import NamedTuple

from backstay.language.cleaning import NONE, SENTENCE
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention
from backstay.language.scope import DENIED, SUPPOSED

PROVOKES, EASES, NEITHER = "provoked-by", "eased-by", ""
KINDS = (("sets-off", PROVOKES), ("takes-away", EASES), ("leaves-alone", NEITHER))
ONLY_EASES = frozenset({"rest", "moving", "warm-up", "heat"})
WHOLE = frozenset({"everything", "nothing"})
SENSES = frozenset({"ache", "sharp", "spasm", "tight", "stiff", "sore"})
HANGS = frozenset({
    "when", "while", "if", "whenever", "after", "with", "by", "in", "on", "from", "during", "as", "at", "once", "until",
    "till", "through", "moment", "soon", "minute", "upon", "every", "each", "time",
})  # fmt: skip
"""What a movement hangs on a cue with: hurts when I sit, better after a walk."""
SINGLES = frozenset({"only", "just", "mostly", "mainly", "especially", "particularly", "always", "worst", "usually"})
LIGHT = frozenset({
    "i", "am", "he", "she", "is", "are", "my", "his", "her", "the", "a", "an", "for", "it", "also", "even", "really",
    "too", "long", "do", "does", "have", "has", "to", "of", "ever", "still", "then", "that", "this", "so", "some",
})  # fmt: skip
LISTS = frozenset({"or", "and", "nor", "also", "the", "a", "in", "at", "on", "when", "i", "with", "after"}) | SINGLES
ASKING = frozenset({"what", "which", "how", "can", "should", "could"})
FARTHEST, ELSEWHERE, HUNG, SAID_OF = 14.0, 6.0, -3.0, -1.0


class Cue(NamedTuple):
    """Where it is said what a movement does, and what it does."""

    start: int
    end: int
    kind: str


def settle_provocation(draft: Draft) -> None:
    """Add provoked-by and eased-by."""
    cues = _cues(draft)
    moves = [
        one
        for one in draft.scene.mentions
        if one.kind == "phrase" and one.says_any("movement") and (not one.scope or _each_time(draft, one, cues))
    ]
    moves.sort(key=lambda one: one.start)
    for group in _lists(draft, moves):
        if draft.scene.words.words[max(0, group[0].start - 1) : group[0].start] == ["neither"]:
            continue
        told = [_kind(draft, move, cues) for move in group]
        shared = min((one for one in told if one is not None), default=None)
        for move, own in zip(group, told, strict=True):
            best = own if own is not None and (own[0] < 0 or shared is None) else shared
            if best is not None:
                _say(draft, move, best[1])


def _each_time(draft: Draft, move: Mention, cues: list[Cue]) -> bool:
    """Whether an `if` says when it hurts and supposes nothing: it hurts if I twist."""
    text, sentences = draft.scene.words.words, draft.scene.clauses.sentence
    at = next((at for at in range(move.start, max(-1, move.start - 5), -1) if text[at] == "if"), None)
    return (
        move.scope == SUPPOSED
        and at is not None
        and text[at - 1 : at] not in (["what"], ["even"], ["as"])
        and any(cue.end <= at and sentences[cue.start] == sentences[at] for cue in cues)
        and not ASKING & set(text[at:])
    )


def _say(draft: Draft, move: Mention, kind: str) -> None:
    value = move.value("movement")
    if kind == PROVOKES and value not in ONLY_EASES:
        draft.say(PROVOKES, value, move.start, move.end)
        if value == "twisting" and not draft.has("twist-toward"):
            draft.drop([note for note in draft.of("fault") if note.value == "twists"])
    elif kind == EASES:
        draft.say(EASES, value, move.start, move.end)


def _cues(draft: Draft) -> list[Cue]:
    found = []
    for one in draft.scene.mentions:
        if one.kind == "idea":
            kind = next((kind for name, kind in KINDS if name == one.name), None)
            if kind is not None and not one.scope & ~DENIED:
                found.append(Cue(one.start, one.end, NEITHER if one.scope else kind))
        elif one.kind == "phrase" and one.says_any("pain", "sensation"):
            if one.value("pain") == "absent" or one.scope == DENIED:
                found.append(Cue(one.start, one.end, NEITHER))
            elif not one.scope and (one.value("pain") == "present" or one.value("sensation") in SENSES):
                found.append(Cue(one.start, one.end, PROVOKES))
    return [cue for cue in found if not any(_inside(cue, other) for other in found)]


def _inside(cue: Cue, other: Cue) -> bool:
    """Whether a cue is but a word of a longer one: the `help` of `does not help`."""
    return other.start <= cue.start and cue.end <= other.end and other.end - other.start > cue.end - cue.start


def _lists(draft: Draft, moves: list[Mention]) -> list[list[Mention]]:
    """The movements, those of one list together."""
    words = draft.scene.words
    groups: list[list[Mention]] = []
    for move in moves:
        last = groups[-1][-1] if groups else None
        if last is not None and move.start >= last.end:
            between = words.words[last.end : move.start]
            joined = bool({"or", "and", "nor"} & set(between)) or (not between and words.breaks[move.start] != NONE)
            if len(between) <= 4 and joined and set(between) <= LISTS and words.breaks[move.start] != SENTENCE:
                groups[-1].append(move)
                continue
        groups.append([move])
    return groups


def _kind(draft: Draft, move: Mention, cues: list[Cue]) -> tuple[float, str] | None:
    """What a movement does, and how far to seek that was; below 0 it is said of the movement itself."""
    own = [cue for cue in cues if cue.start < move.end and move.start < cue.end]
    if move.value("movement") in WHOLE:
        return (HUNG, own[0].kind or PROVOKES) if own else _nearest(draft, move, cues) or _alone(draft, move)
    useful = [cue for cue in cues if cue not in own]
    if move.value("movement") in ONLY_EASES:
        useful = [cue for cue in useful if cue.kind != PROVOKES]
        useful = [Cue(cue.start, cue.end, EASES) if _went(draft, cue) else cue for cue in useful]
    return _nearest(draft, move, useful) or _alone(draft, move)


def _went(draft: Draft, cue: Cue) -> bool:
    """Whether it went with what is named: gone after two rest days."""
    return cue.kind == NEITHER and "gone" in draft.scene.words.words[cue.start : cue.end + 1]


def _nearest(draft: Draft, move: Mention, cues: list[Cue]) -> tuple[float, str] | None:
    clauses = draft.scene.clauses
    text = draft.scene.words.words
    asks = _asks(draft, move)
    marked = bool(SINGLES & set(text[max(0, move.start - 4) : move.start]))  # mostly when standing
    best: tuple[float, str] | None = None
    for cue in cues:
        if clauses.sentence[cue.start] != clauses.sentence[move.start]:
            continue
        behind = cue.start >= move.end
        between = text[move.end : cue.start] if behind else text[cue.end : move.start]
        cost = sum(0.3 if word in LIGHT or word in HANGS else 1.0 for word in between)
        if clauses.clause[cue.start] != clauses.clause[move.start]:
            if asks:
                continue
            cost += ELSEWHERE * (2 if behind and marked else 1)
        elif not behind and set(between) & HANGS and set(between) <= HANGS | LIGHT | SINGLES:
            cost += HUNG
        elif behind and set(between) <= LIGHT | SINGLES and not _hangs(draft, move, cues):
            cost += SAID_OF
        if cost <= FARTHEST and (best is None or cost < best[0]):
            best = (cost, cue.kind)
    return best


def _hangs(draft: Draft, move: Mention, cues: list[Cue]) -> bool:
    """Whether a movement hangs on a cue before it in its clause: better when I walk, worse when I sit."""
    text, clause = draft.scene.words.words, draft.scene.clauses.clause
    return any(
        cue.end <= move.start
        and clause[cue.start] == clause[move.start]
        and bool(set(text[cue.end : move.start]) & HANGS)
        and set(text[cue.end : move.start]) <= HANGS | LIGHT | SINGLES
        for cue in cues
    )


def _asks(draft: Draft, move: Mention) -> bool:
    start, _ = draft.scene.clauses.run(draft.scene.clauses.clause, move.start)
    return bool(ASKING & set(draft.scene.words.words[start : move.start]))


def _alone(draft: Draft, move: Mention) -> tuple[float, str] | None:
    """Low back pain. Only when sitting: what is said to be when, beside a pain told in another sentence."""
    scene = draft.scene
    before = set(scene.words.words[max(0, move.start - 3) : move.start])
    told = before & SINGLES or (before & HANGS and before & LIGHT) or move.value("movement") in WHOLE
    hurts = any(one.value("pain") == "present" and not one.scope for one in scene.mentions)
    if not told or not hurts or _asks(draft, move) or move.value("movement") in ONLY_EASES:
        return None
    return FARTHEST, PROVOKES
