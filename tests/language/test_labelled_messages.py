"""Messages of many voices with all that they say: the want, the facts, and nothing that is not there."""

from __future__ import annotations

from typing import Any

import pytest

from .tables import HERE, cases, expected, plain, read, shown

LABELLED = [(place, case) for path in sorted((HERE / "messages").glob("*.yaml")) for place, case in cases(path)]
FURTHER = [(place, case) for place, case in LABELLED if "more" in case]


def close(said: set[tuple[str, str]], labels: set[tuple[str, str]]) -> tuple[list[Any], list[Any]]:
    """What is missing and what is too much; figures of weeks count within half a week."""
    missing, extra = set(labels - said), set(said - labels)
    for name, value in list(missing):
        for other in list(extra):
            if other[0] == name and _near(name, value, other[1]):
                missing.discard((name, value))
                extra.discard(other)
    return sorted(missing), sorted(extra)


def _near(name: str, one: str, other: str) -> bool:
    try:
        figure, said = float(one), float(other)
    except ValueError:
        return False
    return abs(figure - said) <= max(0.02 * figure, 0.5 if "weeks" in name else 0.1)


@pytest.mark.parametrize(("place", "case"), LABELLED, ids=[place for place, _ in LABELLED])
def test_message_says_what_is_labelled(place: str, case: dict[str, Any]) -> None:
    understood = read(case["say"], case.get("today"))
    missing, extra = close(plain(understood, more=False), expected(case["facts"]))
    want = case.get("want", understood.want)  # a table of facts may leave it to others
    assert (missing, extra, understood.want) == ([], [], want), f"{place}\n{shown(case['say'], case.get('today'))}"


@pytest.mark.parametrize(("place", "case"), FURTHER, ids=[place for place, _ in FURTHER])
def test_message_says_the_further_facts(place: str, case: dict[str, Any]) -> None:
    understood = read(case["say"], case.get("today"))
    labels = expected(case["facts"]) | expected(case["more"])
    missing, extra = close(plain(understood, more=True), labels)
    assert (missing, extra) == ([], []), f"{place}\n{shown(case['say'], case.get('today'))}"


def test_there_are_messages_enough_to_tell_a_family_from_a_sentence() -> None:
    assert len(LABELLED) >= 250
