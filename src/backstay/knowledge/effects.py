"""Effects: from a rule's `then:` to facts and compiled tuples. `for:` selects exercises; without it all are meant.

    written                                                          compiled
    need: {QUALITY: points, …}  points 1..9                          ("need", quality, points)
    need: {each: ATTRIBUTE, points: n}                               ("need-each", attribute, points)
    favour, avoid: [{for: SEL, points: 1..2}]  one or a list         ("favour" | "avoid", ids, points)
    forbid: [SEL, …] | everything              one tuple a selector  ("forbid", ids)
    dose: {for: SEL, use: NAME}                one or a list         ("dose-use", ids, name)  ids that have such a dose
    dose: {for: SEL, QUANTITY: {times|at-most|at-least: n}}          ("dose", ids, quantity, "times" | …, number)
        QUANTITY: sets reps seconds rest load effort metres reach; times is more than 0 and at most 1
        reach: how far up the range of a load in kg, 0 its lower end, 1 all of it; takes only at-most
    notice, tell: MESSAGE                      one or a list         ("notice" | "tell", id)
    ask: ATTRIBUTE                             one or a list         ("ask", attribute)
    side-first: {for: SEL, side: S}                                  ("side-first", ids, S)
        S: left or right, {fact: A}, {opposite-of: A}                    S: ("is", v), ("fact", A), ("opposite-of", A)
    limit: {minutes|stress|items: {at-most: n | {fact: A}}}          ("limit", what, number | ("fact", A))
    days: {for: SEL, on: [3, 4], of: 6}                              ("days", ids, (3, 4), 6)
    spacing: {for: SEL, hours: 48, before: LOAD}                     ("spacing", ids, 48, load or "")
    times-a-week: {for: SEL, at-most: n}                             ("times-a-week", ids, n)
    conclude, assume: {ATTRIBUTE: value or list}                     facts: (attribute, value)
    screening/ only: stop: now|today|days                            ("stop", when)
                     refer: days|weeks · hold: true                  ("refer", when) · ("hold",)

In a caution or level of an exercise file the exercise itself is meant, so there is no `for:`; `forbid: true`,
`avoid: n`, `favour: n` and `dose: {…}` are enough.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from backstay.knowledge.base import Effect
from backstay.knowledge.conditions import fact_value
from backstay.knowledge.figures import FigureError, figure
from backstay.knowledge.names import Names
from backstay.knowledge.problems import listing, nearest
from backstay.knowledge.reading import Cursor
from backstay.knowledge.selectors import Ids, Selectors

QUANTITIES = ("sets", "reps", "seconds", "rest", "load", "effort", "metres", "reach")
BOUNDS = ("times", "at-most", "at-least")
LIMITS = {"minutes": "minutes", "stress": "", "items": ""}
WHEN = {"stop": ("now", "today", "days"), "refer": ("days", "weeks")}
FACTS = ("conclude", "assume")
SCREENING_ONLY = ("stop", "refer", "hold")
MOST_POINTS = {"need": 9, "favour": 2, "avoid": 2}

FactPair = tuple[str, str | float]


class Then(NamedTuple):
    """What a rule does when it fires."""

    concludes: tuple[FactPair, ...]
    assumes: tuple[FactPair, ...]
    effects: tuple[Effect, ...]


class Effects:
    """Reads the `then:` of rules of one base."""

    def __init__(self, names: Names, selectors: Selectors, doses: dict[str, frozenset[str]]) -> None:
        self.names = names
        self.selectors = selectors
        self.doses = doses
        self.readers: dict[str, Callable[[Cursor, Ids | None], Iterator[Effect]]] = {
            "need": self._need,
            "favour": self._prefer("favour"),
            "avoid": self._prefer("avoid"),
            "forbid": self._forbid,
            "dose": self._dose,
            "notice": self._message("notice"),
            "tell": self._message("tell"),
            "ask": self._ask,
            "side-first": self._side_first,
            "limit": self._limit,
            "days": self._days,
            "spacing": self._spacing,
            "times-a-week": self._times_a_week,
            "stop": self._screening("stop"),
            "refer": self._screening("refer"),
            "hold": self._hold,
        }

    def then(self, cursor: Cursor, screening: bool = False, own: Ids | None = None) -> Then:
        """What this `then:` comes to; what is wrong is noted and left out. `own`: the exercise it stands in."""
        concludes: list[FactPair] = []
        assumes: list[FactPair] = []
        effects: list[Effect] = []
        if not isinstance(cursor.value, dict) or not cursor.value:
            cursor.error("no-effect", "`then` is a mapping of effects and holds at least one.")
            return Then((), (), ())
        for name, below in cursor.entries():
            if name in FACTS and own is None:
                (concludes if name == "conclude" else assumes).extend(self._facts(below))
            elif name in SCREENING_ONLY and not screening:
                what = f"`{name}` belongs to screening/ alone."
                cursor.key_error(name, "screening-only", what, "Use `forbid`, `avoid` or `notice` here.")
            elif name in self.readers:
                effects.extend(self.readers[name](below, own))
            else:
                hint = nearest(name, [*self.readers, *(() if own else FACTS)])
                cursor.key_error(name, "unknown-effect", f"`{name}` is no effect.", hint)
        return Then(tuple(concludes), tuple(assumes), tuple(effects))

    def _facts(self, cursor: Cursor) -> Iterator[FactPair]:
        if not self._keys(cursor, {}, {}, open_=True):
            return
        for name, below in cursor.entries():
            attribute = self.names.attribute(name, cursor, name)
            if attribute is None:
                continue
            if attribute.measure or attribute.kind in ("map", "records"):
                what = "a measure is computed, not concluded." if attribute.measure else f"name a part of `{name}`."
                cursor.key_error(name, "not-concludable", what)
                continue
            if attribute.kind in ("one", "number") and isinstance(below.value, list) and len(below.value) > 1:
                below.error("one-value", f"`{name}` has one value, not several.")
                continue
            for item in below.items():
                value = fact_value(item, attribute)
                if value is not None:
                    yield name, value

    def _need(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        if not self._keys(cursor, {}, {}, open_=True):
            return
        if cursor.has("each"):
            if not self._keys(cursor, {"each": "an attribute", "points": "points"}, {}):
                return
            attribute = self.names.attribute(cursor.value["each"], cursor.at("each"))
            points = self._whole(cursor.at("points"), 1, MOST_POINTS["need"])
            if attribute is not None and points is not None:
                unknown = [value for value in attribute.values if value not in self.names.known["quality"]]
                if attribute.kind not in ("one", "many") or (unknown and "quality" not in self.names.unsure):
                    cursor.at("each").error("not-qualities", f"the values of `{attribute.name}` are no qualities.")
                    return
                yield "need-each", attribute.name, points
            return
        for quality, below in cursor.entries():
            known = self.names.check("quality", quality, cursor, quality)
            points = self._whole(below, 1, MOST_POINTS["need"])
            if known and points is not None:
                yield "need", quality, points

    def _prefer(self, name: str) -> Callable[[Cursor, Ids | None], Iterator[Effect]]:
        def read(cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
            if own is not None:
                points = self._whole(cursor, 1, MOST_POINTS[name])
                if points is not None:
                    yield name, own, points
                return
            for item in cursor.items():
                if self._keys(item, {"points": "1 or 2"}, {"for": "which exercises"}):
                    ids = self._ids(item, own)
                    points = self._whole(item.at("points"), 1, MOST_POINTS[name])
                    if ids is not None and points is not None:
                        yield name, ids, points

        return read

    def _forbid(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        if own is not None:
            if cursor.value is not True:
                cursor.error("wrong-type", "`forbid` is `true` in an exercise file.")
                return
            yield "forbid", own
            return
        for item in cursor.items():
            ids = self.selectors.select(item)
            if ids is not None:
                yield "forbid", ids

    def _dose(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        for item in cursor.items():
            wanted = {"use": "the name of a dose", **dict.fromkeys(QUANTITIES, "a bound")}
            if not self._keys(item, {}, wanted if own else {"for": "which exercises", **wanted}):
                continue
            ids = self._ids(item, own)
            if set(item.value) <= {"for"}:
                item.error("no-effect", "this dose changes nothing.", f"Write `use` or one of {listing(QUANTITIES)}.")
            for name, below in item.entries():
                if name == "use":
                    yield from self._use(below, ids)
                elif name != "for":
                    yield from self._bounds(name, below, ids)

    def _use(self, cursor: Cursor, ids: Ids | None) -> Iterator[Effect]:
        if ids is None:
            return
        having = tuple(id_ for id_ in ids if cursor.value in self.doses.get(id_, ()))
        if having:
            yield "dose-use", having, cursor.value
        elif not isinstance(cursor.value, str) or (ids and "exercise" not in self.names.unsure):
            known = {name for id_ in ids for name in self.doses.get(id_, ())}
            cursor.error(
                "unknown-dose",
                f"none of these exercises has a dose `{cursor.value}`.",
                nearest(str(cursor.value), known),
            )

    def _bounds(self, quantity: str, cursor: Cursor, ids: Ids | None) -> Iterator[Effect]:
        if not self._keys(cursor, {}, dict.fromkeys(BOUNDS, "a number")):
            return
        if not cursor.value:
            cursor.error("no-effect", f"`{quantity}` is bounded by nothing here.", f"Write one of {listing(BOUNDS)}.")
        for bound, below in cursor.entries():
            number = self._number(below)
            if number is None:
                continue
            if quantity == "reach":
                if bound != "at-most" or not 0 <= number <= 1:
                    below.error("dose-not-sane", "`reach` is bounded `at-most`, from 0 to 1.", "0 is the lower end.")
                elif ids is not None:
                    yield "dose", ids, quantity, bound, number
                continue
            if number <= 0 or (bound == "times" and number > 1):
                follow = (
                    "It is more than 0 and at most 1: a dose is only ever made smaller." if bound == "times" else ""
                )
                below.error(
                    "dose-not-sane", f"`{bound}: {below.value}` does not fit a dose.", follow or "It is more than 0."
                )
            elif ids is not None:
                yield "dose", ids, quantity, bound, number
        low, high = cursor.value.get("at-least"), cursor.value.get("at-most")
        if isinstance(low, int | float) and isinstance(high, int | float) and low > high:
            follow = "`at-least` is the lower one."
            cursor.error("dose-not-sane", f"`{quantity}` is at least {low} and at most {high}.", follow)

    def _message(self, name: str) -> Callable[[Cursor, Ids | None], Iterator[Effect]]:
        def read(cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
            for item in cursor.items():
                if self.names.check("message", item.value, item):
                    yield name, item.value

        return read

    def _ask(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        for item in cursor.items():
            attribute = self.names.attribute(item.value, item)
            if attribute is None:
                continue
            asked = self.names.known.get("asked", set())
            if attribute.name not in asked and not any(name.startswith(f"{attribute.name}.") for name in asked):
                if "question" not in self.names.unsure:
                    item.error("unknown-question", f"no question asks `{attribute.name}`.", "Write one in questions/.")
            else:
                yield "ask", attribute.name

    def _side_first(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        optional = {} if own else {"for": "which exercises"}
        if not self._keys(cursor, {"side": "left, right, a fact or its opposite"}, optional):
            return
        ids, side = self._ids(cursor, own), cursor.at("side")
        value = self._reference(side, ("fact", "opposite-of"))
        if value is None and side.value in ("left", "right"):
            value = ("is", side.value)
        elif value is None and not isinstance(side.value, dict):
            side.error("unknown-value", "a side is left, right, {fact: A} or {opposite-of: A}.")
        if ids is not None and value is not None:
            yield "side-first", ids, value

    def _limit(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        if not self._keys(cursor, {}, dict.fromkeys(LIMITS, "at-most")):
            return
        for what, below in cursor.entries():
            if not self._keys(below, {"at-most": "a number"}, {}):
                continue
            most = below.at("at-most")
            if isinstance(most.value, dict):
                number: Any = self._reference(most, ("fact",), number=True)
            else:
                number = self._number(most, LIMITS[what])
                if number is not None and number <= 0:
                    most.error("impossible-figure", f"`{what}` of {most.value} leaves nothing.", "It is more than 0.")
                    number = None
            if number is not None:
                yield "limit", what, number

    def _days(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        for item in cursor.items():
            optional = {} if own else {"for": "which exercises"}
            if not self._keys(item, {"on": "a list of days", "of": "how many days"}, optional):
                continue
            ids, of = self._ids(item, own), self._whole(item.at("of"), 1, 7)
            on = [self._whole(day, 1, of or 7) for day in item.at("on").items()]
            days = tuple(day for day in on if day is not None)
            if ids is not None and of is not None and days and len(days) == len(on):
                yield "days", ids, days, of

    def _spacing(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        for item in cursor.items():
            optional = {"before": "what lies on a day", **({} if own else {"for": "which exercises"})}
            if not self._keys(item, {"hours": "hours"}, optional):
                continue
            ids, hours, before = self._ids(item, own), self._whole(item.at("hours"), 1, 240), ""
            if item.has("before"):
                load = self.names.attribute("day-load", item, "before")
                found = None if load is None else fact_value(item.at("before"), load._replace(kind="many"))
                if found is None:
                    continue
                before = str(found)
            if ids is not None and hours is not None:
                yield "spacing", ids, hours, before

    def _times_a_week(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        for item in cursor.items():
            if self._keys(item, {"at-most": "a number of days"}, {} if own else {"for": "which exercises"}):
                ids, most = self._ids(item, own), self._whole(item.at("at-most"), 0, 7)
                if ids is not None and most is not None:
                    yield "times-a-week", ids, most

    def _screening(self, name: str) -> Callable[[Cursor, Ids | None], Iterator[Effect]]:
        def read(cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
            if cursor.value in WHEN[name]:
                yield name, cursor.value
            else:
                cursor.error("unknown-value", f"`{name}` is one of {listing(WHEN[name])}.")

        return read

    def _hold(self, cursor: Cursor, own: Ids | None) -> Iterator[Effect]:
        if cursor.value is True:
            yield ("hold",)
        else:
            cursor.error("unknown-value", "`hold` is `true`, or is not written.")

    def _ids(self, cursor: Cursor, own: Ids | None) -> Ids | None:
        if own is not None:
            return own
        return self.selectors.select(cursor.at("for")) if cursor.has("for") else self.selectors.all

    def _reference(self, cursor: Cursor, allowed: tuple[str, ...], number: bool = False) -> tuple[str, str] | None:
        """`{fact: A}` or `{opposite-of: A}`, or None (noted if it is a mapping of something else)."""
        if not isinstance(cursor.value, dict):
            return None
        if len(cursor.value) != 1 or next(iter(cursor.value)) not in allowed:
            cursor.error(
                "bad-reference", f"a value taken from a fact is {' or '.join(f'{{{word}: A}}' for word in allowed)}."
            )
            return None
        word = next(iter(cursor.value))
        attribute = self.names.attribute(cursor.value[word], cursor.at(word))
        if attribute is None:
            return None
        if number and attribute.kind != "number":
            cursor.at(word).error("not-a-number", f"`{attribute.name}` is no number.")
            return None
        if not number and not set(attribute.values) & {"left", "right"}:
            cursor.at(word).error("not-a-side", f"`{attribute.name}` is no side.")
            return None
        return word, attribute.name

    def _keys(self, cursor: Cursor, needed: dict[str, str], optional: dict[str, str], open_: bool = False) -> bool:
        """Whether this is a mapping with these keys; each that is wrong or missing is noted."""
        if not isinstance(cursor.value, dict):
            wanted = listing([*needed, *optional]) or "its keys"
            cursor.error("not-a-mapping", f"a mapping is expected here, with {wanted}.")
            return False
        if open_:
            return True
        good = True
        for key in cursor.value:
            if key not in needed and key not in optional:
                hint = nearest(key, [*needed, *optional]) or f"It takes {listing([*needed, *optional])}."
                cursor.key_error(key, "unknown-key", f"`{key}` does not belong here.", hint)
                good = False
        for key in needed:
            if key not in cursor.value:
                cursor.error("missing-key", f"`{key}` is missing here: {needed[key]}.")
                good = False
        return good

    def _whole(self, cursor: Cursor, low: int, high: int) -> int | None:
        value = cursor.value
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        cursor.error("out-of-bounds", f"a whole number from {low} to {high} is expected here.")
        return None

    def _number(self, cursor: Cursor, unit: str = "") -> float | None:
        value = cursor.value
        try:
            number = figure(value, unit)
        except FigureError as error:
            cursor.error("wrong-unit", str(error)[0].lower() + str(error)[1:])
            return None
        return value if isinstance(value, int) else number
