"""Limits: what somebody may not do, how far, who said so, and until when.

A ban is a limit; `what` is an exercise, a lift, one of the movements that provoke, or everything.
"""

from __future__ import annotations

import datetime
from typing import Any

from backstay.language.dates import days_ahead
from backstay.language.drafting import Draft, Note
from backstay.language.mentions import Mention
from backstay.language.quantities import DAY

WHO = {"clinician": "clinician", "trainer": "coach"}
ALL = frozenset({"nothing", "everything", "lifting", "training", "all", "anything"})
UNTIL = frozenset({"until", "till", "til", "before", "up"})


def settle_limits(draft: Draft) -> None:
    """Add the records of limits."""
    scene = draft.scene
    for frame in scene.triggers:
        if frame.name not in ("refuses", "limit") or (frame.extra[1] == "back" and frame.name != "limit"):
            continue
        start, end = scene.clauses.run(scene.clauses.sentence, frame.start)
        who = _who(draft, start, end)
        percent = _percent(draft, start, end)
        if who is None and (frame.name == "refuses" or percent is None):
            continue
        for what, note_start, note_end in _what(draft, frame, start, end):
            record: dict[str, Any] = {"what": what}
            if percent is not None:
                record["at-most-percent"] = percent
            record["by"] = who or "self"
            until = _until(draft, start, end)
            if until is not None:
                record["until"] = until
            if not any(note.value.get("what") == what for note in draft.records if note.attribute == "limit"):
                draft.records.append(Note("limit", record, note_start, note_end))
            draft.drop([note for note in draft.of("lift", "provoked-by", "moment") if note.start == note_start])


def _who(draft: Draft, start: int, end: int) -> str | None:
    for one in draft.scene.mentions:
        if start <= one.start < end and one.value("person") in WHO:
            return WHO[one.value("person")]
    return None


def _percent(draft: Draft, start: int, end: int) -> float | None:
    for at in range(start, end):
        for slot, _, value in draft.scene.figures[at] or ():
            if slot == "percent":
                return float(int(value)) if value == int(value) else float(value)
    return None


def _what(draft: Draft, frame: Mention, start: int, end: int) -> list[tuple[str, int, int]]:
    """What is limited: the first thing behind the frame and those listed with it, or everything."""
    scene = draft.scene
    text = scene.words.words
    found: list[tuple[str, int, int]] = []
    for one in scene.mentions:
        if one.kind != "phrase" or not frame.start <= one.start < end or one.says_any("equipment"):
            continue
        what = one.value("exercise") or one.value("lift") or one.value("movement")
        if what is None or one.value("movement") in ("rest", "moving", "warm-up", "heat", "night", "early-morning"):
            continue
        last = found[-1][2] if found else max(frame.end, one.start - 4)
        if one.start - last > 4:
            break
        if not found or one.start >= last:
            found.append((str(what), one.start, one.end))
    if not found:
        for at in range(frame.start, min(end, frame.end + 3)):
            if text[at] in ALL:
                return [("everything", frame.start, at + 1)]
    return found


def _until(draft: Draft, start: int, end: int) -> str | None:
    scene = draft.scene
    text = scene.words.words
    for at in range(start, end):
        for slot, _, value in scene.figures[at] or ():
            before = set(text[max(0, at - 2) : at])
            if slot == "date" and before & UNTIL:
                return (scene.today + datetime.timedelta(days=days_ahead(value, scene.today))).isoformat()
            if slot == "duration" and before & {"for", "next", "another", "the"}:
                return (scene.today + datetime.timedelta(days=round(value / DAY))).isoformat()
    return None
