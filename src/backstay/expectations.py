"""Expectations: what an answer must hold, compared with what it holds.

expectations(turn, reply) -> (key, what the answer holds instead), … for each that fails
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from backstay.reply.reply import SEE_CLINICIAN, Reply

NEAR = 0.06  # two figures that round to the same tenth
Answer = Mapping[str, Any]
Test = Callable[[Any, Answer], tuple[bool, Any]]


def expectations(turn: Mapping[str, Any], reply: Reply) -> Iterator[tuple[str, Any]]:
    """Yield each expectation of a turn that an answer does not hold, with what it holds."""
    answer = reply.as_json()
    for key, wanted in turn.items():
        if key in TESTS:
            holds, found = TESTS[key](wanted, answer)
            if not holds:
                yield key, found


def same(wanted: Any, found: Any) -> bool:
    """Whether two values are the same: one value is a list of one, order does not count, figures may be rounded."""
    wanted, found = _listed(wanted), _listed(found)
    if len(wanted) != len(found):
        return False
    left = list(found)
    for value in wanted:
        match = next((other for other in left if _alike(value, other)), None)
        if match is None:
            return False
        left.remove(match)
    return True


def _listed(value: Any) -> list[Any]:
    return list(value) if isinstance(value, list | tuple) else [value]


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= NEAR
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(value, other[key]) for key, value in one.items())
    return str(one) == str(other)


def _equal(part: Callable[[Answer], Any]) -> Test:
    return lambda wanted, answer: (part(answer) == wanted, part(answer))


def _has(part: Callable[[Answer], list[Any]]) -> Test:
    return lambda wanted, answer: (set(wanted) <= set(part(answer)), part(answer))


def _has_not(part: Callable[[Answer], list[Any]]) -> Test:
    return lambda wanted, answer: (not set(wanted) & set(part(answer)), part(answer))


def _some(part: Callable[[Answer], list[Any]]) -> Test:
    return lambda wanted, answer: (bool(set(wanted) & set(part(answer))), part(answer))


def _facts(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    facts = answer["understood"]["facts"]
    return wanted.keys() == facts.keys() and all(same(value, facts[name]) for name, value in wanted.items()), facts


def _facts_has(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    facts = {**answer["understood"]["more"], **answer["understood"]["facts"]}
    return all(name in facts and same(value, facts[name]) for name, value in wanted.items()), facts


def _assumed(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    facts = answer["assumed"]
    return all(name in facts and same(value, facts[name]) for name, value in wanted.items()), facts


def _derived_or_assumed(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    headings = (answer["assumed"], answer["understood"]["derived"])
    holds = all(any(name in facts and same(value, facts[name]) for facts in headings) for name, value in wanted.items())
    return holds, {**headings[1], **headings[0]}


def _of_picks(field: str) -> Test:
    def test(wanted: Any, answer: Answer) -> tuple[bool, Any]:
        found = {pick["exercise"]: pick[field] for pick in answer["picks"]}
        return all(name in found and found[name] == value for name, value in wanted.items()), found

    return test


def _dose(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    doses = {pick["exercise"]: pick["dose"] for pick in answer["picks"]}
    held = True
    found: dict[str, Any] = {}
    for exercise, amount in wanted.items():
        dose = doses.get(exercise)
        if dose is None:
            held, found[exercise] = False, None
            continue
        has = found[exercise] = {key: dose[key.replace("-", "_")] for key in amount}
        held &= all(_span(has[key]) == _span(value) for key, value in amount.items())
    return held, found


def _span(value: Any) -> Any:
    """A figure as the from and to that it is."""
    return [value, value] if isinstance(value, int | float) else value


def _asks_with(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    return str(_asked(answer) or "").endswith(wanted), _asked(answer)


def _shows(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    text = _plain(answer["text"])
    return all(_plain(words) in text for words in wanted), text


def _shows_not(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    text = _plain(answer["text"])
    return not any(_plain(words) in text for words in wanted), text


def _safety(wanted: Any, answer: Answer) -> tuple[bool, Any]:
    """The words stand in the text, and the notice to see a clinician, where there is one, before any exercise."""
    text = _plain(answer["text"])
    first = min((text.find(pick["name"]) for pick in answer["picks"]), default=len(text))
    notice = next((_plain(one["text"]) for one in answer["notices"] if one["id"] == SEE_CLINICIAN), "")
    return notice in text[:first] and all(_plain(words) in text for words in wanted), text


def _plain(text: str) -> str:
    return " ".join(text.split())


def _asked(answer: Answer) -> Any:
    return None if answer["ask_next"] is None else answer["ask_next"]["fact"]


def _picked(answer: Answer) -> list[str]:
    return [pick["exercise"] for pick in answer["picks"]]


def _notices(answer: Answer) -> list[str]:
    return [notice["id"] for notice in answer["notices"]]


def _because(answer: Answer) -> list[str]:
    return [reason["rule"] for one in (*answer["picks"], *answer["left_out"]) for reason in one["because"]]


TESTS: MappingProxyType[str, Test] = MappingProxyType(
    {
        "want": _equal(lambda answer: answer["understood"]["want"]),
        "facts": _facts,
        "facts-has": _facts_has,
        "assumed": _assumed,
        "derived-or-assumed": _derived_or_assumed,
        "outcome": _equal(lambda answer: answer["outcome"]),
        "urgency": _equal(lambda answer: answer["urgency"]),
        "within": _equal(lambda answer: answer["within"]),
        "notices": _equal(_notices),
        "notices-has": _has(_notices),
        "notices-not": _has_not(_notices),
        "asks": _equal(_asked),
        "asks-with": _asks_with,
        "picks-some": _some(_picked),
        "picks-has": _has(_picked),
        "picks-not": _has_not(_picked),
        "picks-only": _equal(_picked),
        "because-has": _has(_because),
        "first-side": _of_picks("first_side"),
        "days": _of_picks("days"),
        "dose": _dose,
        "week-days": _equal(lambda answer: len(answer.get("week") or ())),
        "block-ends": _equal(lambda answer: (answer.get("block") or [{"last": None}])[-1]["last"]),
        "shows": _shows,
        "shows-not": _shows_not,
        "safety": _safety,
    }
)
