"""Equipment: what a usual gym holds, and that every exercise can be done with something that is known."""

from __future__ import annotations

from backstay.knowledge.base import Base
from exercises.conftest import written

USUAL = {
    "barbell", "plates", "rack", "box", "mat", "bands", "dumbbells", "kettlebells", "flat-bench",
    "back-extension-bench", "pull-up-bar", "partner", "belt", "straps", "blocks",
}  # fmt: skip
NAMED = {
    "barbell", "plates", "rack", "dumbbells", "kettlebells", "bands", "cable", "flat-bench", "box",
    "back-extension-bench", "glute-ham-bench", "reverse-hyperextension-bench", "safety-squat-bar", "pull-up-bar",
    "rings", "medicine-ball", "swiss-ball", "ab-wheel", "sled", "mat", "partner", "belt",
    "straps", "blocks", "backpack", "towel", "bed",
}  # fmt: skip


def test_what_messages_name(base: Base) -> None:
    assert set(base.equipment) == NAMED
    assert {name for name, kit in base.equipment.items() if kit.usual} == USUAL


def test_no_words_mean_two_pieces(base: Base) -> None:
    owner: dict[str, str] = {}
    for name, kit in base.equipment.items():
        for words in {kit.name, *kit.also}:
            assert owner.setdefault(words, name) == name, words


def test_most_work_needs_only_a_usual_gym() -> None:
    undoable = {
        name for name, exercise in written().items() if not any(set(way["with"]) <= USUAL for way in exercise["ways"])
    }
    assert undoable == {"bent-knee-back-extension", "glute-ham-raise", "medicine-ball-rotational-throw"}
