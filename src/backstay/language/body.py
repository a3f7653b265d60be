"""Body: whether it hurts, how much, since when, and what makes a sensation a pain."""

from __future__ import annotations

from itertools import pairwise

from backstay.language.cleaning import NONE, SENTENCE
from backstay.language.drafting import Draft, Note
from backstay.language.lasting import complaint, settle_since
from backstay.language.mentions import Mention
from backstay.language.numbers import UNITS as NUMBERS
from backstay.language.scope import ASKED, DENIED, PAST, SUPPOSED

WORST = frozenset({"pain", "worst", "training", "lifting", "during"})
SORE_PAIN_WEEKS = 0.44  # more than three days
SUPPOSED_AWAY = frozenset(
    {
        "pain", "sensation", "leg-symptom", "sign", "area", "lift", "moment", "fault", "pain-score", "pain-next-day",
        "pain-weeks",
        "muscle", "twist-toward", "weak-side", "pain-side", "provoked-by", "eased-by", "course", "onset", "doubt",
        "condition", "today-state", "masked-by", "episodes", "layoff-weeks",
    }
)  # fmt: skip
"""What a supposed complaint takes with it; the timetable, the kit and the person stay as they were said."""


ASKED_OF = frozenset({"muscle", "lift", "moment"})
"""What is named in a question put in general: what does the multifidus do in a snatch."""


def keep_supposed(draft: Draft) -> None:
    """What stands behind an `if`, or in a question in general, and is no complaint, is so: if I train three times."""
    for one in draft.scene.mentions:
        if one.scope in (SUPPOSED, ASKED) and one.kind == "phrase" and not _when_supposed(draft, one):
            for attribute, value in one.says:
                asked = one.scope == ASKED and attribute in ASKED_OF
                if asked or (attribute not in SUPPOSED_AWAY and attribute in draft.attributes) or "." in attribute:
                    draft.say(attribute, value, one.start, one.end)


def _when_supposed(draft: Draft, one: Mention) -> bool:
    """Whether it only tells when the supposed would be: what if it starts to hurt two days before the meet."""
    return one.says_any("weeks-to-meet", "occasion") and any(
        other.scope & SUPPOSED
        and other.says_any("pain", "sensation", "leg-symptom")
        and 0 <= one.start - other.end <= 3
        for other in draft.scene.mentions
    )


def settle_pain(draft: Draft) -> None:
    """Settle pain, its scores and its age."""
    _scores(draft)
    settle_since(draft)
    _sore(draft)
    _presence(draft)


def _scores(draft: Draft) -> None:
    for note in draft.of("pain-score", "pain-next-day"):
        if not isinstance(note.value, int | float) or not 0 <= note.value <= 10:
            draft.drop([note])
    for note in draft.of("pain-score"):
        if note.value == 0:  # pain 0
            end = note.end + (draft.scene.words.breaks[note.end] == NONE)  # 0/10 pain
            draft.drop([one for one in draft.of("pain") if note.start - 1 <= one.start and one.end <= end])
    if draft.has("masked-by"):
        draft.drop([note for note in draft.of("pain-score", "pain-next-day") if note.value == 0])
    for one in draft.mentions("pain-score"):
        told = [value for slot, _, _, value in one.captures if slot in ("number", "number 2")]
        if len(told) == 2 and told[0] != told[1]:
            draft.say("course", "worse" if told[1] > told[0] else "better", one.start, one.end)
    scores = draft.of("pain-score")
    after = draft.of("pain-next-day")
    covered = {(note.start, note.end) for note in after}
    # A score that is also told for the next day is told for that only.
    scores = [note for note in scores if not any(start <= note.start and note.end <= end for start, end in covered)]
    draft.drop([note for note in draft.of("pain-score") if note not in scores])
    text = draft.scene.words.words
    for note in after:
        # "3/10 this morning" with nothing else is how it is now
        if "this" in text[note.start : note.end] and not scores:
            note.attribute = "pain-score"
            scores.append(note)
    if not complaint(draft) and not any(note.value == 0 for note in scores) and not _scored_plainly(draft, scores):
        draft.drop(scores)
        scores = []
    if len(scores) > 1:
        worst = max(scores, key=lambda note: float(note.value))
        draft.drop([note for note in scores if note is not worst])
    after = draft.of("pain-next-day")
    if not draft.has("pain", "present") and not draft.has("pain-score"):
        draft.drop(
            [
                note
                for note in after
                if not any(word[0].isdigit() or word in NUMBERS for word in text[note.start : note.end])
            ]
        )
        after = draft.of("pain-next-day")
    if len(after) > 1:
        draft.drop(after[1:])


