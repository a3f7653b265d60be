"""Muscles: what the anatomy books say of parts and sides."""

from __future__ import annotations

from typing import Any

import pytest

from backstay.knowledge.base import Base
from exercises.conftest import table

ALL = [
    "adductors", "erector-spinae", "external-oblique", "gluteus-maximus", "gluteus-medius", "hamstrings", "iliopsoas",
    "internal-oblique", "latissimus-dorsi", "multifidus", "piriformis", "quadratus-lumborum", "quadriceps",
    "rectus-abdominis", "rhomboids", "transversus-abdominis", "trapezius",
]  # fmt: skip


def test_muscles_that_messages_name(base: Base) -> None:
    assert sorted(base.muscles) == ALL
    assert all(muscle.does and muscle.parts and muscle.sources for muscle in base.muscles.values())


@pytest.mark.parametrize("row", table("muscles.yaml"), ids=lambda row: str(row["muscle"]))
def test_sides(base: Base, row: dict[str, Any]) -> None:
    assert base.muscles[row["muscle"]].side_effects == {"turns": row["turns"], "bends": row["bends"]}


def test_who_turns_left(base: Base) -> None:
    """To the left: right outer oblique, left inner oblique, right multifidus, left erectors (Moore 2018)."""
    left = {
        (side, name)
        for name, muscle in base.muscles.items()
        for side, goes in (("left", {"same": "left"}), ("right", {"opposite": "left"}))
        if goes.get(muscle.side_effects["turns"]) == "left"
    }
    assert left >= {
        ("right", "external-oblique"), ("left", "internal-oblique"), ("right", "multifidus"), ("left", "erector-spinae")
    }  # fmt: skip


def test_spinal_erectors(base: Base) -> None:
    """Three columns, leaning to slow fibres: high repetitions, long tension, both ways (common practice)."""
    erectors = base.muscles["erector-spinae"]
    assert set(erectors.parts) == {"iliocostalis", "longissimus", "spinalis"}
    text = " ".join(erectors.does)
    for words in ("slow fibres", "high repetitions", "time under tension", "short rests"):
        assert words in text
    assert "bending and while straightening" in text
