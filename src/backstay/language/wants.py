"""Wants: what is wanted, from cues and leans summed over the sentence that asks.

Both are phrase data. A cue is a run of words that by itself asks for something: the heaviest of a want counts.
A lean is what stands together in a sentence in any order (families of words, kinds of facts, figures, the shape of
the sentence); leans add up, and may be negative. The want with the most weight is the sentence's, the first of equals;
over sentences the first that asks with weight 2 or more. A report (log) yields to a question after it. Where nothing
asks, the facts decide: a complaint or a fact is a state, bare keywords or a question mark a wish for advice, and what
nobody can read is out of scope. What all this comes to is weighed against the tendencies of the message's words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from backstay.knowledge.slots import MARKS
from backstay.language.cleaning import NONE, SENTENCE
from backstay.language.mentions import Mention
from backstay.language.scene import Scene
from backstay.language.scope import DENIED
from backstay.language.tendencies import Tendencies, features, tended

TALKS = frozenset({"i", "my", "we", "he", "she", "his", "her", "our"})
ASKS = 2.0
BRIEF = 6
ANSWER = 8  # words of an answer with a bare yes or no at its end
OPENERS = frozenset({
    "what", "which", "how", "why", "where", "who", "whose", "can", "could", "should", "is", "are", "do", "does", "may",
    "might", "would", "will", "shall", "am", "has",
})  # fmt: skip
"""Words that a question begins with, also where nobody types the mark."""
DONE = frozenset({"did", "had", "have"})
SUBJECTS = frozenset({"i", "we", "he", "she", "you", "they", "it", "that", "this", "anyone", "anybody"})
ENDS = frozenset({"what", "which", "how", "why", "when", "where", "wat", "who"})
"""Words that make a question of what they end: `lats how`."""
BODY = frozenset(
    {"pain", "sensation", "fault", "pain-score", "pain-weeks", "twist-toward", "age", "body-mass", "height"}
)
CLEAR = 4.0
REPORT = "log"
HOW = "how-to"
REQUESTS = frozenset({"requests", "ends-open"})
"""Shapes and hints of a sentence that asks for something, though nobody can say for what."""
NEEDS = frozenset({"pain", "sensation", "fault", "lacks", "minutes", "muscle", "area", "aim", "weeks-to-meet"})
"""Beside one of these a named exercise is not what is asked about."""
OF_NAMED = frozenset({"how-to", "compare"})
"""Wants that words alone do not tell where no exercise is named."""
POINTING = frozenset({"it", "that", "this", "one", "these", "those", "them", "movement"})
"""Words that may stand for an exercise that was shown."""
MATTER = frozenset({"pain", "area", "muscle", "lift"})
TELLING = ("log", "state")
TOLD = frozenset({"pain", "sensation", "test", "best"})
"""Facts that are told for their own sake."""
KIT = frozenset({"equipment", "phase", "weeks-to-meet", "training-days", "minutes"})
"""Facts that make keywords of a target: what is at hand, and when."""
ADVICE = "recommend"
GREETING = "social"
NOT_OURS = "out-of-scope"
CUED, SHAPED = 4.0, 1.0
"""What cues and leans, or the mere shape of a message, weigh beside its tendencies; found on sets not fitted to."""
CLAIMS = frozenset({"has", "lacks", "refuses", "skipped"})


Lean = tuple[str, float, tuple[tuple[str, ...], ...], tuple[tuple[str, ...], ...], bool]
"""The want, its weight, what must be there, what must not, and whether all but the first may be anywhere."""


def wanted(
    scene: Scene, leans: Sequence[Lean], leaning: Mapping[str, Sequence[int]], tendencies: Tendencies
) -> tuple[str, dict[str, float]]:
    """The want, and the best weight of each that has a cue or a lean."""
    present = seen(scene)
    cued, scores, asked = _cued(scene, present, leans, leaning)
    if cued == NOT_OURS and not asked:
        return cued, scores  # nobody can read it, so nothing can be known from its words
    if _answers(scene):
        return "state", scores
    sums = tended(features(scene, present), tendencies)
    sums[cued] = sums.get(cued, 0.0) + (CUED if asked else SHAPED)
    there = {slot for here in present.values() for slot in here}
    if "exercise" not in there and (POINTING.isdisjoint(scene.words.words) or not MATTER.isdisjoint(there)):
        for name in OF_NAMED - {cued}:
            sums.pop(name, None)  # there is nothing that it could be about
    if _ends_on_exercise(scene, present):
        for name in TELLING:
            sums.pop(name, None)  # …, gone by evening. rows?
    return max(sums, key=lambda name: sums[name]), scores


def _answers(scene: Scene) -> bool:
    """Whether a message ends with a bare yes or no: since you ask, yes."""
    words = scene.words
    last = len(words) - 1
    return (
        0 <= last < ANSWER and words.words[last] in ("yes", "no") and words.breaks[last] != NONE and not words.asks[-1]
    )


def _ends_on_exercise(scene: Scene, present: Mapping[int, Mapping[str, int]]) -> bool:
    """Whether a message ends with a question that names an exercise."""
    return bool(scene.words.asks[-1]) and "exercise" in present[scene.clauses.sentence[-1]]


def _cued(
    scene: Scene, present: Mapping[int, dict[str, int]], leans: Sequence[Lean], leaning: Mapping[str, Sequence[int]]
) -> tuple[str, dict[str, float], bool]:
    """The want by cues and leans, the best weight of each, and whether anything asked at all."""
    cues = [
        cue
        for cue in _standing([one for one in scene.wants if one.kind == "want"])
        if not _refused(scene, cue) and not _in_a_test(scene, cue)
    ]
    sentences: dict[int, dict[str, tuple[float, int]]] = {}
    for cue in cues:
        held = sentences.setdefault(scene.clauses.sentence[cue.start], {})
        if cue.name not in held or _weight(cue) > held[cue.name][0]:
            held[cue.name] = (_weight(cue), cue.start)
    _lean(present, leans, leaning, sentences)
    scores: dict[str, float] = {}
    for held in sentences.values():
        for name, (weight, _) in held.items():
            if weight > 0:
                scores[name] = max(scores.get(name, 0.0), weight)
    waiting = ""  # a report, or a wish for advice that is only hinted at: what is asked for clearly later comes first
    for sentence in sorted(sentences):
        held = sentences[sentence]
        if not held:
            continue
        best = max(held, key=lambda name: (held[name][0], -held[name][1]))
        if held[best][0] < ASKS:
            continue
        if best == REPORT or (best == ADVICE and held[best][0] < CLEAR - 1 and not _asks(scene, sentence)):
            waiting = waiting or best
            continue
        if waiting == ADVICE and held[best][0] < CLEAR:
            break
        return best, scores, True
    if waiting:
        return waiting, scores, True
    return _without_cue(scene, present), scores, False


def _asks(scene: Scene, sentence: int) -> bool:
    """Whether a sentence ends with a question mark."""
    words = scene.words
    return any(
        asked for at, asked in enumerate(words.asks) if asked and at and scene.clauses.sentence[at - 1] == sentence
    )


def _lean(
    present: Mapping[int, Mapping[str, int]],
    leans: Sequence[Lean],
    leaning: Mapping[str, Sequence[int]],
    sentences: dict[int, dict[str, tuple[float, int]]],
) -> None:
    """Add what stands together in each sentence to the wants that it leans to."""
    everywhere = {slot for slots in present.values() for slot in slots}
    for sentence, slots in present.items():
        tried = {number for slot in slots for number in leaning.get(slot, ())}
        held = sentences.setdefault(sentence, {})
        for number in sorted(tried):
            name, added, members, unless, wide = leans[number]
            there = everywhere if wide else slots
            if not _stands(members, unless, there, slots):
                continue
            at = min((slots[slot] for slot in members[0] if slot in slots), default=-1)
            if at < 0:
                continue
            weight, start = held.get(name, (0.0, at))
            held[name] = (weight + added, min(start, at))


def _stands(
    members: tuple[tuple[str, ...], ...],
    unless: tuple[tuple[str, ...], ...],
    there: Mapping[str, int] | set[str],
    slots: Mapping[str, int],
) -> bool:
    """Whether every member of a lean is there and none that must not be; in plain loops, as it is asked so often."""
    for member in members:
        for slot in member:
            if slot in there:
                break
        else:
            return False
    for member in unless:
        for slot in member:
            if slot in slots:
                return False
    return True


def seen(scene: Scene) -> dict[int, dict[str, int]]:
    """For each sentence the slots that something in it fills, and where the first begins; its shape as well."""
    words = scene.words
    sentence_of = scene.clauses.sentence
    present: dict[int, dict[str, int]] = {}
    exercises: dict[int, set[object]] = {}
    for at in range(len(words)):
        if words.breaks[at] == SENTENCE:
            here = present[sentence_of[at]] = {}
            start, end = scene.clauses.run(sentence_of, at)
            if words.asks[end]:
                here["asks"] = start
            if end - start <= BRIEF:
                here["brief"] = start
        if words.breaks[at] != NONE and _opens(words.words, at):
            present[sentence_of[at]].setdefault("asks", at)
        if words.breaks[at + 1] != NONE and words.words[at] in ENDS:
            present[sentence_of[at]].setdefault("ends-open", at)
        for slot, _, _ in scene.figures[at] or ():
            present[sentence_of[at]].setdefault(slot, at)
    for one in (*scene.mentions, *scene.wants):
        here = present[sentence_of[one.start]]
        for slot, value in one.feeds:
            if slot not in here or one.start < here[slot]:
                here[slot] = one.start
            if slot == "equipment" and one.scope & DENIED:
                here["lacks"] = one.start
            elif slot == "exercise":
                exercises.setdefault(sentence_of[one.start], set()).add(value if isinstance(value, str) else one.start)
        if any(name.startswith("test.") for name, _ in one.says):
            here["test"] = one.start
    for sentence, names in exercises.items():
        if len(names) > 1:
            present[sentence]["two-exercises"] = present[sentence]["exercise"]
    for trigger in scene.triggers:
        if trigger.name in CLAIMS:
            present[sentence_of[trigger.start]].setdefault(trigger.name, trigger.start)
    for here in present.values():
        if "asks" not in here and "ends-open" not in here and "asking" not in here and not BODY.isdisjoint(here):
            here["tells"] = 0
    return present


def _opens(words: Sequence[str], at: int) -> bool:
    """Whether a question begins here: `did the lot` is a report, `did he` a question."""
    after = words[at + 1] if at + 1 < len(words) else ""
    return (words[at] in OPENERS and after != "not") or (words[at] in DONE and after in SUBJECTS)


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


def _without_cue(scene: Scene, present: Mapping[int, Mapping[str, int]]) -> str:
    """What a message wants in which nothing asks for anything known: its shape decides, then its facts."""
    words = scene.words
    there = {slot for here in present.values() for slot in here}
    said = [one for one in scene.mentions if one.kind != "idea" and any(name not in MARKS for name, _ in one.says)]
    facts = [one for one in said if not one.scope]
    greets = any(one.name == GREETING and (one.start <= 1 or not TALKS & set(words.words)) for one in scene.wants)
    if said and (words.asks[-1] or not (REQUESTS.isdisjoint(there) or "no-help" in there)):
        return HOW if "exercise" in there and NEEDS.isdisjoint(there) else ADVICE
    if greets and not facts:
        return GREETING
    attributes = {name.partition(".")[0] for one in scene.mentions if not one.scope for name, _ in one.says}
    talks = bool(TALKS & set(words.words))
    if not attributes & TOLD and (
        (attributes & {"muscle", "aim"} and (attributes & KIT or not talks))
        or ("fault" in attributes and "equipment" in attributes and not talks)
    ):
        return ADVICE  # a target and what is at hand or when, in keywords
    if said:
        return "state"
    unknown = set(words.unknown)
    known = sum(
        1
        for at, word in enumerate(words.words)
        if at not in unknown and (not unknown or (len(word) > 2 and word.isalpha()))
    )
    if len(words) == 0 or len(unknown) > known:
        return NOT_OURS
    if any(words.asks) and len(words) > 3:
        return ADVICE if "bare-target" in there else NOT_OURS
    return "state"
