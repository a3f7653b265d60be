"""Wants: what each kind of request asks of a plan. The only place that looks at the want itself.

choosing    a menu is chosen among all exercises
named       only what was named is given, if it is allowed
talking     nothing is given; what there is to say comes as notices and messages of rules
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from backstay.coaching.effects import Ledger, Resolved
from backstay.knowledge.base import Base, Effect

CHOOSING = frozenset({"recommend", "swap", "week", "block"})
NAMED = frozenset({"how-to", "why", "why-not", "compare", "muscles", "timing", "dose", "hand-over"})
NOTED = frozenset({"help", "social", "state", "log"})
TOGETHER = frozenset({"hand-over"})  # of the named: those of which all are to be done
OUT_OF_SCOPE = "out-of-scope"
READ = frozenset({"avoids", "lacks", "phase"})  # facts that what a want brings along follows from
STAND_IN = "stand-in"  # the rule whose reason a stand-in bears


def replaced(base: Base, findings: Any, want: str, named: Iterable[str]) -> tuple[tuple[str, ...], bool]:
    """Return the exercises that are to be replaced, and whether they were named themselves.

    What was named or is refused is replaced; without either, what a missing piece of equipment is first used for.
    """
    if want != "swap":
        return (), False
    refused = [one for one in findings.values("avoids") if one in base.exercises]
    by_name = sorted({*named, *refused} & set(base.exercises))
    if by_name:
        return tuple(by_name), True
    missing = {*findings.values("lacks"), *findings.values("avoids")}
    return (
        tuple(
            name
            for name, exercise in sorted(base.exercises.items())
            if exercise.ways and missing & set(exercise.ways[0].get("with", ()))
        ),
        False,
    )


def brought_along(
    base: Base, findings: Any, want: str, named: Sequence[str]
) -> tuple[list[tuple[str, Effect]], frozenset[str] | None]:
    """Return the effects that a want brings along, and the rules whose needs alone count, where not all do.

    To replace something is to need what it trains, and nothing else: pain, kit and season still forbid.
    """
    out, by_name = replaced(base, findings, want, named)
    if not out:
        return [], None
    effects: list[tuple[str, Effect]] = [(STAND_IN, ("need-like", out))]
    if by_name:
        effects.append((STAND_IN, ("forbid", out)))
    return effects, frozenset({STAND_IN})


def resolve_for(base: Base, findings: Any, want: str, named: Sequence[str]) -> Resolved:
    """Resolve all effects for a want: the rules', what the want brings along, and the limits of the phase."""
    return ledger_for(base, findings, want, named).resolved


def ledger_for(base: Base, findings: Any, want: str, named: Sequence[str]) -> Ledger:
    """Return the ledger of all effects for a want."""
    return Ledger(base, findings, *all_brought_along(base, findings, want, named))


def all_brought_along(
    base: Base, findings: Any, want: str, named: Sequence[str]
) -> tuple[list[tuple[str, Effect]], frozenset[str] | None]:
    """Return what stands beside the rules' effects, and the rules whose needs alone count, where not all do."""
    more, needs_of = brought_along(base, findings, want, named)
    return more + _of_phase(base, findings), needs_of


def _of_phase(base: Base, findings: Any) -> list[tuple[str, Effect]]:
    """The limits that the file of the phase states."""
    effects: list[tuple[str, Effect]] = []
    for name in findings.values("phase"):
        phase = base.phases.get(name)
        if phase is not None:
            effects.append((f"phase/{name}", ("limit", "stress", phase.stress_limit)))
            effects.append((f"phase/{name}", ("limit", "items", phase.items)))
    return effects
