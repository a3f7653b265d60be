"""Done: records of work reported as done, one an exercise."""

from __future__ import annotations

from typing import Any

from backstay.language.cleaning import COMMA, NONE, SENTENCE
from backstay.language.drafting import Draft, Note
from backstay.language.work import work_in

PLANS = frozenset(
    {"might", "will", "shall", "planning", "planned", "plan", "tomorrow", "would", "going", "gonna", "want"}
)
ASKS = frozenset({
    "what", "which", "how", "why", "should", "could", "can", "may", "is", "are", "usually", "always", "every", "do",
    "instead", "program", "programme", "says", "told", "please", "pls",
})  # fmt: skip
JOINERS = frozenset({"and", "then", "plus", "did"})
FRAGMENT = 9  # words of a sentence that only adds figures
COUNTS = frozenset({"sets", "reps", "seconds", "metres"})
Spot = tuple[int, int, str]


def settle_done(draft: Draft) -> None:
    """Add a record for each exercise with the figures of its work."""
    if not _reports(draft):
        return
    words = draft.scene.words
    spots = _spots(draft)
    skipped = _skipped(draft)
    leads = [_led(draft, spots, index) for index in range(len(spots))]
    for index, (start, end, exercise) in enumerate(spots):
        if start in skipped:
            continue
        high = len(words)
        if index + 1 < len(spots):
            high = _opening(draft, spots[index + 1][0], end) if leads[index + 1] else spots[index + 1][0]
        low = spots[index - 1][1] if index else 0
        for record in _records(draft, _opening(draft, start, low), start, end, high, leads[index]):
            if draft.want != "log" and not {"sets", "load"} & record.keys():
                continue  # ten minutes of walking and it aches
            draft.records.append(Note("done", {"exercise": exercise, **record}, start, end))
    if any(note.attribute == "done" for note in draft.records):
        draft.drop(draft.of("day-load.today"))  # front squats today, 4 triples: done, not planned


def _reports(draft: Draft) -> bool:
    """Whether the message reports: it is a log, or tells of figures and asks nothing; plans report nothing."""
    words = draft.scene.words
    said = set(words.words)
    if PLANS & said or any(trigger.name in ("supposed", "planned") for trigger in draft.scene.triggers):
        return False
    return draft.want == "log" or (not any(words.asks) and not ASKS & said)


def _spots(draft: Draft) -> list[Spot]:
    """Where an exercise or a lift is named, the longer name first."""
    named = []
    for one in draft.scene.mentions:
        what = one.value("exercise") or one.value("lift")
        if one.kind == "phrase" and not one.scope and what is not None:
            named.append((one.start, one.end, str(what)))
    named.sort(key=lambda spot: (spot[0], -spot[1]))
    spots: list[Spot] = []
    for spot in named:
        if not spots or spot[0] >= spots[-1][1]:
            spots.append(spot)
    return spots


def _skipped(draft: Draft) -> set[int]:
    gone = set()
    for trigger in draft.scene.triggers:
        if trigger.name != "skipped":
            continue
        words = draft.scene.words
        forward = trigger.extra[1] == "forward"
        for start, end, _ in _spots(draft):
            first, last = (trigger.end, start) if forward else (end, trigger.start)
            if 0 <= last - first <= (3 if forward else 2) and all(
                pause == NONE for pause in words.breaks[first : last + 1]
            ):
                gone.add(start)
    return gone


def _opening(draft: Draft, start: int, low: int) -> int:
    """Where the piece begins that a name stands in."""
    words = draft.scene.words
    while start > low and words.breaks[start] == NONE and words.words[start - 1] not in JOINERS:
        start -= 1
    return start


def _led(draft: Draft, spots: list[Spot], index: int) -> bool:
    """Whether its figures stand before an exercise: 3x10 hypers, 2x30 s planks."""
    words = draft.scene.words
    start, end, _ = spots[index]
    low = spots[index - 1][1] if index else 0
    opening = _opening(draft, start, low)
    if not COUNTS & work_in(words, opening, start).keys():
        return False
    if index == 0 or opening > low or _led(draft, spots, index - 1):
        stop = end
        while stop < len(words) and words.breaks[stop] == NONE:
            stop += 1
        high = spots[index + 1][0] if index + 1 < len(spots) else len(words)
        return not COUNTS & work_in(words, end, min(stop, high)).keys() or index == 0
    return False


def _records(draft: Draft, opening: int, start: int, end: int, high: int, led: bool) -> list[dict[str, Any]]:
    words = draft.scene.words
    stop = _fragments(draft, end, high)
    if led:
        record = {**work_in(words, end, stop), **work_in(words, opening, start)}
        return [record] if COUNTS & record.keys() else []
    halves = _sides(draft, end, stop)
    if halves:
        return halves
    record = work_in(words, end, stop)
    before = work_in(words, opening, start)
    if "load" in before and "load" not in record and not COUNTS & before.keys():
        record["load"] = before["load"]  # 24 kg swings, 4x15
    return [record] if COUNTS & record.keys() else []


def _sides(draft: Draft, end: int, stop: int) -> list[dict[str, Any]]:
    """Left 2x10, right 3x10: a record a side."""
    text = draft.scene.words.words
    places = [at for at in range(end, stop) if text[at] in ("left", "right")]
    if len(places) != 2 or text[places[0]] == text[places[1]]:
        return []
    cuts = (
        [(places[0], places[1]), (places[1], stop)]
        if places[0] - end <= 1
        else [(end, places[0] + 1), (places[0] + 1, stop)]
    )
    found = [work_in(draft.scene.words, first, last) for first, last in cuts]
    return found if all(COUNTS & one.keys() and "side" in one for one in found) else []


def _fragments(draft: Draft, end: int, high: int) -> int:
    """Where the figures of an exercise end: with its sentence, and short sentences that only add to it."""
    words = draft.scene.words
    at = end
    while at < high:
        if words.breaks[at] == SENTENCE and at > end:
            stop = at + 1
            while stop < high and words.breaks[stop] != SENTENCE:
                stop += 1
            if stop - at > FRAGMENT or "pain" in words.words[at:stop]:
                return at
        elif words.breaks[at] >= COMMA and words.words[at] in ("pain", "back", "no"):
            return at
        at += 1
    return high
