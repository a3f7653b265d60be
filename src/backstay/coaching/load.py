"""Load: the load of a dose as kilograms, from what the asker told and what the iron at hand can make.

    the range     the first entry of `load-from` whose iron is at hand and whose figure is known
    reach         rules let the asker go only so far up the range, the most cautious has the last word
    load          what rules take off the load is taken off both ends
    rounding      down to what the iron makes; the lower end is never less than the lightest there is

No figure is ever above the upper end of the range: where the lightest iron is, none is given. The bar is the one that
is known, else the usual one; a lighter one where that is too heavy.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from backstay.coaching import iron
from backstay.coaching.effects import Resolved
from backstay.coaching.picks import Pick
from backstay.knowledge.base import Base, Exercise, Iron

AT_HAND = "at-hand"
BAR = "bar"
COLLARS = "collars"


class Load(NamedTuple):
    """A load in kg from the lower end to the upper. Without kg: lighter than the lightest iron, at most `most`."""

    kit: str
    kg: tuple[float, float] | None
    most: float
    each_hand: bool = False
    bar: str = ""  # the iron that is the bar
    bar_kg: float = 0.0
    sides: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())  # discs on one side, at either end
    collar: float = 0.0
    as_written: bool = False  # the same kilograms stand in the text of the load
    rules: tuple[str, ...] = ()

    def figures(self) -> dict[str, Any]:
        """Return the load under the names of the JSON answer."""
        made = self.kg is not None
        on_bar = bool(self.bar) and made
        return {
            "load_kg": list(self.kg) if self.kg is not None else None,
            "load_with": self.kit if made else None,
            "each_hand": self.each_hand,
            "bar_kg": self.bar_kg if on_bar else None,
            "plates": [list(side) for side in self.sides] if on_bar else None,
        }


def with_loads(base: Base, findings: Any, resolved: Resolved, picks: Iterable[Pick]) -> tuple[Pick, ...]:
    """Return the picks with their loads in kg, as far as these are known."""
    return tuple(_with_load(base, findings, resolved, pick) for pick in picks)


def follows_from(base: Base, picks: Iterable[Pick]) -> frozenset[str]:
    """Return the facts that the loads of these picks follow from, without a rule."""
    entries = [
        entry for pick in picks for entry in base.exercises[pick.exercise].doses[pick.dose.use].get("load-from", ())
    ]
    if not entries:
        return frozenset()
    return frozenset({AT_HAND, BAR, COLLARS, *(entry["of"] for entry in entries if "of" in entry)})


def _with_load(base: Base, findings: Any, resolved: Resolved, pick: Pick) -> Pick:
    exercise = base.exercises[pick.exercise]
    entries = exercise.doses[pick.dose.use].get("load-from", ())
    if not entries:
        return pick
    load = find_load(base, findings, resolved, exercise, entries, pick.way, pick.dose.load_percent)
    if load is None:
        return pick
    because = dict.fromkeys((*pick.because, *(rule for rule in load.rules if rule in base.rules)))
    return pick._replace(dose=pick.dose._replace(weight=load), because=tuple(because))


def find_load(
    base: Base,
    findings: Any,
    resolved: Resolved,
    exercise: Exercise,
    entries: Sequence[Mapping[str, Any]],
    way: int | None,
    percent: int | None = None,
) -> Load | None:
    """Return the load by the first entry that can be followed, or None."""
    for entry in entries:
        kit = _kit(findings, exercise, entry["with"], way)
        if kit is None:
            continue
        pieces = [one for one in base.iron.values() if one.of == kit]
        bars = _bars(findings, pieces)
        ends = _range(findings, entry, bars)
        if ends is None:
            continue
        low, high = ends
        rules: tuple[str, ...] = ()
        if high > low:
            reach, rules = _reach(resolved, exercise.exercise)
            high = low + (high - low) * reach
        share = 1.0 if percent is None else percent / 100
        written = share == 1.0 and not rules and "kg" in entry
        low, high = low * share, high * share
        load = _on_bar(base, findings, kit, bars, pieces, low, high) if bars else _single(base, kit, low, high)
        return load._replace(
            each_hand=bool(entry.get("each-hand")),
            as_written=written and load.kg == tuple(entry["kg"]),
            rules=rules,
        )
    return None


def _kit(findings: Any, exercise: Exercise, kits: Sequence[str], way: int | None) -> str | None:
    """The first of these that the way uses; where no way uses any of them, the first that is at hand."""
    used = exercise.ways[(way or 1) - 1].get("with", ())
    taken = next((kit for kit in kits if kit in used), None)
    if taken is not None or any(kit in one.get("with", ()) for one in exercise.ways for kit in kits):
        return taken
    return next((kit for kit in kits if findings.has(AT_HAND, kit)), None)


def _bars(findings: Any, pieces: Iterable[Iron]) -> list[Iron]:
    """The bars: the one that is known or usual first, then lighter ones, the heavier first."""
    bars = sorted((one for one in pieces if one.part == "bar"), key=lambda one: -one.kg[0])
    known = findings.values(BAR)
    first = next((one for one in bars if one.iron in known), None) or next((one for one in bars if one.usual), None)
    if first is None:
        return bars
    return [first, *(one for one in bars if one.kg[0] < first.kg[0])]


def _range(findings: Any, entry: Mapping[str, Any], bars: Sequence[Iron]) -> tuple[float, float] | None:
    """The ends of the range in kg, before anything is taken off; None where its figure is not known."""
    if "of" in entry:
        figure = findings.number(entry["of"])
        if figure is None:
            return None
        low, high = entry["percent"]
        return figure * low / 100, figure * high / 100
    if "kg" in entry:
        low, high = entry["kg"]
        return float(low), float(high)
    # The bar alone: a figure only where somebody said which bar it is.
    if bars and findings.has(BAR, bars[0].iron):
        return bars[0].kg[0], bars[0].kg[0]
    return None


def _reach(resolved: Resolved, exercise: str) -> tuple[float, tuple[str, ...]]:
    bounds = [change for change in resolved.changes.get(exercise, ()) if change.quantity == "reach"]
    reach = min((change.number for change in bounds), default=1.0)
    if reach >= 1:
        return 1.0, ()
    return reach, tuple(change.rule for change in bounds if change.number == reach)


def _on_bar(
    base: Base, findings: Any, kit: str, bars: Sequence[Iron], pieces: Sequence[Iron], low: float, high: float
) -> Load:
    collar = 0.0
    if findings.has(COLLARS, "on"):
        collar = next((one.kg[0] for one in pieces if one.part == "collar"), 0.0)
    discs = [weight for one in base.iron.values() if one.part == "disc" for weight in _at_hand(findings, one)]
    for bar in bars:
        weight = bar.kg[0]
        top = iron.on_bar(weight, discs, high, collar)
        if top is None:
            continue
        bottom = iron.on_bar(weight, discs, low, collar) or weight + 2 * collar
        bare = weight + 2 * collar
        sides = tuple(iron.side(discs, (one - bare) / 2) or () for one in (bottom, top))
        return Load(kit, (bottom, top), high, False, bar.iron, weight, (sides[0], sides[1]), collar)
    return Load(kit, None, high, bar=bars[-1].iron)


def _at_hand(findings: Any, piece: Iron) -> tuple[float, ...]:
    return piece.kg if findings.has(AT_HAND, piece.of) else ()


def _single(base: Base, kit: str, low: float, high: float) -> Load:
    weights = [weight for one in base.iron.values() if one.of == kit and one.part != "collar" for weight in one.kg]
    top = iron.single(weights, high)
    if top is None:
        return Load(kit, None, high)
    bottom = iron.single(weights, low)
    return Load(kit, (min(weights) if bottom is None else bottom, top), high)
