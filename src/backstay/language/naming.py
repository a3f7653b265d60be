"""Naming: words with two readings, settled by what stands round them.

An exercise that is also a lift is the lift where something is felt or seen in it. A muscle that is also a place is
the place
where something is felt in it. A bare `back` is the lower back when it hurts. A lift that only tells the timetable, or
that
only carries a record, is no fact.
"""

from __future__ import annotations

from backstay.language.cleaning import SENTENCE
from backstay.language.drafting import Draft, Note
from backstay.language.mentions import Mention
from backstay.language.scope import OTHER

FELT = ("pain", "sensation")
SEEN = ("pain", "sensation", "fault", "leg-symptom")
ASKED_ABOUT = frozenset(
    {"how-to", "dose", "why", "why-not", "compare", "muscles", "swap", "log", "hand-over", "timing"}
)
TRAINED = frozenset({
    "for", "train", "trains", "training", "strengthen", "strengthening", "stronger", "bigger", "build", "work",
    "works", "working", "hit", "hits", "target", "activate", "activates", "grow", "thicker", "wider", "in", "more",
    "weak", "loading", "load",
})  # fmt: skip
TRAINED_AFTER = frozenset({
    "work", "exercise", "exercises", "training", "strength", "endurance", "mobility", "stability", "accessory",
    "accessories", "stuff", "drill", "drills", "program", "workout", "hypertrophy", "activation", "strengthening",
    "ideas", "size", "isolation", "prehab", "volume",
})  # fmt: skip
LINKS = frozenset({"in", "during", "when", "on", "with", "doing"})
AROUND = frozenset({"before", "after", "between", "same"})
THEY = frozenset({"it", "they"})
BACKS = frozenset({"lower-back", "mid-back", "upper-back"})
NEAR = 9


def settle_names(draft: Draft) -> None:
    """Settle exercises and lifts, muscles and places."""
    _lifts(draft)
    _places(draft)
    _bare_back(draft)
    _timetable(draft)
    _faults(draft)
    _of_both(draft)
    _turned_side(draft)
    _weaker(draft)
    _moments(draft)
    _limbs(draft)


def _lifts(draft: Draft) -> None:
    lifts = frozenset(getattr(draft.attributes.get("lift"), "values", ()))
    also_row = [note for note in draft.of("lift") if note.value == "row"]
    for note in draft.of("exercise"):
        if note.value not in lifts:
            continue
        if _hurts_in(draft, note) or (draft.want not in ASKED_ABOUT and _felt_in(draft, note)):
            note.attribute = "lift"
    for note in also_row:
        asked = draft.want in ASKED_ABOUT - {"log", "why-not"} and not _hurts_in(draft, note)
        if asked or not _felt_in(draft, note):
            draft.drop([note])


def _hurts_in(draft: Draft, note: Note) -> bool:
    """Whether it is said to hurt right beside it: good mornings hurt, pain in rows; whatever is asked then."""
    clauses, text = draft.scene.clauses, draft.scene.words.words
    for one in draft.scene.mentions:
        if one.scope or one.value("pain") != "present" or clauses.sentence[one.start] != clauses.sentence[note.start]:
            continue
        if 0 <= one.start - note.end <= 1:
            return True
        between = text[one.end : note.start]
        if one.end <= note.start and len(between) <= 7 and LINKS & set(between[-4:]):
            return True
    return False


def _felt_in(draft: Draft, note: Note) -> bool:
    """Whether something is felt or seen in it: in the same clause, or right beside it."""
    clauses = draft.scene.clauses
    for one in draft.scene.mentions:
        if one.scope or not (one.says_any(*SEEN) or one.says_any("moment")):
            continue
        if clauses.clause[one.start] == clauses.clause[note.start]:
            return True
        gap = max(one.start - note.end, note.start - one.end)
        if gap <= 4 and clauses.sentence[one.start] == clauses.sentence[note.start]:
            return True
    return False


