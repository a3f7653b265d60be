"""Limits: what somebody may not do, how far, who said so, and until when.

A ban is a limit; `what` is an exercise, a lift, one of the movements that provoke, or everything. A limit needs a cue
(a ban or a cap) and somebody who set it; a cap by nobody else is the asker's own. What was lifted, is past, supposed
or somebody else's is none.
"""

from __future__ import annotations

import datetime
from typing import Any

from backstay.language.cleaning import COMMA, NONE, SENTENCE
from backstay.language.dates import MONTHS, days_ahead
from backstay.language.drafting import Draft, Note
from backstay.language.mentions import Mention
from backstay.language.quantities import DAY
from backstay.language.scope import DENIED

WHO = {"clinician": "clinician", "trainer": "coach"}
COACHES = frozenset({"coach", "trainer"})
GREETED = frozenset({"hi", "hello", "hey", "morning", "thanks", "cheers", "dear", "evening", "ok"})
SPEAKS = frozenset({"i", "we"})
UNTIL = frozenset({"until", "till", "til", "before", "up", "through", "by", "earlier", "not", "to"})
FOR = frozenset({"for", "next", "another", "the", "at", "least"})
NO_MOVEMENT = frozenset({"rest", "moving", "warm-up", "heat", "night", "early-morning", "nothing", "everything"})
ASKING = frozenset({"what", "which", "how", "can", "should", "could", "may", "where", "instead", "so"})
OTHERS = frozenset({"her", "him", "them", "she", "he"})
MOST_APART, SHORT = 5, 7


def settle_limits(draft: Draft) -> None:
    """Add the records of limits."""
    scene = draft.scene
    sentences = scene.clauses.sentence
    for sentence in sorted({sentences[one.start] for one in _cues(draft)}):
        cues = [one for one in _cues(draft) if sentences[one.start] == sentence]
        start, end = scene.clauses.run(sentences, cues[0].start)
        caps = [one for one in cues if one.name == "cap"]
        percent = _percent(draft, start, end) if caps or any(one.name == "ban" for one in cues) else None
        bans = [one for one in cues if one.name == "ban"]
        who = _who(draft, start, end)
        if (who is None and percent is None) or not (bans or percent is not None) or _elsewhere(draft, start, end):
            continue
        targets = _targets(draft, cues, start, end, capped=percent is not None)
        for what, first, last, named in targets:
            record: dict[str, Any] = {"what": what}
            if percent is not None:
                record["at-most-percent"] = percent
            record["by"] = who or "self"
            until = _until(draft, start, end)
            if until is not None:
                record["until"] = until
            if not any(note.value.get("what") == what for note in draft.records if note.attribute == "limit"):
                draft.records.append(Note("limit", record, first, last))
            if named == "exercise" and percent is None and not draft.has("avoids", what):
                draft.say("avoids", what, first, last)
            draft.drop(
                [note for note in draft.of("lift", "provoked-by", "moment", "fault") if first <= note.start < last]
            )


def _cues(draft: Draft) -> list[Mention]:
    return [
        one
        for one in draft.scene.mentions
        if one.kind == "idea" and one.name in ("ban", "cap") and not one.scope & ~DENIED
    ]


def _who(draft: Draft, start: int, end: int) -> str | None:
    scene = draft.scene
    for one in scene.mentions:
        if start <= one.start < end and one.value("person") in WHO:
            return WHO[one.value("person")]
    text = scene.words.words
    for at in range(start, end):
        if text[at] not in COACHES:
            continue
        before, after = text[max(start, at - 2) : at], text[at + 1 : at + 2]
        called = at == start and scene.words.breaks[at + 1] == COMMA and scene.words.raw[scene.words.ends[at]] == ","
        if not called and after != ["here"] and not (GREETED & set(before) or SPEAKS & set(before[-1:])):
            return "coach"
    return None


def _elsewhere(draft: Draft, start: int, end: int) -> bool:
    """Whether it is somebody else's, or was lifted."""
    text = draft.scene.words.words
    about = draft.has("about")
    for one in draft.scene.mentions:
        if not start <= one.start < end:
            continue
        if one.kind == "idea" and one.name == "freed" and not one.scope:
            return True
        if one.value("person") == "companion" and not about:
            return True
    return not about and any(one.name == "ban" and OTHERS & set(text[one.start : one.end]) for one in _cues(draft))


def _percent(draft: Draft, start: int, end: int) -> float | None:
    for at in range(start, end):
        for slot, _, value in draft.scene.figures[at] or ():
            if slot == "percent" and 0 < value <= 100:
                return float(int(value)) if value == int(value) else float(value)
    return None


def _targets(
    draft: Draft, cues: list[Mention], start: int, end: int, *, capped: bool
) -> list[tuple[str, int, int, str]]:
    """What is limited, with its words and the attribute that names it; everything where nothing is named."""
    scene = draft.scene
    named = _named(draft, start, end)
    found: list[tuple[str, int, int, str]] = []
    if capped:
        found = [one for one in named if not _asked(draft, one[1])]
    else:
        for cue in cues:
            behind = _run([one for one in named if one[1] >= cue.start], cue.end, draft)
            ahead = [one for one in named if one[2] <= cue.start and cue.start - one[2] <= MOST_APART]
            found += behind or (_before(ahead, draft) if not cue.says or cue.value("frame") != "no" else [])
            if found:
                break
    if found:
        return found
    whole = next(
        (one for one in scene.mentions if one.kind == "idea" and one.name == "all-of-it" and start <= one.start < end),
        None,
    )
    if whole is not None or capped:
        return [("everything", cues[0].start, max(cue.end for cue in cues), "")]
    return []


