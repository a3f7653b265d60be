"""Checks: what must be true of entries that their format alone does not say. Each function looks at one kind."""

from __future__ import annotations

import re
from collections.abc import Iterable
from types import MappingProxyType

from backstay.knowledge.base import Attribute
from backstay.knowledge.conditions import fact_value
from backstay.knowledge.exercise_format import Dose, ExerciseEntry, LoadFrom
from backstay.knowledge.figures import FigureError, figure
from backstay.knowledge.format import IronEntry, PhaseEntry, QuestionEntry
from backstay.knowledge.gathering import Gathered
from backstay.knowledge.linking import Rule
from backstay.knowledge.names import ALWAYS_SOURCES, Names
from backstay.knowledge.posture_format import LiftEntry
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor
from backstay.knowledge.rooms import Room, bounded, figure_in

_PLACE = re.compile(r"\{[a-z][a-z0-9_-]*\}")
OF_NOTICES = frozenset({"emergency_number"})  # what is filled in wherever rules tell something
MEASURED = ("reps", "seconds", "metres")
MOST = MappingProxyType(  # of one set, and of a week: more is a slip of the pen
    {"reps": 200, "seconds": 1800, "metres": 400, "rest": 900, "reserve": 10, "times-a-week": 14}
)
MOST_SECONDS = 3600  # even the least of a dose takes no longer
MOST_PERCENT = 120  # of a best or of body mass: nothing heavier is an accessory
MOST_KG = 100
CITING = ("rule", "exercise", "muscle", "phase", "iron", "lift")
QUARTERS = 4  # loads are reckoned in quarters of a kilogram


def check_all(gathered: Gathered, names: Names) -> None:
    """Every check of every kind."""
    bars = {item.model.of for item in gathered.of("iron") if item.model.as_ == "bar"}
    lifted = bars | {item.model.of for item in gathered.of("iron") if item.model.as_ in ("single", "disc")}
    for item in gathered.of("exercise"):
        _exercise(item.model, item.cursor, names)
        if "iron" not in gathered.unsure and not gathered.broken.get("iron"):
            _loads(item.model, item.cursor, names, bars, lifted)
    for item in gathered.of("muscle"):
        _sources(item.cursor, "sources", names)
    for item in gathered.of("phase"):
        _phase(item.model, item.cursor, names)
    _all_iron(gathered, names)
    for item in gathered.of("lift"):
        _lift(item.model, item.cursor, names)
    for item in gathered.of("question"):
        _question(item.model, item.cursor, names)
    for item in gathered.of("message"):
        _message(item.cursor.at("text"))
    _unused_sources(gathered)


def _sources(cursor: Cursor, key: str, names: Names) -> None:
    for name in cursor.at(key).items():
        names.check("source", name.value, name)


def _phase(model: PhaseEntry, cursor: Cursor, names: Names) -> None:
    _sources(cursor, "source", names)
    attribute = names.attributes.get("phase")
    if attribute is not None and attribute.values and model.phase not in attribute.values:
        cursor.at("phase").error(
            "unknown-value", f"the attribute `phase` has no value `{model.phase}`.", "Add it there."
        )
    room = Room(known=True, low=0)
    for word, value in model.weeks_to_meet.items():
        try:
            room = bounded(room, word, figure(value, "weeks"))
        except FigureError:
            return  # said where the phase is made
    if figure_in(room) is None:
        follow = "Bounds leave something between them, and weeks are never less than 0."
        cursor.at("weeks-to-meet").error("impossible-figure", "no number of weeks is within these bounds.", follow)


def _question(model: QuestionEntry, cursor: Cursor, names: Names) -> None:
    attribute = names.attribute(model.asks, cursor.at("asks"))
    if attribute is not None and model.answers and attribute.kind not in ("map", "records"):
        for answer in cursor.at("answers").items():
            fact_value(answer, attribute)


def _message(cursor: Cursor) -> None:
    left = _PLACE.sub("", cursor.value)
    if "{" in left or "}" in left:
        cursor.error(
            "bad-placeholder",
            "a brace here opens or closes no placeholder.",
            "A placeholder is a word in braces: {exercise}.",
        )