def _scored_plainly(draft: Draft, scores: list[Note]) -> bool:
    """Whether a score says what it is: three out of ten, pain 3."""
    text = draft.scene.words.words
    for note in scores:
        run = text[note.start : note.end + 2]
        if any(one.start == note.start for one in draft.mentions("state") if one.value("state") == "scored"):
            return True
        if len({note.value for note in scores}) > 1 and draft.has("area"):
            return True  # it was a six, it is a two
        if WORST & set(run) or "10" in run[1:] or "ten" in run[1:] or draft.has("pain-next-day"):
            return True
    return False


def _sore(draft: Draft) -> None:
    """Sore is pain when tied to one movement or blow, or to more than three days."""
    sore = [note for note in draft.of("sensation") if note.value == "sore"]
    if not sore and not draft.has("pain") and not draft.has("leg-symptom") and draft.has("sensation"):
        # stiff or tired for a day or two is training, like soreness
        draft.drop([note for note in draft.of("pain-weeks") if note.value <= SORE_PAIN_WEEKS])
    if not sore or draft.has("pain"):
        return
    weeks = draft.of("pain-weeks")
    if any(_each_time(draft, note) for note in sore):
        draft.say("pain", "present", sore[0].start, sore[0].end)
        return
    if any(float(note.value) > SORE_PAIN_WEEKS for note in weeks) or draft.of("provoked-by"):
        draft.say("pain", "present", sore[0].start, sore[0].end)
    elif weeks:
        draft.drop(weeks)


def _each_time(draft: Draft, note: Note) -> bool:
    """Sore every time I clean: tied to one movement."""
    words = draft.scene.words
    end = note.end
    while end < len(words) and words.breaks[end] != SENTENCE and end < note.end + 5:
        end += 1
    run = words.words[note.end : end]
    return "whenever" in run or any(pair in (("every", "time"), ("each", "time")) for pair in pairwise(run))


def _presence(draft: Draft) -> None:
    present = [note for note in draft.of("pain") if note.value == "present"]
    absent = [note for note in draft.of("pain") if note.value == "absent"]
    denied = [note for note in draft.retracted if note.attribute == "pain" and note.value == "present"]
    for note in draft.of("pain-score"):
        (present if note.value >= 1 else absent).append(note)
    for note in draft.of("masked-by"):
        present.append(note)
    after = draft.of("pain-next-day")
    draft.drop(draft.of("pain"))
    over = _said_over(draft, present) if present and not draft.has("pain-score") else []
    over = over or _past_and_over(draft, present, absent)
    if over:
        told = draft.of("area", "sensation", "lift", "moment", "pain-score", "pain-next-day", "pain-weeks")
        draft.drop([note for note in told if note.start < over[0].start])
        present, absent = [], over
    if not present:
        present = _only_there(draft, absent + denied) or [note for note in after if note.value >= 1]
    if present:
        first = present[0]
        draft.say("pain", "present", first.start, first.end)
        return
    if not absent and not denied:
        denied = _over(draft)
    if not absent and not denied and after and not complaint(draft):
        (absent if after[0].value == 0 else present).append(after[0])
        if present:
            draft.say("pain", "present", after[0].start, after[0].end)
            return
    for note in (absent or denied)[:1]:
        draft.say("pain", "absent", note.start, note.end)
        _absent(draft)


def _only_there(draft: Draft, denied: list[Note]) -> list[Note]:
    """`It does not hurt in the snatch, only in the clean`: what is denied in general holds where `only` says."""
    text, breaks = draft.scene.words.words, draft.scene.words.breaks
    for note in denied:
        at = note.end
        while at + 1 < len(text) and breaks[at] != SENTENCE:
            if text[at] in ("only", "just", "except") and text[at + 1] in (
                "in",
                "when",
                "at",
                "on",
                "during",
                "with",
                "if",
                "for",
                "while",
            ):
                return [Note("pain", "present", at, at + 2)]
            at += 1
    return []


