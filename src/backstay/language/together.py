"""Together: ideas and facts that mean something when they stand near each other, in any order."""

from __future__ import annotations

from typing import Any

from backstay.language.clauses import Clauses
from backstay.language.matching import Automaton
from backstay.language.mentions import Mention
from backstay.language.scope import ASKED, DENIED, OTHER, PAST, PLANNED, SUPPOSED

_FLAGS = {"denied": DENIED, "past": PAST, "supposed": SUPPOSED, "other": OTHER, "asked": ASKED, "planned": PLANNED}


def together(automaton: Automaton, mentions: list[Mention], clauses: Clauses) -> tuple[list[Mention], list[Mention]]:
    """What stands together here and now, and what would but for a denial."""
    present: dict[str, list[Mention]] = {}
    for one in mentions:
        for slot, _ in one.feeds:
            present.setdefault(slot, []).append(one)
    found: list[Mention] = []
    denied: list[Mention] = []
    waiting = sorted({number for slot in present for number in automaton.nearby.get(slot, ())})
    tried: set[int] = set()
    while waiting:
        number = waiting.pop(0)
        if number in tried:
            continue
        tried.add(number)
        name, members, scopes, within, says, unless = automaton.together[number]
        if any(member not in present for member in members):
            tried.discard(number)  # a later together may yet bring what is missing
            continue
        for wanted, into in ((scopes, found), (None, denied)):
            run = _stand(members, wanted or scopes, wanted is None, within, present, clauses)
            if run is None:
                continue
            start, end = run
            if any(_near(one, start, end, within, clauses) for slot in unless for one in present.get(slot, ())):
                break
            feeds = ((name, name), *((f"{attribute}={value}", value) for attribute, value, _ in says))
            said = tuple([(attribute, value) for attribute, value, _ in says])
            entry: tuple[Any, ...] = ("together", name, says, feeds, ("",))
            meant = Mention(start, end, entry, (), said)
            into.append(meant)
            if into is denied:
                meant.scope = DENIED
            for slot, _ in feeds:
                present.setdefault(slot, []).append(meant)
                waiting += [other for other in automaton.nearby.get(slot, ()) if other not in tried]
            break
    return found, denied


def _stand(
    members: tuple[str, ...],
    scopes: tuple[str, ...],
    denied: bool,
    within: str | int,
    present: dict[str, list[Mention]],
    clauses: Clauses,
) -> tuple[int, int] | None:
    """The words from the first to the last of the members, if they stand near enough; the nearest such."""
    choices: list[list[Mention]] = []
    for member, scope in zip(members, scopes, strict=True):
        fitting = [one for one in present[member] if _fits(one.scope, scope) or (denied and one.scope == DENIED)]
        if not fitting:
            return None
        choices.append(fitting)
    best: tuple[int, int] | None = None
    for chosen in _combinations(choices, within, clauses):
        start = min(one.start for one in chosen)
        end = max(one.end for one in chosen)
        if best is None or end - start < best[1] - best[0]:
            best = (start, end)
    return best


def _combinations(choices: list[list[Mention]], within: str | int, clauses: Clauses) -> list[list[Mention]]:
    rows: list[list[Mention]] = [[]]
    for fitting in choices:
        rows = [
            [*row, one]
            for row in rows
            for one in fitting
            if one not in row and all(_near(one, other.start, other.end, within, clauses) for other in row)
        ]
        if not rows:
            return []
        rows = rows[:64]
    return rows


def _near(one: Mention, start: int, end: int, within: str | int, clauses: Clauses) -> bool:
    if within == "message":
        return True
    if isinstance(within, int):
        return max(one.start, start) - min(one.end, end) <= within
    of = clauses.clause if within == "clause" else clauses.sentence
    return bool(of[one.start] <= of[max(start, end - 1)] and of[max(one.start, one.end - 1)] >= of[start])


def _fits(scope: int, wanted: str) -> bool:
    """Whether a mention is in one of the wanted scopes, and in no other."""
    names = wanted.split("|")
    if "any" in names or scope == 0:
        return "any" in names or "asserted" in names
    return not scope & ~sum(_FLAGS.get(name, 0) for name in names)
