"""A dose in words: "4 x 7 each side, left first (stance leg), rest 90 to 120 s"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from backstay.reply.reply import Shown
from backstay.reply.words import Words, lowered


def amount(words: Words, dose: Mapping[str, Any], each_side: bool = False) -> str:
    """Sets and what is in one: "3 x 17 to 30", "2 x 20 s each side"."""
    parts = []
    for name, message in (("seconds", "dose-seconds"), ("reps", "dose-reps"), ("metres", "dose-metres")):
        if dose.get(name):
            parts.append(words.say(message, count=words.span(dose[name])))
    inner = (
        parts[0] if len(parts) == 1 else words.say("dose-hold-then", first=parts[0], second=parts[1]) if parts else ""
    )
    text = words.say("dose-sets", sets=words.span(dose.get("sets") or 1), amount=inner)
    return words.say("dose-each-side", amount=text) if each_side or dose.get("per_side") else text


def shaped(words: Words, dose: Mapping[str, Any], usual: Mapping[str, Any] | None) -> str:
    """The amount, with the shape of a set where nothing has changed its figures since it was written."""
    shape = dose.get("shape")
    if (
        not shape
        or usual is None
        or any(dose.get(name) and list(dose[name]) != _pair(usual.get(name)) for name in ("reps", "seconds", "metres"))
    ):
        return amount(words, dose)
    return words.say("dose-shape", sets=words.count("sets", dose.get("sets") or 1), shape=str(shape))


def first_side(words: Words, pick: Shown) -> str:
    """Which side goes first, and what a side means."""
    if pick.first_side and pick.side_means:
        return words.say("dose-first", side=words.value("side", pick.first_side), means=pick.side_means)
    if pick.first_side:
        return words.say("dose-first-plain", side=words.value("side", pick.first_side))
    if pick.side_means and pick.dose.get("per_side"):
        return words.say("dose-take-turns", means=pick.side_means)
    return ""


def line(words: Words, pick: Shown, exercise: Any) -> str:
    """The whole of a dose in one line: which of its doses, how much, which side first, the rest between."""
    usual = exercise.doses.get(pick.dose.get("use")) if exercise is not None else None
    several = exercise is not None and len(exercise.doses) > 1
    much = shaped(words, pick.dose, usual)
    if several and pick.dose.get("use"):
        much = words.say("topic-line", topic=words.value("use", pick.dose["use"]), text=much)
    parts = [much, first_side(words, pick)]
    rest = pick.dose.get("rest_s")
    if rest and rest[-1]:
        parts.append(words.say("dose-rest", seconds=words.span(rest)))
    return "; ".join(part for part in parts if part)


def load(words: Words, dose: Mapping[str, Any]) -> str:
    """How heavy."""
    parts = []
    if dose.get("load"):
        parts.append(words.say("dose-load", load=lowered(str(dose["load"]).rstrip("."))))
    percent = dose.get("load_percent")
    if percent and percent < 100 and not dose.get("load_kg"):  # the kilograms hold it already
        parts.append(words.say("dose-percent", percent=percent))
    return "; ".join(parts)


def effort(words: Words, dose: Mapping[str, Any]) -> str:
    """How far from the last repetition to stop, and how much less of many at first."""
    parts = []
    reserve = dose.get("reserve")
    if reserve and reserve[-1] and dose.get("reps"):
        parts.append(words.say("dose-reserve", count=words.span(reserve)))
    first = dose.get("first_sessions")
    if first:
        parts.append(words.say("load-first-sessions", sessions=first["sessions"], count=words.span(first["reps"])))
    return "; ".join(parts)


def when(words: Words, pick: Shown, training_days: float | None) -> str:
    """On which training day, how often, how long it takes."""
    parts = []
    if pick.days:
        days = words.join((str(day) for day in pick.days), "list-or")
        if training_days:
            parts.append(words.say("when-day-of", days=days, of=words.span(training_days)))
        else:
            parts.append(words.say("when-day", days=days))
    times = pick.dose.get("times_a_week")
    if times:
        parts.append(words.say("when-once-a-week") if times == 1 else words.say("when-times-a-week", times=times))
    if pick.minutes:
        parts.append(words.say("when-minutes", minutes=words.span(pick.minutes)))
    return ", ".join(parts)


def from_file(words: Words, dose: Mapping[str, Any], per_side: bool) -> str:
    """A dose as an exercise file writes it, in the words of a line."""
    figures = {**dose, "per_side": per_side, "rest_s": _pair(dose.get("rest"))}
    if dose.get("shape"):
        text = words.say("dose-shape", sets=_sets(words, dose), shape=str(dose["shape"]))
    else:
        text = amount(words, figures)
    parts = [text]
    if figures["rest_s"] and figures["rest_s"][-1]:
        parts.append(words.say("dose-rest", seconds=words.span(figures["rest_s"])))
    return "; ".join(parts)


def _sets(words: Words, dose: Mapping[str, Any]) -> str:
    sets = _pair(dose.get("sets")) or [1, 1]
    return words.count("sets", sets[0]) if sets[0] == sets[1] else words.say("sets-many", count=words.span(sets))


def _pair(value: Any) -> list[int]:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [int(value[0]), int(value[-1])]
    return [int(value), int(value)] if value is not None else []
