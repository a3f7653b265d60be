"""Season: weeks to the meet, days of the week, minutes; one figure each, and what they are not."""

from __future__ import annotations

from types import MappingProxyType

from backstay.language.cleaning import NONE
from backstay.language.dates import NAMES
from backstay.language.drafting import Draft, Note
from backstay.language.quantities import DAY, WEEK

DAYS_NEAR = MappingProxyType({0: "today", 1: "tomorrow", -1: "yesterday"})
OWN_WORDS = frozenset({
    "weigh", "weighs", "weighing", "bodyweight", "mass", "bw", "class", "category", "lifter", "woman", "man", "cut",
    "weight", "guy", "girl", "athlete", "body", "lady", "lad", "male", "female", "bloke", "boy", "lass", "fella",
    "chap", "kid",
})  # fmt: skip
DISTANCES = frozenset({"down", "up", "away", "deep", "off", "from", "above", "below", "drop", "onto", "fall", "carry"})
"""What stands behind a length that is no height of a person."""
MOST_WEEKS = 60.0
MOVED = "meet-moved"  # the phrase for a meet that is now at another time than was said before
MOST_DAYS = 7
LIGHT, HEAVY = 40, 200


def settle_season(draft: Draft) -> None:
    """Settle the figures of season and week."""
    _weeks(draft)
    _days(draft)
    _today(draft)
    for note in draft.of("minutes"):
        if not 3 <= note.value <= 180:
            draft.drop([note])
    _first(draft, "minutes")
    for note in draft.of("body-mass"):
        if not 25 <= note.value <= 250:
            draft.drop([note])
    for note in draft.of("height"):
        after = draft.scene.words.words[note.end : note.end + 1]
        if not 110 <= note.value <= 230 or (after and after[0] in DISTANCES):
            draft.drop([note])
    _body_mass(draft)
    _first(draft, "height")
    _first(draft, "sessions-a-day")
    draft.drop([note for note in draft.of("athletes") if note.value < 2])
    _first(draft, "athletes")


def _first(draft: Draft, attribute: str) -> None:
    draft.drop(draft.of(attribute)[1:])


def _body_mass(draft: Draft) -> None:
    """A weight is the asker's own only when said so, or beside other figures of the person."""
    kept = []
    records = [best for best in draft.notes if best.attribute.startswith("best.")]
    breaks = draft.scene.words.breaks
    for note in draft.of("body-mass"):
        text = draft.scene.words.words[note.start : note.end]
        plain = not OWN_WORDS & set(text) and "now" not in text  # was 92 kg, now 84
        load = any(
            one.kind == "phrase"
            and (one.value("exercise") or one.value("lift") or one.value("equipment"))
            and -1 <= min(abs(one.start - note.end), abs(note.start - one.end)) <= 3
            and draft.scene.clauses.clause[one.start] == draft.scene.clauses.clause[note.start]
            and not any(best.start <= one.start < best.end for best in records)
            for one in draft.scene.mentions
        )
        record = any(best.start <= note.start < best.end for best in records)
        alone = breaks[note.start] != NONE and breaks[note.end] != NONE and LIGHT <= note.value <= HEAVY
        alone = alone or any(best.start == note.end for best in records)  # 73 kg snatch 80
        person = (
            (alone and (bool(records) or not draft.has("lift")))
            or any(draft.has(name) for name in ("height", "age", "sex", "level", "about"))
            or _am(draft, note)
        )
        if not record and (not plain or (person and not load and draft.want != "log")):
            kept.append(note)
    draft.drop([note for note in draft.of("body-mass") if note not in kept])
    draft.drop(kept[1:])


def _am(draft: Draft, note: Note) -> bool:
    text = draft.scene.words.words
    return bool({"am", "weigh", "weighs", "is", "at"} & set(text[max(0, note.start - 2) : note.start]))


