"""Ages: how old the one is of whom the message speaks, and figures between pauses that tell of a person."""

from __future__ import annotations

from backstay.language.cleaning import COMMA, NONE, SENTENCE
from backstay.language.drafting import Draft, Note
from backstay.language.mentions import Mention
from backstay.language.scope import OTHER

YOUNGEST, OLDEST = 7, 99
GROWN = 13
LIGHTEST = 36  # kilograms of somebody who lifts
METRE = 100
NOT_MEANT = frozenset({"clinician", "trainer", "companion"})
FIRST = frozenset({"i", "me", "we", "mine", "myself"})


def of_another(draft: Draft, at: int) -> bool:
    """Whether what is said at a place is said of somebody who is spoken of but not meant: my husband is 63."""
    scene = draft.scene
    words, sentence = scene.words.words, scene.clauses.sentence
    for one in reversed(scene.mentions):
        if one.value("person") not in NOT_MEANT or one.start > at or sentence[one.start] != sentence[at]:
            continue
        return not FIRST & set(words[one.end : at + 1])
    return False


def settle_age(draft: Draft) -> None:
    """Settle the age, and the weight that a bare figure beside it is."""
    scene = draft.scene
    words = scene.words
    for one in scene.mentions:
        metres = (one.value("height") or 0) / METRE
        if YOUNGEST <= metres <= OLDEST and metres == int(metres) and words.breaks[one.start] and words.breaks[one.end]:
            draft.say("age", metres, one.start, one.end)  # "16m, …" is no height: it is a male of 16
    _age_beside_noun(draft)
    if not draft.has("about"):
        draft.drop([note for note in draft.of("age") if of_another(draft, note.end - 1)])
    notes = []
    for note in draft.of("age"):
        value = note.value
        if not isinstance(value, int | float) or not YOUNGEST <= value <= OLDEST or value != int(value):
            continue
        mention = next(
            (one for one in scene.mentions if one.start == note.start and one.end == note.end and one.value("age")),
            None,
        )
        if mention is not None and mention.extra[0] == "start":
            # a bare figure that opens a sentence or stands between commas
            ends = words.breaks[note.end] != NONE or words.words[note.end : note.end + 1] in (
                ["and"],
                ["here"],
                ["with"],
                ["but"],
            )
            ends = ends or note.end - note.start > 1
            if not ends or value < 9 or (len(words) == note.end and note.start == 0):
                continue
            if (
                note.end - note.start == 1
                and note.start
                and words.breaks[note.start] == 1
                and not _beside_person(draft, note.start)
            ):
                continue
        if mention is not None and mention.extra[0] == "piece" and value < GROWN:
            continue  # ten years: of lifting
        if words.breaks[note.start] == SENTENCE and words.asks[note.end] and note.end - note.start <= 2:
            continue  # ten? twenty?
        if {"dozen", "couple"} & set(words.words[note.start : note.end]):
            continue
        if words.words[note.start] == "at" and words.words[note.start + 1][0].isdigit() and note.end - note.start < 3:
            continue  # at 80: a load
        if words.words[note.start : note.end] and _load_at(draft, note):
            continue
        notes.append(note)
    draft.drop([note for note in draft.of("age") if note not in notes])
    if not notes:
        _bare_age(draft)
        notes = draft.of("age")
    elif not draft.has("body-mass"):
        _bare_mass(draft)
    plain = {note.value for note in notes}
    if len(plain) > 1 or len(notes) > 1:
        draft.drop(notes[1:])


def _load_at(draft: Draft, note: Note) -> bool:
    """`Squats at sixty`: of a lift, a figure behind `at` is a load."""
    scene = draft.scene
    at = next((place for place in range(note.start, note.end) if scene.words.words[place] == "at"), None)
    return at is not None and any(
        0 <= at - one.end <= 2 and one.says_any("lift", "exercise") and scene.words.breaks[at] == NONE
        for one in scene.mentions
    )


