"""Records: bests, read from lifts with the figures beside them under a word for records."""

from __future__ import annotations

from backstay.language.cleaning import NONE, SENTENCE
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention
from backstay.language.quantities import WEIGHTS
from backstay.language.scope import SUPPOSED

BEST_WORDS = frozenset({
    "best", "bests", "max", "maxes", "maxed", "pr", "prs", "pb", "pbs", "1rm", "rm", "record", "records",
    "personal", "top", "heaviest", "maximum", "total", "totals", "maximal", "lifetime",
})  # fmt: skip
BETWEEN = frozenset({
    "is", "of", "at", "a", "was", "for", "around", "about", "max", "pr", "best", "ever", "the", "in", "and", "kg",
    "kilos", "lb", "to", "my", "up", "heavy", "1", "rm", "only", "currently", "now", "just", "with", ":", "=", "like",
    "maybe", "roughly", "something", "probably", "that", "good", "solid", "record", "pb", "stands", "sits", "personal",
    "there", "it", "them", "those", "modest", "humble", "mere", "measly", "meagre", "paltry", "lousy", "decent",
    "proud", "whopping", "shaky", "easy", "grand", "whole", "full", "big", "nice", "poor",
})  # fmt: skip
OTHERS = frozenset({"duration", "time", "times", "sets", "length", "percent", "score"})
POUND = WEIGHTS["lb"]
LIGHTEST, HEAVIEST = 15.0, 500.0


def settle_bests(draft: Draft) -> None:
    """Add best.<lift> for lifts with a figure beside them under a word for records."""
    scene = draft.scene
    if draft.want == "log":
        return
    lifts = _lifts(draft)
    text = set(scene.words.words)
    pounds = "lb" in text and "kg" not in text  # one unit for all of a message: 170 lb, squat 315
    leads = (  # 120 snatch, 150 clean; but 96 kg snatch 150 clean 190
        bool(lifts)
        and _figure_before(draft, lifts[0], 0) is not None
        and not (lifts[-1].end < len(scene.words) and _kilos(draft, lifts[-1].end) is not None)
    )
    for index, one in enumerate(lifts):
        before = lifts[index - 1].end if index else 0
        after = lifts[index + 1].start if index + 1 < len(lifts) else len(scene.words)
        found = _figure_before(draft, one, before) if leads else None
        found = found or _figure_after(draft, one, after) or _figure_before(draft, one, before)
        if found is None:
            continue
        value, start, end = found
        if pounds and not any(slot == "weight" and stop == end for slot, stop, _ in scene.figures[start] or ()):
            value *= POUND
        lift = one.value("lift") or one.value("exercise")
        if _is_best(draft, one, start, end) and not draft.has(f"best.{lift}"):
            if _felt_there(draft, one, start):
                draft.say(f"best.{lift}", round(value, 1), start, end)
            else:
                draft.say(f"best.{lift}", round(value, 1), min(one.start, start), max(one.end, end))
                draft.drop([note for note in draft.of("lift", "exercise") if note.start == one.start])


def _lifts(draft: Draft) -> list[Mention]:
    known = frozenset(getattr(draft.attributes.get("lift"), "values", ()))
    found: list[Mention] = []
    for one in draft.scene.mentions:
        if one.kind != "phrase" or one.scope & ~SUPPOSED or not (one.value("lift") or one.value("exercise") in known):
            continue
        if not found or one.start >= found[-1].end:
            found.append(one)
    return found


def _figure_after(draft: Draft, one: Mention, stop: int) -> tuple[float, int, int] | None:
    scene = draft.scene
    at = one.end
    while at < stop and at - one.end <= 7 and scene.words.breaks[at] != SENTENCE:
        figure = _kilos(draft, at)
        if figure is not None:
            if figure[1] > stop and figure[1] != stop:
                return None
            return figure[0], at, figure[1]
        if scene.words.words[at] not in BETWEEN:
            return None
        at += 1
    return None


def _figure_before(draft: Draft, one: Mention, start: int) -> tuple[float, int, int] | None:
    for at in range(max(start, one.start - 5), one.start):
        figure = _kilos(draft, at)
        if (
            figure is not None
            and figure[1] <= one.start
            and all(
                word in ("kg", "a", "in", "the", "of", "for", "on", "lb")
                for word in draft.scene.words.words[figure[1] : one.start]
            )
            and all(pause == NONE for pause in draft.scene.words.breaks[figure[1] : one.start + 1])
        ):
            return figure[0], at, figure[1]
    return None


def _kilos(draft: Draft, at: int) -> tuple[float, int] | None:
    """The load that begins at a place: the longest, if no other quantity is longer."""
    found = draft.scene.figures[at] or ()
    end = max((stop for slot, stop, _ in found if slot == "kilos"), default=0)
    if any(stop > end for slot, stop, _ in found if slot in OTHERS):
        return None
    weights = [value for slot, stop, value in found if slot in ("weight", "kilos") and stop == end]
    return (weights[0], end) if weights and LIGHTEST <= weights[0] <= HEAVIEST else None


def _is_best(draft: Draft, one: Mention, start: int, end: int) -> bool:
    """Under a word for records in the sentence; `I snatch 70`; or a stretch that holds nothing but lift and figure."""
    scene = draft.scene
    text, breaks = scene.words.words, scene.words.breaks
    low, high = scene.clauses.run(scene.clauses.sentence, one.start)
    if BEST_WORDS & set(text[low:high]):
        return True
    if draft.want not in ("log", "lift-today", "dose"):
        if _many_figured(draft):
            return True
        first, last = min(one.start, start), max(one.end, end)
        before = text[max(0, first - 2) : first]
        if any(note.attribute.startswith("best.") and 0 <= first - note.end <= 1 for note in draft.notes):
            return True
        if before[-1:] in (["i"], ["can"], ["he"], ["she"]) or before == ["and"]:
            return True
        if any(other.end == first and other.says_any("about", "sex") for other in scene.mentions):
            return True  # my athlete snatches 70
        if breaks[first] != NONE and breaks[last] != NONE:
            return True
    return False


def _felt_there(draft: Draft, one: Mention, figure: int) -> bool:
    """Weak in the squat, 140 is my best there; snatch 90 and my hips rise in it: felt in the lift."""
    clause = draft.scene.clauses.clause
    if _named_again(draft, max(one.end, figure)):
        return True
    return clause[figure] != clause[one.start] and any(
        not other.scope and other.says_any("pain", "sensation", "fault") and clause[other.start] == clause[one.start]
        for other in draft.scene.mentions
    )


def _named_again(draft: Draft, at: int) -> bool:
    """Whether what is felt or seen behind a figure is said to be `in it`: in the lift whose figure that is."""
    text, breaks = draft.scene.words.words, draft.scene.words.breaks
    felt = False
    while at + 1 < len(text) and breaks[at] != SENTENCE:
        felt = felt or any(
            other.start == at and not other.scope and other.says_any("pain", "sensation", "fault")
            for other in draft.scene.mentions
        )
        if felt and text[at] in ("in", "during", "with") and text[at + 1] in ("it", "them", "those", "that"):
            return True
        at += 1
    return False


def _many_figured(draft: Draft) -> bool:
    """Snatch 110 clean and jerk 140: two lifts or more, each with its figure right behind it, are a list of records."""
    figured = [one for one in _lifts(draft) if one.end < len(draft.scene.words) and _kilos(draft, one.end) is not None]
    return len({one.value("lift") for one in figured}) > 1
