"""Filing: effects under what they bear on, and what of a rule's effects gives way to another rule.

A subject is an exercise, a quality, a message, or whatever else an effect is about; most effects have several.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from backstay.knowledge.base import Effect

# Kinds of effect that bear on exercises: the ids stand second in the tuple.
ON_EXERCISES = frozenset(
    {"favour", "avoid", "forbid", "dose-use", "dose", "side-first", "days", "spacing", "times-a-week"}
)
# Kinds that `over` may drop; safety is not among them.
DROPPABLE = ON_EXERCISES | {"need", "limit", "tell", "ask"}

Effects = tuple[Effect, ...]
Changes = dict[str, tuple[Effects, Effects]]  # rule -> its effects before and now
Filed = dict[str, dict[Any, list[tuple[str, Any]]]]  # kind of effect -> subject -> (rule, what it says)


def kind_of(effect: Effect) -> str:
    """The kind of an effect as `over` means it: quantities of a dose and subjects of a limit are kinds of their own."""
    name: str = effect[0]
    if name == "dose":
        return f"dose {effect[2]}"
    if name == "limit":
        return f"limit {effect[1]}"
    return name


def standing(
    rule: str,
    effects: Effects,
    places: Mapping[str, set[str] | None] | None,
    dropped: list[tuple[str, Effect]] | None = None,
) -> Effects:
    """The effects of a rule that do not give way; those that do are added to `dropped`."""
    if not places:
        return effects
    kept = []
    for effect in effects:
        kind = kind_of(effect)
        if effect[0] not in DROPPABLE or kind not in places:
            kept.append(effect)
            continue
        taken = places[kind]
        lost = effect
        if taken is not None:
            left = tuple(one for one in effect[1] if one not in taken)
            if left:
                kept.append((effect[0], left, *effect[2:]))
            lost = (effect[0], tuple(one for one in effect[1] if one in taken), *effect[2:])
        if dropped is not None:
            dropped.append((rule, lost))
    return tuple(kept)


def filed(effects: Iterable[Effect]) -> Iterator[tuple[str, tuple[Any, ...], Any]]:
    """Each effect: under which kind it is filed, of which subjects, and what it says."""
    for effect in effects:
        name = effect[0]
        if name == "avoid":
            yield "favour", effect[1], -effect[2]
        elif name in ("favour", "dose-use", "times-a-week", "side-first"):
            yield name, effect[1], effect[2]
        elif name == "forbid":
            yield name, effect[1], None
        elif name in ("dose", "days", "spacing"):
            yield name, effect[1], effect[2:]
        elif name in ("need", "limit", "way"):
            yield name, (effect[1],), effect[2]
        elif name == "hold":
            yield name, ("",), None
        else:
            yield name, (effect[1],), None


def file(
    into: Filed,
    kind: str,
    subjects: Iterable[Any],
    pair: tuple[str, Any] | None,
) -> None:
    """File a pair under each of these subjects; without one, only make the places."""
    places = into.setdefault(kind, {})
    for subject in subjects:
        pairs = places.get(subject)
        if pairs is None:
            pairs = places[subject] = []
        if pair is not None:
            pairs.append(pair)
