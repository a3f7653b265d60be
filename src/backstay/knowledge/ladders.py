"""Ladders: what is easier and harder than what, over all exercises, goes up and never comes round.

X is above Y if X names Y as easier or Y names X as harder. A way from an exercise up to itself is an error; an exercise
that names no other and is named by none is a warning: nobody comes to it or on from it.
"""

from __future__ import annotations

from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.problems import WARNING

_Step = tuple[str, str, str]  # (exercise above, where it is said, under which key)


def check_ladders(gathered: Gathered, whole: bool) -> None:
    """Note every round and, where all could be read, every exercise that stands alone."""
    items = gathered.items.get("exercise", {})
    above: dict[str, list[_Step]] = {id_: [] for id_ in items}
    touched: set[str] = set()
    for id_, item in items.items():
        for key in ("easier", "harder", "swaps"):
            others = [other for other in getattr(item.model, key) if other in items and other != id_]
            touched.update(others, [id_] if others else [])
            for other in others if key != "swaps" else ():
                low, high = (other, id_) if key == "easier" else (id_, other)
                above[low].append((high, id_, key))
    seen: set[str] = set()
    for start in sorted(items, key=lambda id_: (items[id_].layer, id_)):
        round_ = _round(start, above)
        if round_ and seen.isdisjoint(said for _, said, _ in round_):
            seen.update(said for _, said, _ in round_)
            _note(round_, items)
    for id_, item in items.items() if whole else ():
        if id_ not in touched and len(items) > 1:
            what = f"`{id_}` names no easier, harder or other exercise, and none names it."
            item.cursor.at("exercise").error("exercise-alone", what, "Name one under `easier` or `swaps`.", WARNING)


def _round(start: str, above: dict[str, list[_Step]]) -> list[_Step]:
    """The shortest way up from an exercise to itself, or nothing."""
    came: dict[str, list[_Step]] = {start: []}
    waiting = [start]
    for here in waiting:  # grows while it is walked
        for step in above[here]:
            way = [*came[here], step]
            if step[0] == start:
                return way
            if step[0] not in came:
                came[step[0]] = way
                waiting.append(step[0])
    return []


def _note(round_: list[_Step], items: dict[str, Item]) -> None:
    steps = [f"`{high}` is harder (said in {items[said].cursor.file})" for high, said, _ in round_]
    _, said, key = max(round_, key=lambda step: (items[step[1]].layer, step[1]))
    what = f"each of these is harder than the one before and the last is the first: {'; '.join(steps)}."
    items[said].cursor.key_error(key, "ladder-comes-round", what, "Take one of these away.")
