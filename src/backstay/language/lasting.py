"""Lasting: for how long it has hurt; a bare duration beside a complaint is its age."""

from __future__ import annotations

from backstay.language.cleaning import NONE
from backstay.language.drafting import Draft, Note
from backstay.language.quantities import YEAR

TIMES = frozenset({"for-weeks", "under-age", "morning-stiff"})
"""Signs that are but times and ages."""
FRESH_WEEKS = 0.2  # since yesterday: no age
BEGAN = frozenset({
    "started", "began", "start", "begun", "came", "happened", "appeared", "tweaked", "hurt", "did", "since",
})  # fmt: skip
HEDGES = frozenset({
    "about", "around", "maybe", "like", "almost", "nearly", "over", "more", "than", "roughly", "some", "only",
    "just", "now", "already", "or", "so", "ago", "and", "counting", "for", "since", "it", "is", "was", "has",
    "been", "the", "past", "last", "say", "less", "by", "good", "a",
})  # fmt: skip


def complaint(draft: Draft) -> bool:
    """Whether something is felt, or hidden, that may last."""
    return any(
        note.attribute in ("pain", "sensation", "leg-symptom", "masked-by") and note.value != "absent"
        for note in draft.notes
    )


def settle_since(draft: Draft) -> None:
    """Pain-weeks only where something is complained of; a bare duration beside a complaint is its age."""
    notes = draft.of("pain-weeks")
    told = complaint(draft) or draft.has("pain-score")
    if not told:
        draft.drop(notes)
        return
    taken = [
        (note.start, note.end)
        for note in draft.notes
        if note.attribute in ("weeks-to-meet", "layoff-weeks", "minutes", "age", "level", "training-days")
    ]
    gone = [
        note
        for note in notes
        if any(note.start < end and start < note.end for start, end in taken) or not _ago_of_complaint(draft, note)
    ]
    gone += [note for note in notes if note not in gone and _since_a_sign(draft, note)]
    draft.drop(gone)
    gone = [note for note in notes if note not in gone and note.value < FRESH_WEEKS]
    draft.drop(gone)
    if gone:
        return
    notes = draft.of("pain-weeks")
    if not notes:
        bare = _bare_duration(draft, taken)
        if bare is not None:
            draft.notes.append(bare)
    elif len(notes) > 1:
        draft.drop(notes[1:])


def _ago_of_complaint(draft: Draft, note: Note) -> bool:
    """`cancer four years ago` dates the cancer: a plain `ago` needs its complaint, or a beginning, in its clause."""
    scene = draft.scene
    run = set(scene.words.words[note.start : note.end])
    if not run & {"ago", "back"} or run & BEGAN:
        return True
    start, end = scene.clauses.run(scene.clauses.clause, note.start)
    if BEGAN & set(scene.words.words[start:end]):
        return True
    return any(
        start <= one.start < end and one.says_any("pain", "sensation", "leg-symptom")
        for one in scene.mentions
        if not one.scope
    )


def _since_a_sign(draft: Draft, note: Note) -> bool:
    """`Fever since Monday, and my back hurts`: it dates a sign, where the pain is told in another clause."""
    scene = draft.scene
    start, end = scene.clauses.run(scene.clauses.clause, note.start)
    here = [one for one in scene.mentions if start <= one.start < end and not one.scope]
    return any(one.says_any("sign", "doubt") and one.value("sign") not in TIMES for one in here) and not any(
        one.says_any("pain", "sensation") for one in here
    )


def _bare_duration(draft: Draft, taken: list[tuple[int, int]]) -> Note | None:
    """`low back hurts, 3 weeks`: a duration that stands by itself between pauses, beside a complaint."""
    scene = draft.scene
    words = scene.words
    blocked = [(one.start, one.end) for one in scene.mentions if one.kind == "phrase" and not one.says]
    for at in range(len(words)):
        for slot, end, value in scene.figures[at] or ():
            if (
                slot != "duration"
                or value > 2 * YEAR
                or any(
                    start < end and at < stop and not (at < start and stop <= end) for start, stop in taken + blocked
                )
            ):
                continue
            start, stop = at, end
            while start > 0 and words.breaks[start] == NONE and words.words[start - 1] in HEDGES:
                start -= 1
            while stop < len(words) and words.breaks[stop] == NONE and words.words[stop] in HEDGES:
                stop += 1
            if words.breaks[start] != NONE and words.breaks[stop] != NONE:
                return Note("pain-weeks", round(value / (7 * 86_400.0), 2), at, end)
    return None
