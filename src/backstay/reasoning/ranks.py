"""Ranks: how low in a pile of rules each finding can be had.

    ranks(program, said, seeds, log, final) -> (rank of each satisfied gate, rank of the first assumption)

The rank of a rule is the least number of rules, one upon the other, that it takes to fire it; a fact has that of the
lowest rule that makes it, and what is said has 0. What can be had without assumptions is ranked first, and all that
rests on one comes after it.

Touches as the engine does, but wave by wave and with every guard already decided, so that no stratum delays what could
be had early. Every premise of a rule has a lower rank than the rule: proofs chosen by rank have no circles.
"""

from __future__ import annotations

from typing import Any

from backstay.knowledge.trees import Value
from backstay.reasoning.engine import holds


def ranks(
    program: dict[str, Any], said: dict[str, dict[Value, None]], seeds: list[int], log: list[int], final: bytearray
) -> tuple[dict[int, int], int]:
    """The ranks of the gates in `log`; `final` is what the engine left of `left`."""
    up, guards, claims, plan = program["up"], program["guards"], program["claims"], program["plan"]
    first_rule, first_plain, first_atom, _ = program["marks"]
    passed = {gate for gate in log if gate < first_plain}
    left = bytearray(program["left"])
    for attribute in said:
        if attribute in plan:
            for gate in plan[attribute][5]:
                left[gate] = 0
    for gate in seeds:
        left[gate] = 0
    found = dict.fromkeys(seeds, 0)
    now = [*seeds]
    rules = [gate for gate in program["bare"] if gate >= first_plain]
    guarded = [gate for gate in program["bare"] if gate in passed]
    postponed: list[int] = []
    rank, first_granted = 0, 0
    while True:
        for gate in now:
            for above in up[gate]:
                need = left[above]
                if need > 1:
                    left[above] = need - 1
                elif need:
                    left[above] = 0
                    if above >= first_atom:
                        now.append(above)
                        found[above] = rank
                    elif above >= first_plain:
                        rules.append(above)
                    elif above in passed:
                        if above >= first_rule:
                            guarded.append(above)
                        elif claims[above][2] == "assumed" and not first_granted:
                            postponed.append(above)
                        else:
                            now.append(above)
                            found[above] = rank
        rank += 1
        waiting: list[int] = []
        for gate in guarded:
            codes = guards[gate][2]
            ready = all(
                _countable(code, left, final, program) and holds(code, left, final, said, program) for code in codes
            )
            (rules if ready else waiting).append(gate)
        guarded = waiting
        now, rules = rules, []
        if not now:
            if not first_granted:
                first_granted = rank
            if not postponed:
                return found, first_granted
            now, postponed = postponed, []
        found.update(dict.fromkeys(now, rank))


def _countable(code: Any, left: bytearray, final: bytearray, program: dict[str, Any]) -> bool:
    """Whether all that the counts in a guard's code count has been reached."""
    if isinstance(code, int):
        return True
    if isinstance(code[0], int):
        return all(_countable(part, left, final, program) for part in code[1])
    return all(final[gate] or not left[gate] for gate in program["derived"].get(code[0], ()))
