"""Work: the figures of one exercise as a logbook writes them, read from a run of words.

3x10 @ 20 kg · 100 kg x 6 x 4 · 80/2/3 · five sets of three with 140 · three doubles at 80 · 4 trips of 30 metres
rpe 8 · 2 RIR · had 4 more in me · left hand only. Loads are in kilograms, times in seconds, ways in metres.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.numbers import Number, load_at, number_at, ranges_at
from backstay.language.quantities import CLOCKS, WEIGHTS

SETS = frozenset({"set", "sets", "rounds", "round", "trips", "trip", "series", "lengths", "circuits", "goes", "bouts"})
REPS = frozenset({"rep", "reps", "repetition", "repetitions", "repeats"})
METRES = frozenset({"m", "metre", "metres", "meter", "meters"})
CLUSTERS = MappingProxyType({"single": 1.0, "singles": 1.0, "double": 2.0, "doubles": 2.0, "triple": 3.0,
                             "triples": 3.0, "fives": 5.0})  # fmt: skip
CROSSES = frozenset({"x", "by", "times", "/"})
LOADED = frozenset({"at", "with", "using", "holding", "carrying", "load", "weight", "on"})
EFFORTS = frozenset({"rpe", "effort", "rated", "felt"})
SAID = frozenset({"of", "is", "was", "about", "around", "at", "like", "it"})
SPARE = (
    ("rir",), ("in", "reserve"), ("in", "the", "tank"), ("left", "in"), ("more", "in"), ("left", "over"),
    ("to", "spare"), ("left",), ("spare",),
)  # fmt: skip
"""What is said behind the reps that could still have been done."""
LOWEST_LOAD, LIGHTEST_FIRST = 1.5, 20.0
MOST_SETS, MOST_REPS, MOST_RESERVE = 60, 200, 10


def work_in(words: Words, low: int, high: int) -> dict[str, Any]:
    """What was done by the words from `low` to before `high`; empty without sets, reps, time or way."""
    record: dict[str, Any] = {}
    at = low
    while at < high:
        at = max(at + 1, _piece(words, at, high, record))
    return record


def _piece(words: Words, at: int, high: int, record: dict[str, Any]) -> int:
    """Read what begins at a place into the record; the place after it."""
    text = words.words
    word = text[at]
    if word in ("left", "right") and text[at - 1 : at] != ["reps"] and text[at + 1 : at + 2] != ["in"]:
        if not _alike(text, at, "about"):
            record.setdefault("side", word)
        return at + 1
    if word in ("a", "one") and text[at + 1 : at + 2] in (["set"], ["single"], ["double"], ["triple"]):
        return _counted(words, Number(1.0, at + 1), high, record)
    number = _number(words, at, high)
    if number is None:
        return at + 1
    end = number.end
    if _effort_before(text, at):
        if number.value <= 10:
            record.setdefault("effort", number.value)
        return _past_ten(text, end)
    if _of_ten(text, end):
        near = {*text[max(0, at - 4) : at], *text[end : end + 6]}
        if near & {*EFFORTS, "felt", "hard", "effort"} and "pain" not in near:
            record.setdefault("effort", number.value)
        return _past_ten(text, end)
    spare = _spare(text, end, high)
    if spare or (text[at - 1 : at] == ["rir"] and at > 0):
        if number.value <= MOST_RESERVE:
            record.setdefault("reserve", number.value)
        return max(end, spare)
    if text[end : end + 1] == ["percent"]:
        return end + 1
    return _counted(words, number, high, record)


def _counted(words: Words, number: Number, high: int, record: dict[str, Any]) -> int:
    """A number by what it counts, with what it is multiplied by."""
    text = words.words
    chain = _chain(words, number, high)
    if len(chain) > 1:
        _chained(record, chain)
        return chain[-1][2]
    value, unit, end = chain[0]
    if unit == "load":
        record.setdefault("load", round(value, 1))
    elif unit in ("seconds", "metres", "reps"):
        if not {"reps", "seconds", "metres"} & record.keys():
            record[unit] = value
    elif unit == "sets":
        if value <= MOST_SETS:
            record.setdefault("sets", value)
    elif unit in ("singles",):
        pass
    elif number.end == end and _load_here(text, number, end):
        record.setdefault("load", value)
    elif text[end : end + 1] and text[end] in CLUSTERS and "sets" not in record:
        record["sets"], record["reps"] = value, CLUSTERS[text[end]]
        return end + 1
    return end


def _load_here(text: list[str], number: Number, end: int) -> bool:
    """Whether a bare number is a load: behind at or with, or too great for anything else."""
    start = end - 1
    while (
        start > 0 and text[start - 1] not in LOADED and text[start - 1] in ("the", "a", "an", "only", "just", "about")
    ):
        start -= 1
    before = text[start - 1] if start > 0 else ""
    after = text[end] if end < len(text) else ""
    if after in ("x", "weeks", "days", "o", "am", "pm", "times", "minutes") or after in CLUSTERS:
        return False
    return (before in LOADED and number.value >= LOWEST_LOAD) or number.value >= LIGHTEST_FIRST


def _chain(words: Words, number: Number, high: int) -> list[tuple[float, str, int]]:
    """Numbers joined by crosses, each with its unit: 3 x 10 x 20 kg."""
    text = words.words
    found = [_united(words, number, high)]
    while True:
        end = found[-1][2]
        of = end
        if (of < high and text[of] in ("of", "at", "with") and found[-1][1] == "sets") or (
            of < high and text[of] in CROSSES and not _of_ten(text, of)
        ):
            of += 1
        elif not (found[-1][1] == "sets" and of < high and text[of][0].isdigit()):
            return found
        following = _number(words, of, high) if of < high and words.breaks[of] != SENTENCE else None
        if following is None or len(found) == 3:
            return found
        found.append(_united(words, following, high))


def _united(words: Words, number: Number, high: int) -> tuple[float, str, int]:
    text, at = words.words, number.end
    if at >= high or words.breaks[at] != NONE:
        return number.value, "", at
    word = text[at]
    if word in WEIGHTS:
        return round(number.value * WEIGHTS[word], 1), "load", at + 1
    if word in SETS:
        return number.value, "sets", at + 1
    if word in REPS:
        return number.value, "reps", at + 1
    if word in METRES:
        return number.value, "metres", at + 1
    if word in CLOCKS and CLOCKS[word] <= 60.0:
        value, end = number.value * CLOCKS[word], at + 1
        if CLOCKS[word] == 60.0 and end + 1 < high and text[end + 1] in CLOCKS and text[end][0].isdigit():
            value, end = value + float(text[end]), end + 2
        return value, "seconds", end
    return number.value, "", at


def _chained(record: dict[str, Any], chain: list[tuple[float, str, int]]) -> None:
    """Sets x reps [x load], or load x reps [x sets] where the first is a load."""
    values = [value for value, _, _ in chain]
    units = [unit for _, unit, _ in chain]
    if units[0] == "load" or (not units[0] and values[0] >= LIGHTEST_FIRST and values[0] > 2 * values[1]):
        record.setdefault("load", values[0])
        if units[1] == "sets":
            record.setdefault("sets", values[1])
            _put(record, "reps", values[2] if len(values) > 2 else None)
            return
        _put(record, units[1] or "reps", values[1])
        if len(values) > 2:
            record.setdefault("sets", values[2])
        return
    if units[0] in ("reps", "seconds", "metres"):  # 10 reps x 3
        _put(record, units[0], values[0])
        record.setdefault("sets", values[1])
    elif units[1] == "sets":
        _put(record, "reps", values[0])
        record.setdefault("sets", values[1])
    elif units[1] == "load":  # 5 x 60 kg
        record.setdefault("sets" if units[0] == "sets" else "reps", values[0])
        record.setdefault("load", values[1])
    elif values[0] <= MOST_SETS and "sets" not in record:
        record["sets"] = values[0]
        _put(record, units[1] or "reps", values[1])
    if len(values) > 2 and units[2] in ("", "load") and (units[2] or values[2] >= LIGHTEST_FIRST):
        record.setdefault("load", values[2])


def _put(record: dict[str, Any], unit: str, value: float | None) -> None:
    if value is not None and value <= 3600 and not (unit == "reps" and value > MOST_REPS):
        record.setdefault(unit, value)


def _number(words: Words, at: int, high: int) -> Number | None:
    text = words.words
    if text[at] in ("a", "one") and text[at + 1 : at + 2] in (["minute"], ["min"], ["second"]) and at + 1 < high:
        return Number(1.0, at + 1)
    if text[at] in ("a", "an", "couple") and text[at + 1 : at + 2] not in (["dozen"], ["couple"], ["hundred"]):
        return number_at(words, at) if text[at] == "couple" else None
    spoken = load_at(words, at) if text[at - 1 : at] and text[at - 1] in LOADED else None
    found = ranges_at(words, at)
    number = spoken if spoken is not None else (found[-1] if found else None)
    return number if number is not None and number.end <= high else None


def _of_ten(text: list[str], end: int) -> bool:
    return text[end : end + 2] in (["/", "10"], ["of", "10"], ["of", "ten"]) or text[end : end + 3] in (
        ["out", "of", "10"],
        ["out", "of", "ten"],
    )


def _past_ten(text: list[str], end: int) -> int:
    return end + (3 if text[end : end + 1] == ["out"] else 2) if _of_ten(text, end) else end


def _effort_before(text: list[str], at: int) -> bool:
    before = text[max(0, at - 2) : at]
    named = before[-1:] and (before[-1] in EFFORTS or (before[0] in EFFORTS and before[-1] in SAID))
    return bool(named) or before in (["like", "an"], ["like", "a"], ["an", "easy"], ["a", "hard"])


def _spare(text: list[str], end: int, high: int) -> int:
    """The place after the words that make a number one of reps left, 0 if there are none."""
    at = end
    while at < high and text[at] in ("more", *REPS) and at < end + 2:
        at += 1
    for run in SPARE:
        for start in {at, end, at - 1 if at > end else at}:
            if start >= end and tuple(text[start : start + len(run)]) == run and start + len(run) <= high:
                return start + len(run)
    could = text[max(0, end - 4) : end]
    if text[end : end + 1] == ["more"] and {"could", "had", "have"} & set(could):
        return at
    return 0


def _alike(text: list[str], at: int, word: str) -> bool:
    return text[at + 1 : at + 2] == [word]