def _places(draft: Draft) -> None:
    """Muscles that are places too, and moments that are places too."""
    words = draft.scene.words.words
    for one in draft.scene.mentions:
        if one.kind != "phrase" or one.scope or not one.value("area"):
            continue
        other = "muscle" if one.value("muscle") else "moment" if one.value("moment") else ""
        if not other:
            continue
        if other == "muscle":
            place = felt(draft, one) and not _trained(words, one)
        else:
            others = [note for note in draft.of("area", "muscle") if note.start != one.start]
            place = not others and not draft.has("lift") and draft.has("pain")
        gone = other if place else "area"
        draft.drop(
            [
                note
                for note in draft.of(gone)
                if note.start == one.start and note.end == one.end and note.value != "lower-back"
            ]
        )


def felt(draft: Draft, one: Mention | Note) -> bool:
    """Whether something is felt at a place: pain or a sensation in its clause, whatever its scope."""
    clauses = draft.scene.clauses
    within = draft.scene.words.words[max(0, one.start - 2) : one.start]
    farthest = 3 if not {"in", "both", "into"} & set(within) else 12
    for other in draft.scene.mentions:
        if not other.says_any(*FELT) or other is one or other.value("pain") == "absent":
            continue
        if clauses.sentence[other.start] != clauses.sentence[one.start]:
            if other.says_any("sensation") and _goes_on_about(draft, one, other):
                return True
            continue
        gap = max(other.start - one.end, one.start - other.end)
        if one.end <= other.start and THEY & set(draft.scene.words.words[max(one.end, other.start - 3) : other.start]):
            return True  # they are just knackered
        if gap <= farthest or (clauses.clause[other.start] == clauses.clause[one.start] and gap <= NEAR):
            return True
    return False


def _goes_on_about(draft: Draft, one: Mention | Note, felt_: Mention) -> bool:
    """My glutes have left the chat. Weak as a noodle: a sentence that opens with what is felt, without a place."""
    sentence = draft.scene.clauses.sentence
    if draft.scene.words.breaks[felt_.start] != SENTENCE or sentence[felt_.start] != sentence[one.start] + 1:
        return False
    return (
        not any(
            other is not one
            and other.says_any("area", "muscle")
            and one.end <= other.start
            and sentence[other.start] <= sentence[felt_.start]
            for other in draft.scene.mentions
        )
        and "my" in draft.scene.words.words[max(0, one.start - 2) : one.start]
    )


def _trained(words: list[str], one: Mention) -> bool:
    """Whether the words right beside it speak of training it."""
    before = words[max(0, one.start - 3) : one.start]
    after = words[one.end : one.end + 1]
    if after and after[0] in TRAINED_AFTER:
        return True
    while before and before[-1] in ("the", "my", "his", "her", "our", "a", "these"):
        before = before[:-1]
    return bool(before and before[-1] in TRAINED - {"in", "weak"})


def _bare_back(draft: Draft) -> None:
    """A bare back that hurts is the lower back."""
    if any(note.value in BACKS for note in draft.of("area")) or not draft.has("pain", "present"):
        return
    clauses = draft.scene.clauses
    for one in draft.mentions("state"):
        if one.value("state") != "bare-back":
            continue
        if any(
            note.start <= one.end and one.start <= note.end and note.value and one.end >= note.start
            for note in draft.of("pain-score")
        ):
            draft.say("area", "lower-back", one.start, one.end)
            return
        for other in draft.scene.mentions:
            if other.scope or other.value("pain") != "present":
                continue
            gap = max(other.start - one.end, one.start - other.end)
            if clauses.sentence[other.start] == clauses.sentence[one.start] and gap <= 12:
                draft.say("area", "lower-back", one.start, one.end)
                return


def _timetable(draft: Draft) -> None:
    """Lifts of a timetable or of a record are not lifts in which something is felt."""
    words = draft.scene.words.words
    records = [(note.start, note.end) for note in draft.notes if note.attribute.startswith(("best.", "day-load."))]
    if draft.want in ("lift-today", "log"):  # snatch tonight, yes or no?
        today = {(note.start, note.end) for note in draft.of("day-load.today")}
        records = [record for record in records if record not in today]
    records += [(note.start, note.end) for note in draft.of("occasion")]
    records += [(note.start, note.end) for note in draft.records if note.attribute == "limit"]
    gone = []
    for note in draft.of("lift"):
        told = draft.want in ("timing", "week", "block") and (
            words[note.end : note.end + 1] in (["day"], ["days"])
            or AROUND & set(words[max(0, note.start - 3) : note.start])
        )
        if told or any(start <= note.start and note.end <= end for start, end in records):
            gone.append(note)
    draft.drop(gone)