def _named(draft: Draft, start: int, end: int) -> list[tuple[str, int, int, str]]:
    found: list[tuple[str, int, int, str]] = []
    for one in draft.scene.mentions:
        if one.kind != "phrase" or not start <= one.start < end or one.scope & ~DENIED:
            continue
        for attribute in ("exercise", "lift", "movement"):
            what = one.value(attribute)
            if what is not None and str(what) not in NO_MOVEMENT:
                found.append((str(what), one.start, one.end, attribute))
                break
        else:
            if one.value("fault") == "twists":
                found.append(("twisting", one.start, one.end, "movement"))
            elif one.value("fault") == "overarches":
                found.append(("leaning-back", one.start, one.end, "movement"))
    found.sort(key=lambda one: (one[1], -one[2]))
    kept: list[tuple[str, int, int, str]] = []
    for entry in found:
        if not kept or entry[1] >= kept[-1][2]:
            kept.append(entry)
    return kept


def _run(named: list[tuple[str, int, int, str]], end: int, draft: Draft) -> list[tuple[str, int, int, str]]:
    """The first thing behind a place and those listed with it."""
    found: list[tuple[str, int, int, str]] = []
    for one in named:
        last = max(found[-1][2] if found else end, end)
        between = draft.scene.words.words[last : one[1]]
        if (
            one[1] - last > (MOST_APART if not found or "and" in between else 3)
            or _asked(draft, one[1])
            or (found and ASKING & set(between))
        ):
            break
        found.append(one)
    return found


def _before(named: list[tuple[str, int, int, str]], draft: Draft) -> list[tuple[str, int, int, str]]:
    """The list that ends right before a cue: deadlifts and good mornings are banned."""
    found: list[tuple[str, int, int, str]] = []
    for one in reversed(named):
        if found and found[0][1] - one[2] > 3:
            break
        found.insert(0, one)
    return found


def _asked(draft: Draft, at: int) -> bool:
    """Whether the clause asks before a place: nothing over 60 %, so what for the snatch."""
    start, _ = draft.scene.clauses.run(draft.scene.clauses.clause, at)
    return bool(ASKING & set(draft.scene.words.words[start:at]))


def _until(draft: Draft, start: int, end: int) -> str | None:
    """The day until which it holds, told in its sentence or in a short one behind it."""
    scene = draft.scene
    text = scene.words.words
    if end < len(text) and text[end] in ("until", "till", "for", "til"):
        stop = end + 1
        while stop < len(text) and scene.words.breaks[stop] != SENTENCE:
            stop += 1
        end = stop if stop - end <= SHORT else end
    for at in range(start, end):
        before = set(text[max(0, at - 3) : at])
        if before & UNTIL:
            named = _named_day(text, at, scene.today)
            if named is not None:
                return named.isoformat()
        for slot, stop, value in scene.figures[at] or ():
            if slot == "date" and before & UNTIL:
                return (scene.today + datetime.timedelta(days=days_ahead(value, scene.today))).isoformat()
            if slot == "duration" and "ago" not in text[stop : stop + 2] and not before & {"since", "last", "every"}:
                led = bool(before & FOR) or text[stop : stop + 1] in (["of"], ["no"], ["without"], ["at"], ["from"])
                if led or scene.words.breaks[stop] != NONE:
                    draft.drop([note for note in draft.of("weeks-to-meet", "pain-weeks") if note.start == at])
                    return (scene.today + datetime.timedelta(days=round(value / DAY))).isoformat()
    return None


def _named_day(text: list[str], at: int, today: datetime.date) -> datetime.date | None:
    """A day that has a name: Christmas, New Year, the end of the month."""
    if text[at] in ("christmas", "xmas"):
        month, day = 12, 24 if text[at + 1 : at + 2] == ["eve"] else 25
    elif text[at] == "new" and text[at + 1 : at + 2] in (["year"], ["years"]):
        month, day = (12, 31) if "eve" in text[at + 2 : at + 4] else (1, 1)
    elif text[at] == "end" and text[at + 1 : at + 2] == ["of"]:
        return _end_of(set(text[at + 2 : at + 5]), today)
    else:
        return None
    year = today.year if (month, day) >= (today.month, today.day) else today.year + 1
    return datetime.date(year, month, day)


def _end_of(named: set[str], today: datetime.date) -> datetime.date | None:
    """The last day of the week, the month or the year that today is in, or of a month that is named."""
    if "week" in named:
        return today + datetime.timedelta(days=6 - today.weekday())
    month = next((MONTHS[word] for word in named if word in MONTHS), 0)
    if not month:
        month = today.month if "month" in named else 12 if "year" in named else 0
    if not month:
        return None
    year = today.year if month >= today.month else today.year + 1
    first_behind = datetime.date(year + month // 12, month % 12 + 1, 1)
    return first_behind - datetime.timedelta(days=1)
