"""Lacking: what a condition that does not hold lacks, as the fewest tests that would have to turn out otherwise.

    lacking(node, findings, …) -> (Failed, …)    () if it holds, None if nothing could make it hold

A test that should pass fails since it was SAID_OTHERWISE, was NOT_SAID, is NOT_CONCLUDED by any rule, or since its
figure is OUT_OF_RANGE; a test that should fail is IN_THE_WAY.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

from backstay.knowledge.trees import COMPARE, Atom
from backstay.reasoning.engine import counted
from backstay.reasoning.proof import Held

if TYPE_CHECKING:
    from backstay.knowledge.base import Node
    from backstay.reasoning.findings import Findings

OUT_OF_RANGE = "out of range"
IN_THE_WAY = "in the way"


class Failed(NamedTuple):
    """A test that would have to turn out otherwise."""

    test: Node
    kind: str
    facts: tuple[Held, ...]  # IN_THE_WAY: what passes it; else what does hold of its attribute

    @property
    def wanted(self) -> bool:
        """Whether the test should pass."""
        return self.kind != IN_THE_WAY


def passing(test: Node, findings: Findings) -> tuple[Atom, ...]:
    """The facts that pass a test; of a count all that it counts, if it passes."""
    kind, attribute = test[0], test[1]
    values = findings.values(attribute)
    if kind == "is":
        return tuple((attribute, value) for value in values if value == test[2])
    if kind == "number":
        compare = COMPARE[test[2]]
        return tuple((attribute, value) for value in values if not isinstance(value, str) and compare(value, test[3]))
    if kind == "count" and not counted(test[2], len(values), test[3]):
        return ()
    return tuple((attribute, value) for value in values)


def lacking(
    node: Node, findings: Findings, wanted: bool = True, fixed: Collection[str] = ()
) -> tuple[Failed, ...] | None:
    """The fewest tests in the way of a condition (or, not `wanted`, of its opposite).

    Of equally few, those of which fewer test what is fixed; then the first.
    """
    kind = node[0]
    if kind == "not":
        return lacking(node[1], findings, not wanted, fixed)
    if kind in ("all", "any", "some"):
        children = node[-1]
        least = {"all": len(children), "any": 1, "some": node[1]}[kind]
        if not wanted:
            least = len(children) - least + 1
        found = [lacking(child, findings, wanted, fixed) for child in children]
        cheapest = sorted(
            (len(part), sum(failed.test[1] in fixed for failed in part), place)
            for place, part in enumerate(found)
            if part is not None
        )
        if len(cheapest) < least:
            return None
        taken = sorted(place for _, _, place in cheapest[: max(0, least)])
        return tuple(dict.fromkeys(failed for place in taken for failed in found[place] or ()))
    holds = passing(node, findings)
    if bool(holds) == wanted:
        return ()
    if not wanted:
        return (Failed(node, IN_THE_WAY, _proven(findings, holds)),)
    attribute = node[1]
    instead = _proven(findings, tuple((attribute, value) for value in findings.values(attribute)))
    out = kind == "number" and any(not isinstance(held.value, str) for held in instead)
    return (Failed(node, OUT_OF_RANGE if out else findings.absence(node), instead),)


def _proven(findings: Findings, atoms: tuple[Atom, ...]) -> tuple[Held, ...]:
    proofs = (findings.proof(atom) for atom in atoms)
    return tuple(proof for proof in proofs if isinstance(proof, Held))