def _absent(draft: Draft) -> None:
    """What only describes a pain goes with it."""
    draft.drop([note for note in draft.of("pain-weeks") if not draft.has("leg-symptom")])
    draft.drop([note for note in draft.of("sensation") if note.value in ("sharp", "ache", "spasm")])


def _said_over(draft: Draft, present: list[Note]) -> list[Note]:
    """`Spasm two weeks back, all good since`: all that hurt is said to be over, in the same sentence."""
    scene = draft.scene
    words = scene.words
    for one in draft.mentions("state"):
        said = set(words.words[one.start : one.end])
        if one.value("state") != "over" or not said & {"since", "now", "again"} or words.breaks[one.start] == NONE:
            continue
        if all(
            note.end <= one.start and scene.clauses.sentence[note.start] == scene.clauses.sentence[one.start]
            for note in present
        ):
            return [Note("pain", "absent", one.start, one.end)]
    return []


def _past_and_over(draft: Draft, present: list[Note], absent: list[Note]) -> list[Note]:
    """`It was hurting in the autumn, now no pain`: what hurt is told in the past, and what is now is told after it."""
    scene = draft.scene
    ends = [note for note in absent if note.attribute == "pain"]
    ends += [
        Note("pain", "absent", one.start, one.end)
        for one in draft.mentions("state", None)
        if one.value("state") == "over" and not one.scope & ~PAST and _plainly_over(draft, one.start, one.end)
    ]
    text = scene.words.words
    for end in sorted(ends, key=lambda note: note.start):
        if all(note.end <= end.start and _in_the_past(draft, note) for note in present) and present:
            return [end]
        if not present and WAS & set(text[: end.start]) and ONCE & set(text[: end.start]):
            return [end]
    return []


def _plainly_over(draft: Draft, start: int, end: int) -> bool:
    """Whether it is said to be over now, not only that something is fine."""
    text = draft.scene.words.words
    return bool(NOWS & set(text[max(0, start - 2) : end + 1]))


def _in_the_past(draft: Draft, note: Note) -> bool:
    """Whether the words before it in its sentence put it in the past, and none brings it up to now."""
    scene = draft.scene
    start, _ = scene.clauses.run(scene.clauses.sentence, note.start)
    text = scene.words.words
    if LASTING & set(text[start : note.end]):
        return False
    nearest = next((text[at] for at in range(note.end - 1, start - 1, -1) if text[at] in WAS or text[at] in STILL), "")
    return nearest in WAS


WAS = frozenset({"was", "were", "had", "used"})
STILL = frozenset({"now", "today", "yesterday", "is", "hurts", "am"})
LASTING = frozenset({"since", "still", "ever", "until"})
ONCE = frozenset({
    "hurting", "hurt", "complaining", "complained", "moaning", "moaned", "grumbling", "grumbled", "trouble", "aching",
    "ached", "bothering", "bothered", "nagging", "nagged", "troubled",
})  # fmt: skip
"""How a place did that is quiet again."""
NOWS = frozenset({"now", "long", "since", "again", "all", "everything", "finish", "finished", "gone"})


def _over(draft: Draft) -> list[Note]:
    """A pain that was, and is said to be over or not to be now."""
    past = [one for one in draft.mentions("pain", None) if one.scope & PAST and one.value("pain") == "present"]
    for one in draft.mentions("state", None):
        if past and one.value("state") == "over" and not one.scope & ~PAST:
            return [Note("pain", "absent", one.start, one.end)]
    return []


def settle_areas(draft: Draft) -> None:
    """Areas of a denied or past complaint are none of now."""
    scene = draft.scene
    for one in scene.mentions:
        if one.kind != "phrase" or not (one.scope & (DENIED | PAST)) or not one.says_any("area"):
            continue
        draft.drop([note for note in draft.of("area") if note.start == one.start and note.end == one.end])
    seen: set[tuple[str, object]] = set()
    for note in list(draft.of("area")):
        if (note.attribute, note.value) in seen:
            draft.drop([note])
        seen.add((note.attribute, note.value))