def _faults(draft: Draft) -> None:
    """What caves in the dip tips forward, too; the dip is what is meant."""
    dips = [note for note in draft.of("fault") if note.value == "caves-in-dip"]
    if dips:
        draft.drop([note for note in draft.of("fault") if note.value == "tips-forward"])


def _of_both(draft: Draft) -> None:
    """My partner turns left in the catch and I turn right: what is mine is seen where it is seen in the other."""
    if not draft.has("fault") or draft.has("lift") or draft.has("moment"):
        return
    clauses, text = draft.scene.clauses, draft.scene.words.words
    others = [one for one in draft.scene.mentions if one.kind == "phrase" and one.scope == OTHER]
    faults = {value for one in others for name, value in one.says if name == "fault"}
    for note in draft.of("fault"):
        if note.value not in faults or "i" not in text[max(0, note.start - 3) : note.start + 1]:
            continue
        for one in others:
            if clauses.sentence[one.start] == clauses.sentence[note.start]:
                for name in ("lift", "moment"):
                    if one.value(name):
                        draft.say(name, one.value(name), one.start, one.end)


def _weaker(draft: Draft) -> None:
    """Weaker on one side is that, and no weakness for itself."""
    text = draft.scene.words.words
    if draft.has("weak-side"):
        draft.drop(
            [note for note in draft.of("sensation") if note.value == "weak" and "weaker" in text[note.start : note.end]]
        )


def _moments(draft: Draft) -> None:
    """In a pull the way up is no rising; what is held overhead in an overhead squat is not locked out."""
    if draft.has("moment", "knee-pass") and not any("squat" in note.value for note in draft.of("lift")):
        draft.drop([note for note in draft.of("moment") if note.value == "rising"])
    text = draft.scene.words.words
    if draft.has("lift", "overhead-squat"):
        held = [note for note in draft.of("moment") if note.value == "lockout"]
        draft.drop([note for note in held if {"hold", "holding", "holds", "with"} & set(text[note.start : note.end])])


def _turned_side(draft: Draft) -> None:
    """Always to the left: of a turn only if there is one."""
    if not draft.has("fault", "twists"):
        draft.drop(draft.of("twist-toward"))


def _limbs(draft: Draft) -> None:
    """Knees that are to be kept straight are no place where something is felt; nor is an aim what a muscle does."""
    if draft.want in ("how-to", "muscles"):
        for one in draft.mentions("state"):
            if one.value("state") == "limb" and not felt(draft, one):
                draft.drop([note for note in draft.of("area") if note.start == one.start])
        if draft.want == "how-to" and not draft.has("lift"):
            draft.drop([note for note in draft.of("fault") if note.value == "tips-forward"])
        if draft.want == "muscles":
            draft.drop([note for note in draft.of("aim") if note.value != "size"])  # does it build bigger abs
    if draft.want == "tell-apart":
        asked = [cue for cue in draft.scene.wants if cue.name == "tell-apart"]
        draft.drop(
            [
                note
                for note in draft.of("sensation")
                if note.value == "sore"
                and (
                    any(cue.start <= note.start < cue.end for cue in asked)
                    or {"or", "just", "ordinary", "mere"}
                    & set(draft.scene.words.words[max(0, note.start - 2) : note.start])
                )
            ]
        )
    tests = [(note.start, note.end) for note in draft.notes if note.attribute.startswith("test.")]
    draft.drop(
        [
            note
            for note in draft.of("muscle", "aim", "exercise", "area", "pain-side", "minutes")
            if any(start <= note.start and note.end <= end for start, end in tests)
        ]
    )
