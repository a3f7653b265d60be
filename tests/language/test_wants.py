"""What is wanted, over families of messages of which only the want is labelled."""

from __future__ import annotations

from typing import Any

import pytest

from .tables import HERE, cases, read, shown

WANTS = [(place, case) for path in sorted(HERE.glob("wants-*.yaml")) for place, case in cases(path)]


@pytest.mark.parametrize(("place", "case"), WANTS, ids=[place for place, _ in WANTS])
def test_message_wants_what_is_labelled(place: str, case: dict[str, Any]) -> None:
    understood = read(case["say"])
    assert understood.want == case["want"], f"{place} {understood.wants}\n{shown(case['say'])}"
