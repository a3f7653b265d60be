"""Engine: runs a compiled program on the facts of one case, to its one least model.

    conclude(base, facts) -> Findings

Facts touch the gates that test them; a gate that needs no more touches is satisfied and touches others in turn. Rules
with a guard (what must not hold, counts) wait until the level is reached on which all that the guard looks at is
complete. Work grows with the conditions that the facts touch: of all that grows with the number of rules, only the
bytes of `left` are copied.

Laws kept here: what is said beats what is concluded, which beats what is assumed; an attribute with one value holds
one, the most cautious of those claimed; measures are computed from said numbers before any rule. The order of facts,
rules and files changes nothing.

Does not read effects, does not check the program (compile_program did), and keeps nothing from one case to the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import Value, caution
from backstay.reasoning.findings import Findings

if TYPE_CHECKING:
    from backstay.knowledge.base import Base

Said = dict[str, dict[Value, None]]


def conclude(base: Base, facts: Iterable[Fact]) -> Findings:
    """What holds in a case with these facts: values with their standing, rules that fire, effects, proofs."""
    program: dict[str, Any] = base.program
    plan = program["plan"]
    left = bytearray(program["left"])
    facts = tuple(facts)
    said: Said = {}
    conflicting = False
    for attribute, value, _ in facts:
        values = said.get(attribute)
        if values is None:
            said[attribute] = {value: None}
        else:
            if isinstance(value, int):
                values.pop(value, None)  # 3 and 3.0 are one figure, told as 3 whichever was said first
            values[value] = None
            conflicting = True
    beaten = _lead(plan, said) if conflicting else {}
    measured = add_measures(program["measures"], said) if program["measures"] else ()
    seeds = seed(plan, said, left)
    log = run(program, said, [*seeds], left, program["bare"])
    return Findings(base, facts, said, beaten, measured, seeds, log, left)


def _lead(plan: dict[str, Any], said: Said) -> dict[str, tuple[Value, ...]]:
    """Leaves each attribute with one value the most cautious one said; gives back the others."""
    beaten: dict[str, tuple[Value, ...]] = {}
    for attribute, values in said.items():
        if len(values) > 1 and attribute in plan and plan[attribute][0]:
            first, *others = sorted(values, key=partial(caution, plan[attribute][6]))
            beaten[attribute] = tuple(others)
            said[attribute] = {first: None}
    return beaten


def add_measures(measures: dict[str, Any], said: Said) -> tuple[str, ...]:
    """Adds the measures of said numbers to what is said, and gives back their names. One that is said stays as said."""
    found: dict[str, float] = {}
    for attribute in said:
        for name, other, how in measures.get(attribute, ()):
            if other in said and name not in said:
                figure = measure(how, next(iter(said[attribute])), next(iter(said[other])))
                if figure is not None:
                    found[name] = figure
    for name, figure in found.items():
        said[name] = {figure: None}
    return tuple(sorted(found))


def measure(how: str, one: Value, other: Value) -> float | None:
    """A measure of two figures, or None where they have none (a word, or a division by nothing)."""
    if isinstance(one, str) or isinstance(other, str):
        return None
    below = max(abs(one), abs(other)) if how == "percent-apart" else other
    if how == "difference":
        figure = float(one - other)
    elif not below:
        return None
    elif how == "ratio":
        figure = one / below
    elif how == "percent-of":
        figure = one / below * 100
    else:
        figure = abs(one - other) / below * 100
    return round(figure, 9)  # so that 0.1 + 0.2 does not step over a bound of 0.3


def seed(plan: dict[str, Any], said: Said, left: bytearray) -> list[int]:
    """The gates that what is said satisfies at once; what it overrules is taken out of `left`."""
    wave: list[int] = []
    push = wave.append
    for attribute, values in said.items():
        entry = plan.get(attribute)
        if entry is None:
            continue
        _, gates, known, lower, upper, blocked, _ = entry
        for gate in blocked:
            left[gate] = 0
        for value in values:
            gate = gates.get(value)
            if gate is not None:
                left[gate] = 0
                push(gate)
            elif known >= 0 and left[known]:
                left[known] = 0
                push(known)
            if (lower[0] or upper[0]) and not isinstance(value, str):
                for gate in within(lower, upper, value):
                    if left[gate]:
                        left[gate] = 0
                        push(gate)
    return wave


def within(lower: Any, upper: Any, figure: float) -> Sequence[int]:
    """The gates of the bounds that a figure keeps."""
    from bisect import bisect_left, bisect_right  # a C module, already loaded wherever a number is read

    passed: Sequence[int] = lower[1][: bisect_right(lower[0], figure)]
    return (*passed, *upper[1][bisect_left(upper[0], figure) :])


def run(program: dict[str, Any], said: Said, wave: list[int], left: bytearray, ready: Iterable[int]) -> list[int]:
    """Touches until nothing changes, level by level; gives back the satisfied gates (guarded ones if they passed).

    `wave` are gates that are satisfied, `ready` those that need no more touches, guarded or not.
    """
    up = program["up"]
    guards = program["guards"]
    first_plain = program["marks"][1]
    log: list[int] = []
    late: list[int] = []
    for gate in ready:
        (late if gate < first_plain else wave).append(gate)
    wait = late.append
    waiting: dict[int, list[int]] = {}
    unsettled: list[int] = []
    level = 0
    while True:
        push = wave.append
        for gate in wave:
            for above in up[gate]:
                need = left[above]
                if need > 1:
                    left[above] = need - 1
                elif need:
                    left[above] = 0
                    if above < first_plain:
                        wait(above)
                    else:
                        push(above)
        log += wave
        wave = []
        if late:
            for gate in late:
                start, deny, codes, unsure = guards[gate]
                if start > level:
                    waiting.setdefault(start, []).append(gate)
                    continue
                for denied in deny:
                    if not left[denied]:
                        break
                else:
                    if not codes or all(holds(code, left, left, said, program) for code in codes):
                        wave.append(gate)
                    elif unsure:
                        unsettled.append(gate)
            late.clear()
            if wave:
                continue
        if unsettled:
            wave = [gate for gate in unsettled if all(holds(c, left, left, said, program) for c in guards[gate][2])]
            if wave:
                unsettled = [gate for gate in unsettled if gate not in wave]
                continue
        if not waiting:
            return log
        level = min(waiting)
        late += waiting.pop(level)


def holds(code: Any, left: bytearray, final: bytearray, said: Said, program: dict[str, Any]) -> bool:
    """Whether a guard's code holds; presence is read from `left`, absence and counts from `final`."""
    if isinstance(code, int):
        return not left[code] if code >= 0 else bool(final[~code])
    if isinstance(code[0], int):
        least = code[0]
        for part in code[1]:
            if holds(part, left, final, said, program):
                least -= 1
                if least <= 0:
                    return True
        return least <= 0
    attribute, op, figure, wanted = code
    passes: bool = counted(op, count(attribute, final, said, program), figure) == wanted
    return passes


def count(attribute: str, left: bytearray, said: Said, program: dict[str, Any]) -> int:
    """How many values of an attribute are held."""
    values = said.get(attribute, {})
    atoms, first = program["atoms"], program["marks"][2]
    return len(values) + sum(
        not left[gate] and atoms[gate - first][1] not in values for gate in program["derived"].get(attribute, ())
    )


def counted(op: str, number: int, figure: float) -> bool:
    """Whether a count passes; an attribute that nothing is known of passes no test (law 1)."""
    if not number:
        return False
    if op == "at-least":
        return number >= figure
    if op == "at-most":
        return number <= figure
    return number > figure if op == "above" else number < figure