def _exercise(model: ExerciseEntry, cursor: Cursor, names: Names) -> None:
    for quality in model.trains:
        names.check("quality", quality, cursor.at("trains"), quality)
    for key in ("easier", "harder", "swaps"):
        for other in cursor.at(key).items() if cursor.has(key) else ():
            if other.value == model.exercise:
                other.error("names-itself", f"`{key}` names the exercise itself.", "Take it away.")
            else:
                names.check("exercise", other.value, other)
    if model.sides == "each" and model.side_means is None:
        cursor.at("sides").error(
            "side-means-missing",
            "one side at a time, but not said what a side is.",
            "Write `side-means: stance leg` or the like.",
        )
    if model.sides == "both" and model.side_means is not None:
        cursor.key_error("side-means", "does-not-fit", "`side-means` does not fit an exercise of both sides.")
    if not model.ways:
        cursor.at("ways").error("no-way", "there is no way to do it.", "Write `[{with: []}]` where nothing is needed.")
    _sources(cursor, "sources", names)
    for name, dose in model.doses.items():
        _dose(dose, cursor.at("doses", name), names)


def _dose(dose: Dose, cursor: Cursor, names: Names) -> None:
    _sources(cursor, "source", names)
    given = [quantity for quantity in MEASURED if getattr(dose, quantity) is not None]
    if not given:
        cursor.error(
            "dose-not-sane",
            "a dose counts reps, seconds or metres.",
            "Write one of them, or two for a hold with repetitions.",
        )
    for key, most in MOST.items():
        if cursor.has(key) and cursor.at(key).value is not None:  # nothing there: the reader has said so
            low, high = cursor.at(key).value
            if low > high:
                cursor.at(key).error(
                    "dose-not-sane", f"`{key}` goes from {low} down to {high}.", "Write the lower one first."
                )
            elif high <= 0 and key not in ("rest", "reserve"):
                cursor.at(key).error("dose-not-sane", f"`{key}` is nothing.", "It is more than 0.")
            elif high > most:
                cursor.at(key).error(
                    "dose-not-sane", f"`{key}` up to {high} cannot be meant.", f"It is {most} at most."
                )
    reps = dose.reps[0] if dose.reps else 1
    least = dose.sets * (reps * (dose.seconds[0] if dose.seconds else 1) + dose.rest[0]) - dose.rest[0]
    if least > MOST_SECONDS:
        minutes = round(least / 60)
        cursor.error("dose-not-sane", f"even the least of it takes {minutes} minutes.", "Fewer sets, or shorter ones.")


def _loads(model: ExerciseEntry, cursor: Cursor, names: Names, bars: set[str], lifted: set[str]) -> None:
    """Where the loads of an exercise come from: iron that is known, and a range that can be meant."""
    for name, dose in model.doses.items():
        for place, load in enumerate(dose.load_from):
            at = cursor.at("doses", name, "load-from", place)
            if not load.with_:
                at.at("with").error("load-not-sane", "a load is made with something.", "Name a piece of equipment.")
            for kit in at.at("with").items():
                if names.check("equipment", kit.value, kit) and kit.value not in lifted:
                    what = f"what `{kit.value}` weighs is not known."
                    kit.error("load-not-sane", what, f"Of this the weight is known: {listing(sorted(lifted))}.")
            _load(load, at, names, all(kit in bars for kit in load.with_))


def _load(load: LoadFrom, cursor: Cursor, names: Names, on_bar: bool) -> None:
    if (load.of is None) != (load.percent is None):
        cursor.error("load-not-sane", "`of` and `percent` go together.", "Write {of: best.clean, percent: [60, 85]}.")
    if load.percent is not None and load.kg is not None:
        cursor.key_error("kg", "load-not-sane", "a load is a share or kilograms, not both.", "Write two entries.")
    if load.percent is None and load.kg is None and load.of is None and not on_bar:
        cursor.error("load-not-sane", "only a bar is a load by itself.", "Write `of` and `percent`, or `kg`.")
    if load.of is not None:
        attribute = names.attribute(load.of, cursor.at("of"))
        if attribute is not None and (attribute.kind != "number" or attribute.unit != "kg"):
            cursor.at("of").error("load-not-sane", f"`{load.of}` is no figure in kg.", "It is a best or the body mass.")
    for key, most in (("percent", MOST_PERCENT), ("kg", MOST_KG)):
        if cursor.has(key) and cursor.at(key).value is not None:  # nothing there: the reader has said so
            low, high = cursor.at(key).value
            if not 0 < low <= high <= most:
                follow = f"It goes up, from more than 0 to {most} at most."
                cursor.at(key).error("load-not-sane", f"`{key}` from {low} to {high} is no range.", follow)


def _all_iron(gathered: Gathered, names: Names) -> None:
    usual: dict[str, str] = {}
    for item in gathered.of("iron"):
        _iron(item.model, item.cursor, names)
        if not item.model.usual or item.model.as_ != "bar":
            continue
        if item.model.of in usual:
            what = f"`{usual[item.model.of]}` is the usual {item.model.of} already."
            item.cursor.at("usual").error("iron-not-sane", what, "One of them is taken where nobody says which.")
        usual.setdefault(item.model.of, item.id)