def _bare_mass(draft: Draft) -> None:
    """`I am 22, male, 81`: a figure between pauses beside what tells of a person whose age is told."""
    heavy = [one for one in _bare(draft) if one[0] >= LIGHTEST and _in_a_portrait(draft, one[1], one[2])]
    age = draft.of("age")[0]
    light = [one for one in _bare(draft) if YOUNGEST <= one[0] < LIGHTEST <= age.value and one[1] != age.start]
    if light and draft.has("sex") and age.end - age.start == 1 and _in_a_portrait(draft, light[0][1], light[0][2]):
        draft.say("body-mass", float(age.value), age.start, age.end)  # F, 59, 21
        age.value, age.start, age.end = light[0]
        return
    heavy = [one for one in heavy if not age.start <= one[1] < age.end]
    if heavy and draft.has("sex"):
        draft.say("body-mass", float(heavy[0][0]), *heavy[0][1:])


def _bare(draft: Draft) -> list[tuple[int, int, int]]:
    """The whole figures that stand between pauses, with their places."""
    scene = draft.scene
    words, breaks = scene.words.words, scene.words.breaks
    bare = []
    for at, found in enumerate(scene.figures):
        if not found or breaks[at] == NONE or at >= len(words):
            continue
        end = max(end for _, end, _ in found)
        numbers = [value for slot, stop, value in found if slot == "number" and stop == end]
        if numbers and breaks[end] != NONE and GROWN - 3 <= numbers[0] <= OLDEST and numbers[0] == int(numbers[0]):
            bare.append((int(numbers[0]), at, end))
    held = ("best", "test", "pain-", "done", "weeks", "minutes")
    taken = [(note.start, note.end) for note in draft.notes if note.attribute.startswith(held)]
    return [one for one in bare if not any(start <= one[1] < end for start, end in taken)]


def _bare_age(draft: Draft) -> None:
    """`F, 59, 21`, `woman, 71 kg, nineteen`: a figure between pauses beside what tells of a person."""
    bare = _bare(draft)
    told = draft.has("sex") or draft.has("about") or draft.has("body-mass") or draft.has("height")
    if not bare or not told or draft.want == "log":
        return
    beside = [one for one in bare if _in_a_portrait(draft, one[1], one[2])]
    if len(bare) > 1 and len(beside) == len(bare) and min(bare)[0] < LIGHTEST <= max(bare)[0]:
        draft.say("age", *min(bare))
        if not draft.has("body-mass"):
            draft.say("body-mass", float(max(bare)[0]), *max(bare)[1:])
    elif beside:
        draft.say("age", *beside[0])


def _in_a_portrait(draft: Draft, start: int, end: int) -> bool:
    """Whether the pieces right before or behind tell of a person, or are bare figures themselves."""
    scene = draft.scene
    breaks = scene.words.breaks
    for one in scene.mentions:
        if one.scope & ~OTHER or not one.says_any("sex", "sexes", "about", "body-mass", "height", "level"):
            continue
        if (one.end == start and breaks[start] != SENTENCE) or (one.start == end and breaks[end] != SENTENCE):
            return True
    return bool(
        start and breaks[start] == COMMA and any(stop == start for _, stop, _ in (scene.figures[start - 1] or ()))
    )


def generic(draft: Draft, one: Mention) -> bool:
    """A 60 kg woman: any of that size, or the asker's own words for himself."""
    words = draft.scene.words.words
    return any(
        mass.end in (one.start, one.end) and words[max(0, mass.start - 1) : mass.start] in (["a"], ["an"])
        for mass in draft.mentions("body-mass")
    )


def _age_beside_noun(draft: Draft) -> None:
    """Girl 14, boy 16 62 kg: a bare figure right behind a word for a person."""
    if draft.has("age"):
        return
    scene = draft.scene
    for one in draft.mentions("sex"):
        found = scene.figures[one.end] or () if one.end < len(scene.words) else ()
        longest = max((end for _, end, _ in found), default=0)
        for slot, end, value in found:
            if slot == "number" and end == longest and scene.words.breaks[one.end] == NONE and value >= YOUNGEST:
                draft.say("age", value, one.end, end)
                return


def _beside_person(draft: Draft, at: int) -> bool:
    """Whether the words around the commas speak of a person: `one of my lifters, 19,`, `24, 1.80`."""
    return any(
        (at - 4 <= one.end <= at or at + 1 <= one.start <= at + 2)
        and (
            one.value("about")
            or one.value("sex")
            or one.value("person")
            or one.says_any("body-mass", "height", "level")
        )
        for one in draft.scene.mentions
    )
