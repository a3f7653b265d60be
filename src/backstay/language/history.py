"""History: how a complaint began, how it goes and how often it came; said of something else it is none of these."""

from __future__ import annotations

from backstay.language.drafting import Draft
from backstay.language.quantities import WEEK
from backstay.language.scope import DENIED

SENSES = frozenset({"ache", "sharp", "spasm", "tight", "stiff", "sore"})
ASKING = frozenset({"should", "can", "could", "is", "are", "does", "do", "may", "would", "what", "which", "how"})
MOST_EPISODES = 60
RECENT = 26 * WEEK


def settle_history(draft: Draft) -> None:
    """Keep onset, course and episodes where something is complained of."""
    _course(draft)
    for note in draft.of("episodes"):
        if not 1 <= note.value <= MOST_EPISODES:
            draft.drop([note])
    draft.drop(draft.of("episodes")[1:])
    _treated(draft)
    counted = [(note.start, note.end) for note in draft.of("episodes")]  # three in twelve months are not twelve months
    draft.drop(
        note for note in draft.of("pain-weeks") if any(start < note.end and note.start < end for start, end in counted)
    )
    if not _complains(draft):
        draft.drop(draft.of("onset", "course"))
        return
    onsets = draft.of("onset")
    if len({note.value for note in onsets}) > 1:  # sudden, on a miss: what happened says more
        event = [note for note in onsets if note.value == "after-event"]
        draft.drop([note for note in onsets if event and note.value != "after-event" and note.value != "sudden"])
        sudden = [note for note in draft.of("onset") if note.value == "sudden"]
        if sudden and event:
            draft.drop([note for note in draft.of("onset") if note.value != _leading(draft)])


def _treated(draft: Draft) -> None:
    """Since when somebody takes tablets is not how long it hurts; an operation of long ago is none any more."""
    scene = draft.scene
    clauses = scene.clauses.clause
    hurting = {clauses[one.start] for one in scene.mentions if one.says_any("pain", "sensation") and not one.scope}
    treated = {clauses[note.start] for note in draft.of("masked-by")} - hurting
    draft.drop(note for note in draft.of("pain-weeks") if clauses[note.start] in treated)
    asked = {clauses[at] for at, word in enumerate(scene.words.words) if word in ASKING}
    for one in draft.mentions("masked-by"):
        if one.name.endswith("-named") and clauses[one.start] in asked:
            draft.drop(note for note in draft.of("masked-by") if note.start == one.start)
    for one in draft.mentions("condition"):
        if one.value("condition") == "recent-surgery" and any(
            slot == "duration" and value > RECENT for slot, _, _, value in one.captures
        ):
            draft.drop(note for note in draft.of("condition") if note.start == one.start)


def _leading(draft: Draft) -> str:
    """Of a sudden start and an event: what happened just now is sudden, what began with something is after it."""
    return "sudden" if draft.want == "first-aid" else "after-event"


def _complains(draft: Draft) -> bool:
    return (
        draft.has("pain", "present")
        or any(note.value in SENSES for note in draft.of("sensation"))
        or draft.has("pain-score")
        or draft.has("leg-symptom")
        or draft.has("pain-weeks")
        or any(one.value("state") == "bare-back" and not one.scope for one in draft.scene.mentions)
    )


def _course(draft: Draft) -> None:
    """Not getting better is the same; neither better nor worse, too."""
    for one in draft.mentions("course", DENIED):
        value = one.value("course")
        if value == "better" and not draft.has("course"):
            draft.say("course", "same", one.start, one.end)
    for one in draft.scene.mentions:
        if one.name == "score-climbs" and not one.scope and not draft.has("course"):
            first, last = (float(value) for slot, _, _, value in one.captures if slot in ("number", "number 2"))
            if first != last:
                draft.say("course", "worse" if last > first else "better", one.start, one.end)
    told = {note.value for note in draft.of("course")}
    if len(told) > 1 and "on-off" in told:
        rest = [note for note in draft.of("course") if note.value != "on-off"]
        draft.drop(rest if "same" in told else [note for note in draft.of("course") if note.value == "on-off"])
