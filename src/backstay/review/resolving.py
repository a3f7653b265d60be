"""Resolving: what all effects of a case come to, put together from parts that were settled before.

    resolver = Resolver(base)
    resolver.resolve(findings, fired) -> Parts, with a Resolved and the keys of its parts

Effects of one kind never touch those of another (`over` drops effects of its own kind), so that what the effects of one
kind come to hangs on nothing but which rules say them and on the facts that they take over. Each such part is settled
once, by the ledger that answers use, and kept; equal keys are equal parts.

Rules are told by the bits of one whole number, so that the rules of a kind are one `and` away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from backstay.coaching import wants
from backstay.coaching.effects import Ledger, Resolved
from backstay.coaching.filing import Filed, file, filed
from backstay.coaching.resolved import settle
from backstay.knowledge.base import Base, Effect
from backstay.knowledge.trees import Value
from backstay.review.dimensions import fact_of

# Kind of effect, as it is filed -> where a Resolved holds what it comes to.
PLACES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "need": ("needs", "needed_by"),
        "favour": ("preference", "preferred_by"),
        "forbid": ("forbidden",),
        "dose": ("changes",),
        "dose-use": ("uses",),
        "days": ("days",),
        "spacing": ("spacing",),
        "times-a-week": ("times_a_week",),
        "side-first": ("sides",),
        "limit": ("limits",),
        "way": ("ways",),
        "notice": ("notices",),
        "tell": ("tells",),
        "ask": ("asks",),
        "stop": ("stops",),
        "refer": ("refers",),
        "hold": ("holds",),
    }
)
FILED_UNDER = MappingProxyType({"avoid": "favour", "need-each": "need"})
MOST_KEPT = 3_000  # parts of one kind; then they are settled anew, so that memory stays flat
Key = tuple[Any, ...]


class Parts(NamedTuple):
    """What all effects come to, with the key of what they come to of each kind."""

    resolved: Resolved
    keys: Mapping[str, Key]


class _Part:
    """Some effects, as a ledger reads them from findings."""

    __slots__ = ("_findings", "effects")

    def __init__(self, findings: Any, effects: tuple[tuple[str, Effect], ...]) -> None:
        self._findings = findings
        self.effects = effects

    def values(self, attribute: str) -> tuple[Value, ...]:
        return tuple(self._findings.values(attribute))

    def number(self, attribute: str) -> float | None:
        figure: float | None = self._findings.number(attribute)
        return figure


class Resolver:
    """Resolves the effects of rules that fire for somebody who asks what to do."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self.rules: tuple[str, ...] = tuple(base.program["rules"])
        self.bits = {name: 1 << place for place, name in enumerate(self.rules)}
        self._says: dict[str, dict[int, tuple[Effect, ...]]] = {kind: {} for kind in PLACES}
        facts: dict[str, dict[str, None]] = {kind: {} for kind in PLACES}
        for place, name in enumerate(self.rules):
            for effect in base.rules[name].effects:
                kind = FILED_UNDER.get(effect[0], effect[0])
                self._says[kind][place] = (*self._says[kind].get(place, ()), effect)
                if fact_of(effect):
                    facts[kind][fact_of(effect)] = None
        self._of_kind = {kind: sum(1 << place for place in says) for kind, says in self._says.items()}
        self._facts = {kind: tuple(sorted(names)) for kind, names in facts.items()}
        self._kept: dict[str, dict[Key, Resolved]] = {kind: {} for kind in PLACES}
        first, _, end, _ = base.program["marks"]
        self._first = first
        self._bit_of = [1 << (gate - first) if first <= gate < end else 0 for gate in range(len(base.program["left"]))]
        # Rules whose effects of a kind can be taken as they are written, whatever else fires.
        self._bare = {
            kind: sum(1 << place for place, effects in says.items() if not any(map(fact_of, effects)))
            & ~sum(self.bits[name] for name in self.rules if base.rules[name].over)
            for kind, says in self._says.items()
        }

    def fired(self, log: Iterable[int]) -> int:
        """Return the rules that fire as the bits of a number, from the gates that are satisfied."""
        return sum(map(self._bit_of.__getitem__, log))

    def places(self, log: Iterable[int]) -> list[int]:
        """Return the rules that fire by their places, from the gates that are satisfied."""
        first, end = self._first, self._first + len(self.rules)
        return [gate - first for gate in log if first <= gate < end]

    def names(self, fired: int) -> list[str]:
        """Return the rules of a number of bits."""
        found = []
        while fired:
            low = fired & -fired
            found.append(self.rules[low.bit_length() - 1])
            fired ^= low
        return found

    def resolve(self, findings: Any, fired: int) -> Parts:
        """Return what the effects of these rules come to."""
        resolved = Resolved()
        keys: dict[str, Key] = {}
        for kind, mask in self._of_kind.items():
            speaking = fired & mask
            names = self._facts[kind]
            taken = tuple([findings.values(name) for name in names]) if names and speaking else ()
            if kind == "limit":
                taken = (*taken, findings.values("phase"))
            key = speaking, taken
            keys[kind] = key
            kept = self._kept[kind]
            part = kept.get(key)
            if part is None:
                if len(kept) >= MOST_KEPT:
                    kept.clear()
                part = kept[key] = self._settle(kind, findings, speaking)
            for place in PLACES[kind]:
                setattr(resolved, place, getattr(part, place))
        return Parts(resolved, keys)

    def _settle(self, kind: str, findings: Any, speaking: int) -> Resolved:
        says = self._says[kind]
        effects = []
        for name in self.names(speaking):
            effects += [(name, effect) for effect in says[self.bits[name].bit_length() - 1]]
        if kind == "forbid" and not speaking & ~self._bare[kind]:
            # Only what is forbidden bears on an answer, not by whom: much the most of what rules say are forbids.
            resolved = Resolved()
            resolved.forbidden = dict.fromkeys(set().union(*[effect[1] for _, effect in effects]), ())
            return resolved
        if kind != "limit" and not speaking & ~self._bare[kind]:
            said: Filed = {}
            for name, effect in sorted(effects, key=_rule):
                for filed_kind, subjects, what in filed((effect,)):
                    file(said, filed_kind, subjects, (name, what))
            resolved = Resolved()
            settle(resolved, kind, said.get(kind, {}))
            return resolved
        more: list[tuple[str, Effect]] = []
        if kind == "limit":
            more, _ = wants.all_brought_along(self._base, findings, "recommend", ())
        return Ledger(self._base, _Part(findings, tuple(effects)), more).resolved


def _rule(pair: tuple[str, Effect]) -> str:
    return pair[0]
