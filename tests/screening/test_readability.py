"""Whoever is scared and fifteen must be able to read a stop: its reading age is at most eleven.

The reading age is the school grade of Flesch and Kincaid plus five, as a general library counts it.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import textstat

from backstay import Assistant
from backstay.knowledge.checking import check

from .tables import built_in_base

HIGHEST = 11.0
BEFORE_SCHOOL = 5.0
FILLED_IN = {"emergency_number": "112 (or your local emergency number)"}
TEXTS = (
    "stop-now", "stop-now-other", "stop-today", "stop-today-other", "stop-days", "stop-days-other", "stop-refused",
    "refer-days", "refer-weeks", "see-clinician", "safety-net", "crisis-line", "guardian", "maternity", "pressure",
    "bones", "stop-the-movement", "nothing-grows", "be-reviewed", "no-extension-yet",
)  # fmt: skip


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_of_the_screening_is_read_at_eleven(name: str) -> None:
    text = built_in_base().messages[name].format(**FILLED_IN)
    assert BEFORE_SCHOOL + textstat.flesch_kincaid_grade(text) <= HIGHEST, text


@pytest.mark.parametrize("name", ["stop-now", "stop-now-other", "crisis-line"])
def test_an_emergency_names_the_number(name: str) -> None:
    number = built_in_base().messages["emergency-number"]
    assert number.startswith("112")
    assert "{emergency_number}" in built_in_base().messages[name]


def test_a_club_sets_its_own_number_in_its_base_file(tmp_path: Path) -> None:
    (tmp_path / "base.yaml").write_text("format: 1\nname: A club\nemergency-number: 999\n", encoding="utf-8")
    said = Assistant([str(tmp_path)]).answer("numb between my legs and I cannot pee").text
    assert "Call 999 now" in said
    assert "112" not in said


@pytest.mark.parametrize("number", ["call mum", "''", "112; rm"])
def test_a_number_that_is_none_is_refused(tmp_path: Path, number: str) -> None:
    (tmp_path / "base.yaml").write_text(f"format: 1\nname: A club\nemergency-number: {number}\n", encoding="utf-8")
    assert [one for one in check([str(tmp_path)]) if one.severity == "error"]
