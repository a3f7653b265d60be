"""Sheet: a week or a block as what stands on one page, in words and figures, before it is text, HTML or Markdown.

It is made of a reply and knows nothing that the reply does not hold; where a reply holds no week and no block, as in a
stop, a referral or an open question, there is no sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from backstay.case import Case
from backstay.reply import dosage
from backstay.reply.held import held
from backstay.reply.reply import Reply, Shown
from backstay.reply.text import CARD
from backstay.reply.words import Words, capital, lowered

DAYS_A_WEEK = 7
PERCENT = 100


class Entry(NamedTuple):
    """One exercise of a sheet, all in words."""

    exercise: str
    name: str
    short: str  # sets and what is in one, and which side goes first
    dose: str
    load: str
    effort: str
    cues: tuple[str, ...]
    back: str  # its load on the low back in a sentence; empty without a figure
    figure: float | None


class Day(NamedTuple):
    """One training day of the week: its weekday, Monday = 0, and the places of its exercises among the entries."""

    weekday: int
    entries: tuple[int, ...]
    minutes: int
    seconds: float  # reference seconds
    alike: float  # the same with every second weighed by the figure itself


class Stretch(NamedTuple):
    """A run of days of a block with one menu."""

    phase: str
    first: date
    last: date
    entries: tuple[Entry, ...]
    days: tuple[Day, ...]


class Week(NamedTuple):
    """One week of a block, counted back from the meet, with what its sessions load."""

    out: int
    first: date
    last: date
    phase: str
    seconds: float
    alike: float  # every second weighed by the figure itself


class Session(NamedTuple):
    """One day of training with its date."""

    day: date
    entries: tuple[Entry, ...]
    phase: str


class Sheet(NamedTuple):
    """All that stands on one page."""

    kind: str  # week | block | card
    title: str
    told: str  # for whom
    notices: tuple[str, ...]
    cautions: tuple[str, ...]
    entries: tuple[Entry, ...]  # of a block: each exercise once, as it is done first
    days: tuple[Day, ...]  # of a week
    stretches: tuple[Stretch, ...]  # of a block
    weeks: tuple[Week, ...]
    meet: date | None
    load: tuple[str, ...]  # sentences on the load on the low back
    without: tuple[str, ...]  # exercises without a figure
    assumed: str
    stop_rule: str
    pain_rule: str
    made: str
    name: str = ""  # of whoever it is for, where it was given


def sheet(base: Any, reply: Reply, today: date, card: bool = False) -> Sheet | None:
    """Return the sheet of a reply, or None where there is nothing to hang on a wall; a `card` holds any exercises."""
    if reply.outcome not in ("advice", "noted") or not reply.picks:
        return None
    words = Words(base)
    if card:
        entries = tuple(entry(base, words, pick, _banded(pick.spine_load or {})) for pick in reply.picks)
        return _sheet(words, base, reply, today, "card", words.say("sheet-title-card"), entries)
    if reply.extra.get("week"):
        return _week(base, words, reply, today)
    if reply.extra.get("block"):
        return _block(base, words, reply, today)
    return None


def sessions(one: Sheet, first: date) -> tuple[Session, ...]:
    """Return the training days with their dates: of a block all, of a week the seven days from `first` on."""
    if one.stretches:
        return tuple(
            Session(day, tuple(stretch.entries[place] for place in here.entries), stretch.phase)
            for stretch in one.stretches
            for day in _dates(stretch.first, stretch.last)
            for here in stretch.days
            if here.weekday == day.weekday() and here.entries
        )
    return tuple(
        Session(day, tuple(one.entries[place] for place in here.entries), "")
        for day in _dates(first, first + timedelta(days=DAYS_A_WEEK - 1))
        for here in one.days
        if here.weekday == day.weekday() and here.entries
    )


def on_days(stretch: Stretch, place: int) -> tuple[int, ...]:
    """Return the weekdays on which an exercise of a stretch really comes; in a short one some days are missing."""
    there = {day.weekday() for day in _dates(stretch.first, stretch.last)}
    return tuple(day.weekday for day in stretch.days if place in day.entries and day.weekday in there)


def date_words(words: Words, day: date, year: bool = True) -> str:
    """Write a date as people do: "12 December 2026"."""
    month = words.say(f"month-{day.month}")
    if year:
        return words.say("sheet-date", day=day.day, month=month, year=day.year)
    return words.say("sheet-day-month", day=day.day, month=month)


def _week(base: Any, words: Words, reply: Reply, today: date) -> Sheet:
    load = reply.extra["back_load"]
    entries = _entries(base, words, reply.picks, load)
    days = _days(reply.extra["week"], reply.picks, load)
    return _sheet(words, base, reply, today, "week", words.say("sheet-title-week"), entries)._replace(
        days=days, load=_load(words, load), without=_without(words, load)
    )


def _block(base: Any, words: Words, reply: Reply, today: date) -> Sheet:
    stretches = []
    shown: dict[str, Entry] = {}
    for stretch in reply.extra["block"]:
        picks = [_shown(pick) for pick in stretch["picks"]]
        load = stretch["back_load"]
        entries = _entries(base, words, picks, load)
        for entry in entries:
            shown.setdefault(entry.exercise, entry)
        first, last = date.fromisoformat(stretch["first"]), date.fromisoformat(stretch["last"])
        days = _days(stretch["week"], picks, load)
        phase = words.value("phase", stretch["phase"])
        stretches.append(Stretch(phase, first, last, entries, days))
    meet = stretches[-1].last + timedelta(days=1)
    title = words.say("sheet-title-block", date=_named(words, meet))
    without = [one for stretch in reply.extra["block"] for one in _without(words, stretch["back_load"])]
    made = _sheet(words, base, reply, today, "block", title, tuple(shown.values()))
    return made._replace(
        stretches=tuple(stretches),
        weeks=_weeks(stretches, meet),
        meet=meet,
        load=(words.say("sheet-back-seconds"), words.say("sheet-shares"), words.say("sheet-back-limits")),
        without=tuple(dict.fromkeys(without)),
    )


def _sheet(
    words: Words, base: Any, reply: Reply, today: date, kind: str, title: str, entries: tuple[Entry, ...]
) -> Sheet:
    cards = [notice.text for notice in reply.notices if notice.id == CARD]
    facts = held(words, base.attributes, Case.from_json(reply.case).facts)
    assumed = [words.fact(*one) for one in reply.assumed.items() if words.names_assumption(*one)]
    return Sheet(
        kind=kind,
        title=title,
        told=words.say("sheet-told", facts=", ".join(facts)) if facts else "",
        notices=tuple(notice.text for notice in reply.notices if notice.id != CARD),
        cautions=(*(one["text"] for one in reply.extra.get("told", ())), *cards),
        entries=entries,
        days=(),
        stretches=(),
        weeks=(),
        meet=None,
        load=(),
        without=(),
        assumed=words.say("took-for-granted", facts=words.join(sorted(assumed, key=len))) if assumed else "",
        stop_rule=words.say("safety-net"),
        pain_rule=words.say("sheet-pain"),
        made=words.say("sheet-made", date=date_words(words, today)),
    )


def _entries(base: Any, words: Words, picks: Sequence[Shown], load: Mapping[str, Any]) -> tuple[Entry, ...]:
    shares = {share["exercise"]: share for share in load["exercises"]}
    return tuple(entry(base, words, pick, shares.get(pick.exercise)) for pick in picks)


def entry(base: Any, words: Words, pick: Shown, share: Mapping[str, Any] | None = None) -> Entry:
    """Put one exercise into words; `share` is its part of the load on the low back."""
    known = base.exercises[pick.exercise]
    short = [dosage.shaped(words, pick.dose, known.doses.get(pick.dose.get("use")))]
    if pick.first_side:
        short.append(dosage.first_side(words, pick))
    figure = share.get("figure") if share else None
    back = ""
    if share and figure is not None:
        band = {name: f"{share[name]:.1f}" for name in ("figure", "low", "high")}
        back = words.say("sheet-back-figure", **band)
    return Entry(
        exercise=pick.exercise,
        name=words.say("pick-way", name=pick.name, way=lowered(pick.way)) if pick.way else pick.name,
        short="; ".join(short),
        dose=capital(dosage.line(words, pick, known)),
        load=capital(dosage.load(words, pick.dose)),
        effort=capital(dosage.effort(words, pick.dose)),
        cues=tuple(known.cues),
        back=back,
        figure=figure,
    )


def _days(days: Iterable[Mapping[str, Any]], picks: Sequence[Shown], load: Mapping[str, Any]) -> tuple[Day, ...]:
    shares = {share["exercise"]: share for share in load["exercises"]}
    places = {pick.exercise: place for place, pick in enumerate(picks)}
    return tuple(
        Day(
            day["weekday"],
            tuple(places[name] for name in day["exercises"] if name in places),
            day["minutes"],
            sum(shares[name].get("session_seconds", 0.0) for name in day["exercises"] if name in shares),
            sum(shares[name].get("session_alike", 0.0) for name in day["exercises"] if name in shares),
        )
        for day in days
    )


def _load(words: Words, load: Mapping[str, Any]) -> tuple[str, ...]:
    if not load["seconds"]:
        return ()
    band = {name: f"{load[name]:.0f}" for name in ("seconds", "low", "high")}
    of = "sheet-back-week" if load["accessories_only"] else "sheet-back-week-lifts"
    return words.say(of, **band), words.say("sheet-back-seconds"), words.say("sheet-back-limits")


def _banded(load: Mapping[str, Any]) -> dict[str, Any]:
    """The load of one exercise of an answer with the ends of its band."""
    figure = load.get("figure")
    if figure is None:
        return {"figure": None}
    low, high = 1 - load["below"] / PERCENT, 1 + load["above"] / PERCENT
    return {"figure": figure, "low": figure * low, "high": figure * high}


def _without(words: Words, load: Mapping[str, Any]) -> tuple[str, ...]:
    return tuple(words.exercise(one["exercise"]) for one in load["exercises"] if one["figure"] is None)


def _weeks(stretches: Sequence[Stretch], meet: date) -> tuple[Week, ...]:
    """Sum the sessions of each week, the weeks counted back from the meet; the first may be cut short."""
    made: dict[int, Week] = {}
    for stretch in stretches:
        for day in _dates(stretch.first, stretch.last):
            out = ((meet - day).days + DAYS_A_WEEK - 1) // DAYS_A_WEEK
            week = made.get(out, Week(out, day, day, stretch.phase, 0.0, 0.0))
            here = [one for one in stretch.days if one.weekday == day.weekday()]
            made[out] = week._replace(
                last=day,
                seconds=week.seconds + sum(one.seconds for one in here),
                alike=week.alike + sum(one.alike for one in here),
            )
    return tuple(made.values())


def _shown(pick: Mapping[str, Any]) -> Shown:
    return Shown(
        exercise=pick["exercise"],
        name=pick["name"],
        dose=pick["dose"],
        minutes=pick["minutes"],
        days=tuple(pick["days"]),
        side_means=pick["side_means"],
        first_side=pick["first_side"],
        way=pick["way"],
    )


def _named(words: Words, day: date) -> str:
    weekday = words.say(f"weekday-{day.weekday()}")
    return words.say("sheet-weekday-date", weekday=weekday, date=date_words(words, day))


def _dates(first: date, last: date) -> Iterable[date]:
    return (first + timedelta(days=count) for count in range((last - first).days + 1))