def _weeks(draft: Draft) -> None:
    notes = draft.of("weeks-to-meet")
    for one in draft.mentions("weeks-to-meet"):
        for slot, _, _, value in one.captures:
            if slot == "date" and value[0] in ("weekday", "near"):
                day = NAMES[value[1]] if value[0] == "weekday" else DAYS_NEAR.get(value[1])
                if day is not None:
                    draft.say(f"day-load.{day}", "meet", one.start, one.end)
    for note in notes:
        if not 0 <= note.value <= MOST_WEEKS:
            draft.drop([note])
    moved = {(one.start, one.end) for one in draft.mentions("weeks-to-meet") if one.name == MOVED}
    if moved:
        draft.drop([note for note in draft.of("weeks-to-meet") if (note.start, note.end) not in moved])
    notes = draft.of("weeks-to-meet")
    if not notes and draft.want == "block":
        bare = _longest_span(draft)
        if bare is not None:
            draft.notes.append(bare)
        return
    draft.drop(notes[1:])


def _longest_span(draft: Draft) -> Note | None:
    """The span a plan is asked for, where no meet is named: `split up the next nine weeks`."""
    best: Note | None = None
    for at, found in enumerate(draft.scene.figures):
        for slot, end, value in found or ():
            if (
                slot == "duration"
                and 2 * WEEK <= value <= MOST_WEEKS * WEEK
                and (best is None or value / WEEK > best.value)
            ):
                best = Note("weeks-to-meet", round(value / WEEK, 2), at, end)
    if best is not None and any(
        note.attribute in ("pain-weeks", "layoff-weeks") and note.start <= best.start < note.end for note in draft.notes
    ):
        return None
    return best


def _days(draft: Draft) -> None:
    notes = draft.of("training-days")
    if not notes:
        days = {
            note.attribute: note
            for note in draft.notes
            if note.attribute.removeprefix("day-load.") in NAMES and note.value not in ("rest", "meet")
        }
        if len(days) < 3:
            _asked_days(draft)
        else:
            first = min(days.values(), key=lambda note: note.start)
            draft.say("training-days", len(days), first.start, max(note.end for note in days.values()))
        return
    kept = []
    for note in notes:
        if not 1 <= note.value <= MOST_DAYS or note.value != int(note.value):
            continue
        kept.append(note)
    draft.drop([note for note in notes if note not in kept])
    if len({note.value for note in kept}) > 1:  # a seven-day layout, five lifting days
        whole = [note for note in kept if note.value == MOST_DAYS]
        draft.drop(whole)
        kept = [note for note in kept if note not in whole]
    draft.drop(kept[1:])


def _asked_days(draft: Draft) -> None:
    """`Make me a week, 4 days`: a count of days in a plea for a plan, if it is not the age of a pain or the meet."""
    if draft.want not in ("week", "block"):
        return
    words = draft.scene.words.words
    taken = draft.of("pain-weeks", "weeks-to-meet", "layoff-weeks")
    for at, found in enumerate(draft.scene.figures):
        for slot, end, value in found or ():
            days = value / DAY if slot == "duration" else 0
            counted = words[end - 1] == "days" and 2 <= days <= MOST_DAYS
            if counted and words[end : end + 1] not in (["out"], ["ago"]) and not _covered(taken, at, end):
                draft.say("training-days", int(days), at, end)
                return


def _covered(notes: list[Note], start: int, end: int) -> bool:
    return any(note.start < end and start < note.end for note in notes)


def _today(draft: Draft) -> None:
    notes = [note for note in draft.of("today-is-day") if 1 <= note.value <= MOST_DAYS]
    draft.drop([note for note in draft.of("today-is-day") if note not in notes])
    draft.drop(notes[1:])
    if notes:
        return
    day = next((one for one in draft.mentions("weekday")), None)
    listed = next(
        (one for one in draft.mentions("training-days") if any(slot == "weekdays" for slot, *_ in one.captures)), None
    )
    if day is None or listed is None:
        return
    days = next(value for slot, _, _, value in listed.captures if slot == "weekdays")
    if day.value("weekday") in days:
        place = sorted(days).index(day.value("weekday")) + 1
        draft.say("today-is-day", place, day.start, day.end)
