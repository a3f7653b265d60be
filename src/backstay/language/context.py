"""Context: what a message in a chat leaves out, taken from the question just asked or the answer just given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from backstay.knowledge.facts import Fact
from backstay.language.quantities import DAY, WEEK, YEAR
from backstay.language.scene import Scene

YES = frozenset(
    {
        "yes",
        "yeah",
        "sure",
        "right",
        "correct",
        "true",
        "definitely",
        "absolutely",
        "exactly",
        "ok",
        "affirmative",
        "positive",
    }
)
NO = frozenset({"no", "not", "never", "nothing", "none", "negative", "neither", "nowhere"})
# Ideas of the knowledge: what is said for want of an answer, and that nothing of what was asked holds.
UNSURE = "unsure"
NONE_OF_IT = "none-of-it"
# that what was just said is put right, that the same is meant with one thing changed, and that a matter is let go.
CORRECTING = "correcting"
SAME_BUT = "same-but"
DROPPING = "dropping"
LETTING_GO = "let-go"
GOING_ON = "going-on"
# What somebody may want to be left out of account; never a sign.
DROPPED = frozenset({"pain", "area", "lift", "moment", "fault", "sensation", "weeks-to-meet", "phase", "muscle", "aim"})
FOLLOW_UPS = frozenset({"how-to", "dose", "why", "why-not", "muscles", "timing", "swap"})
# Which of those just spoken of is meant: ideas of the knowledge, and the place each names.
PLACES = MappingProxyType({"the-first": 0, "the-second": 1, "the-third": 2, "the-fourth": 3, "the-last": -1})
# Facts with a side, of which a bare side can put one right.
SIDED = ("twist-toward", "front-foot", "weak-side", "pain-side")
_PER_UNIT = {"weeks": WEEK, "years": YEAR, "days": DAY, "minutes": 60.0, "hours": 3600.0, "seconds": 1.0}

SHORT = 6  # words
# Less than this of a unit is never meant: "3 days" is no age.
LEAST = MappingProxyType({"years": 3})
# nor more than this
MOST = MappingProxyType({"years": 99, "score": 10, "days": 31})
UNITED = MappingProxyType({"weight": "kg", "length": "cm", "percent": "percent", "duration": "", "time": ""})


def answer(scene: Scene, asked: str, attributes: Mapping[str, Any], facts: Sequence[Fact]) -> Fact | None:
    """The fact that a short message gives in answer to the question asked, or None."""
    known = attributes.get(asked)
    if known is None or any(fact.attribute == asked for fact in facts):
        return next((fact for fact in facts if fact.attribute == asked), None)
    words = scene.words
    if not len(words) or _mentions(scene, DROPPING, LETTING_GO):
        return None
    shown = words.shown(0, len(words))
    if known.kind == "number":
        if any(fact.attribute in attributes and attributes[fact.attribute].kind == "number" for fact in facts):
            return None  # its figure has said something else
        return _number(scene, asked, known, shown)
    values = known.values
    if is_closed(values):
        # "Not sure" is no no: of a sign it leaves open what has to be closed.
        return None if _mentions(scene, UNSURE) else _yes_or_no(scene, asked, shown)
    if _mentions(scene, CORRECTING, SAME_BUT):
        return None  # what was said before is put right; the question stays open
    if "present" in values and "absent" in values:
        said = None if _mentions(scene, UNSURE) else _yes_or_no(scene, asked, shown)
        return said and Fact(asked, "present" if said.value == "yes" else "absent", shown)
    for one in scene.mentions:
        for name, value in one.says:
            if name == "side" and value in values and not one.scope:
                return Fact(asked, value, words.shown(one.start, one.end))
            if str(value) in values and not one.scope:
                return Fact(asked, value, words.shown(one.start, one.end))
    denies = not NO.isdisjoint(words.words[:2])
    for value in values:
        if (value in NO or not denies) and all(part in words.words for part in value.split("-")):
            return Fact(asked, value, shown)
    if {"left", "right"} <= set(values) and "both" in words.words and "both" in values:
        return Fact(asked, "both", shown)
    return None


def leaves_open(scene: Scene, asked: str, attributes: Mapping[str, Any]) -> bool:
    """Whether a message answers a question by saying that there is no answer; of a closed question nothing does."""
    known = attributes.get(asked)
    if known is None or is_closed(known.values) or _mentions(scene, CORRECTING, SAME_BUT, DROPPING, LETTING_GO):
        return False
    if _mentions(scene, UNSURE, NONE_OF_IT):
        return True
    # "No numbness" to a question that has numbness among its answers
    return known.kind == "many" and not NO.isdisjoint(scene.words.words[:2]) and len(scene.words) <= SHORT


def is_closed(values: Sequence[str]) -> bool:
    """Whether a question is answered by yes or no alone, as those about signs are."""
    return "yes" in values and "no" in values


def _mentions(scene: Scene, *ideas: str) -> bool:
    return any(one.kind == "idea" and one.name in ideas for one in scene.mentions)


def _number(scene: Scene, asked: str, known: Any, shown: str) -> Fact | None:
    best: tuple[int, float] | None = None
    unit = _PER_UNIT.get(known.unit)
    for found in scene.figures:
        united = max((end for slot, end, _ in found or () if UNITED.get(slot, known.unit) != known.unit), default=0)
        for slot, end, value in found or ():
            if end < united and slot not in ("duration", "time"):
                continue  # 265 lb is no age
            if slot in ("duration", "time") and unit:
                figure = value / unit
                if figure < LEAST.get(known.unit, 0):
                    continue
            elif (
                slot in ("number", "score", "times")
                or (slot == "weight" and known.unit == "kg")
                or (slot == "length" and known.unit == "cm")
            ):
                figure = float(value)
            else:
                continue
            if figure > MOST.get(known.unit, figure):
                continue
            if best is None or end > best[0]:
                best = (end, figure)
    if best is None:
        if known.unit in ("score", "times") and NO & set(scene.words.words) and not _mentions(scene, UNSURE):
            return Fact(asked, 0, shown)
        return None
    figure = round(best[1], 2)
    return Fact(asked, int(figure) if figure == int(figure) else figure, shown)


def _yes_or_no(scene: Scene, asked: str, shown: str) -> Fact | None:
    text = scene.words.words
    if len(text) > 12:
        return None
    first = text[:3]
    if NO & set(first):
        return Fact(asked, "no", shown)
    if YES & set(first):
        return Fact(asked, "yes", shown)
    if NO & set(text):
        return Fact(asked, "no", shown)
    return None


def carried(
    want: str, scene: Scene, facts: Sequence[Fact], named: Sequence[str], picks: Sequence[str] = ()
) -> tuple[Fact, ...]:
    """What a follow-up means by it: `and how many reps` is about what was named, `the second` is the second of them."""
    if any(fact.attribute in ("exercise", "lift", "muscle") for fact in facts):
        return ()
    listed = named if len(named) > 1 else picks
    if listed:
        for one in scene.mentions:
            place = PLACES.get(one.name) if one.kind == "idea" else None
            if place is not None and place < len(listed):
                return (Fact("exercise", listed[place], scene.words.shown(one.start, one.end)),)
    if (want in FOLLOW_UPS or _mentions(scene, LETTING_GO)) and len(named) == 1:
        return (Fact("exercise", named[0], ""),)
    return ()


def amends(scene: Scene, facts: Sequence[Fact]) -> bool:
    """Whether a message puts right what was said before: its facts stand in the place of those held."""
    asks = scene.words.asks[-1] or scene.words.words[:1] in (["what"], ["how"])
    return bool(facts) and (_mentions(scene, CORRECTING, SAME_BUT) or (asks and _mentions(scene, GOING_ON)))


def side_amended(scene: Scene, facts: Sequence[Fact], held: Sequence[Fact]) -> tuple[Fact, ...]:
    """A bare side that puts right the only other side held: `sorry, left`, `and if it is the left?`."""
    if any(fact.attribute in SIDED for fact in facts):
        return ()
    sides = {value for one in scene.mentions for name, value in one.says if name == "side"}
    held_sides = [fact for fact in held if fact.attribute in SIDED]
    if len(sides) != 1 or len({fact.attribute for fact in held_sides}) != 1 or len(scene.words) > 2 * SHORT:
        return ()
    side = sides.pop()
    if side not in ("left", "right") or held_sides[0].value == side or not _mentions(scene, CORRECTING, SAME_BUT):
        return ()
    return (Fact(held_sides[0].attribute, side, scene.words.shown(0, len(scene.words))),)


def let_go(scene: Scene) -> tuple[Fact, ...]:
    """The attributes whose facts are to be dropped: `forget the pain`."""
    dropped = [one for one in scene.mentions if one.kind == "idea" and one.name == DROPPING]
    if not dropped:
        return ()
    named = {
        name.partition(".")[0]
        for one in scene.mentions
        for name, _ in one.says
        if one.kind != "idea" and any(drop.start <= one.start for drop in dropped)
    }
    words = scene.words.shown(0, len(scene.words))
    return tuple(Fact(name, "", words) for name in sorted(named & DROPPED))


def goes_on(scene: Scene) -> bool:
    """Whether a message only puts something else in the place of what was asked about: `and the dead bug?`."""
    return _mentions(scene, GOING_ON, SAME_BUT, CORRECTING) and len(scene.words) <= 2 * SHORT


def refuses_named(scene: Scene, named: Sequence[str]) -> bool:
    """Whether the one exercise just spoken of is not wanted: `not that one`."""
    return len(named) == 1 and _mentions(scene, LETTING_GO)