def _iron(model: IronEntry, cursor: Cursor, names: Names) -> None:
    names.check("equipment", model.of, cursor.at("of"))
    _sources(cursor, "source", names)
    if model.as_ in ("bar", "collar") and len(model.kg) > 1:
        cursor.at("kg").error("iron-not-sane", f"a {model.as_} has one weight.", "Write an entry for each.")
    if model.usual and model.as_ != "bar":
        cursor.at("usual").error("iron-not-sane", "only a bar is taken for the usual one.", "Take it away.")
    for weight in cursor.at("kg").items():
        if weight.value * QUARTERS % 1:
            weight.error("iron-not-sane", f"{weight.value} kg is no quarter of a kilogram.", "Round it.")


def _lift(model: LiftEntry, cursor: Cursor, names: Names) -> None:
    """A lift is one that can be said; its load has a figure with the seconds it is borne for, or a reason for none."""
    _sources(cursor, "source", names)
    lifts = names.attributes.get("lift")
    if lifts is not None and lifts.values and model.lift not in lifts.values:
        cursor.at("lift").error("unknown-value", f"the attribute `lift` has no value `{model.lift}`.", "Add it there.")
    whole = model.posture is not None and model.seconds_a_rep is not None
    if model.spine_load.none is None and not whole:
        follow = "Write `posture` and `seconds-a-rep`, or `none` and the reason."
        cursor.at("spine-load").error("figure-not-whole", "a figure needs a posture and its seconds.", follow)


def check_places(gathered: Gathered, rules: Iterable[Rule]) -> None:
    """What a message leaves open is something that is filled in where it is shown."""
    messages = gathered.items.get("message", {})
    told = {effect[1] for rule in rules for effect in rule.parsed.effects if effect[0] in ("notice", "tell")}
    may = dict.fromkeys(told, OF_NOTICES)
    may.update((old.id, _places(old.model.text)) for old, _ in gathered.replaced if old.head == "message")
    for id_, known in may.items():
        item = messages.get(id_)
        for place in sorted(_places(item.model.text) - known) if item is not None else ():
            what = f"nothing is filled in for `{{{place}}}` in `{id_}`."
            follow = nearest(place, known) or f"It can hold {listing(sorted(known)) or 'none'}."
            item.cursor.at("text").error("unknown-placeholder", what, follow)  # type: ignore[union-attr]


def _places(text: str) -> frozenset[str]:
    return frozenset(place.strip("{}") for place in _PLACE.findall(text))


def check_cautious(attributes: dict[str, Attribute], rules: Iterable[Rule], gathered: Gathered) -> None:
    """Where rules can conclude different values of an attribute that holds one, the most cautious must be known."""
    derived: dict[str, set[str]] = {}
    for rule in rules:
        for name, value in (*rule.parsed.concludes, *rule.parsed.assumes):
            if attributes[name].kind == "one" and isinstance(value, str):
                derived.setdefault(name, set()).add(value)
    for name, values in derived.items():
        left = sorted(values - set(attributes[name].cautious))
        if len(values) > 1 and left:
            cursor = gathered.items["attribute"][name].cursor
            what = (
                f"rules conclude {listing(sorted(values))}, and `cautious` does not say where {listing(left)} stands."
            )
            cursor.error("cautious-missing", what, "List all values, the most cautious first.")


def _unused_sources(gathered: Gathered) -> None:
    """A source that nothing cites is a warning: it may have lost its claim."""
    cited: set[str] = set()
    for head in CITING:
        for item in gathered.of(head):
            cited |= _cited(item.cursor.value)
    if gathered.unsure or any(gathered.broken.get(head) for head in CITING):
        return
    for item in gathered.of("source"):
        if item.id not in cited and item.id not in ALWAYS_SOURCES:
            place = item.cursor.at("source")
            place.error(
                "source-unused", f"nothing cites `{item.id}`.", "Cite it where it speaks, or take it out.", "warning"
            )


def _cited(value: object) -> set[str]:
    found: set[str] = set()
    if isinstance(value, dict):
        for key, below in value.items():
            if key in ("source", "sources"):
                found.update(name for name in (below if isinstance(below, list) else [below]) if isinstance(name, str))
            else:
                found |= _cited(below)
    elif isinstance(value, list):
        for below in value:
            found |= _cited(below)
    return found
