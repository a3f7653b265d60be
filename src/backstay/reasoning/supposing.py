"""Supposing: what would hold if one attribute were answered, for each answer that any rule can tell from the others.

    Suppositions(base, findings).of(answers) -> one Supposed for each answer, in order

Only what an answer can reach is run again. The *cone* of an answer are the gates that may come to be satisfied with it
or may no longer be, those that these touch or that look at these, and so on. What lies outside stays as it is; inside,
every gate begins anew with the touches it has from outside. Does not weigh the answers, reads no effects, and does not
know which answer is likely; which answers there are says answers.py.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import TYPE_CHECKING, Any

from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import Atom, Value
from backstay.reasoning.engine import Said, add_measures, run, seed
from backstay.reasoning.findings import Findings

if TYPE_CHECKING:
    from backstay.knowledge.base import Base


class Supposed:
    """One answer: what would hold with it, the rules that it silences and makes fire, and whose values it changes."""

    __slots__ = ("_findings", "_make", "attribute", "changed", "fired", "silenced", "value")

    def __init__(
        self,
        attribute: str,
        value: Value,
        silenced: frozenset[str],
        fired: frozenset[str],
        changed: frozenset[str],
        make: Callable[[], Findings],
    ) -> None:
        self.attribute = attribute
        self.value = value
        self.silenced = silenced
        self.fired = fired
        self.changed = changed
        self._make = make
        self._findings: Findings | None = None

    @property
    def findings(self) -> Findings:
        """What would hold, put together when it is first asked for."""
        if self._findings is None:
            self._findings = self._make()
        return self._findings


class Suppositions:
    """A case from which answers are supposed. Nothing may be said yet of what they are about."""

    __slots__ = (
        "_base",
        "_counted_by",
        "_facts",
        "_findings",
        "_looked_at",
        "_program",
        "_satisfied",
        "_settled",
        "_touches",
    )

    def __init__(self, base: Base, findings: Findings) -> None:
        self._base = base
        self._findings = findings
        self._facts = findings.facts
        self._program: dict[str, Any] = base.program
        self._satisfied = frozenset(findings.log)
        # What is said is settled, and so is what would be claimed of a thing that is said.
        plan = self._program["plan"]
        self._settled = frozenset(findings.seeds).union(*(plan[name][5] for name in findings.said if name in plan))
        self._touches: dict[int, int] = {}  # gate -> touches by satisfied ones
        for gate in findings.log:
            for above in self._program["up"][gate]:
                self._touches[above] = self._touches.get(above, 0) + 1
        self._looked_at: dict[int, list[int]] = {}  # gate -> the guarded gates that look at it
        self._counted_by: dict[str, list[int]] = {}  # attribute -> the guarded gates that count its values
        for guarded, (_, deny, codes, _) in enumerate(self._program["guards"]):
            for gate in deny:
                self._looked_at.setdefault(gate, []).append(guarded)
            if codes:
                self._see(codes, guarded)

    def of(self, answers: Iterable[Atom]) -> tuple[Supposed, ...]:
        """Suppose each of these answers by itself."""
        return tuple([self._supposed(name, value) for name, value in answers])

    def _supposed(self, name: str, value: Value) -> Supposed:
        held, program = self._findings, self._program
        plan = program["plan"]
        said: Said = {**held.said, name: {**held.said.get(name, {}), value: None}}
        measured = add_measures(program["measures"], said) if program["measures"] else ()
        new = {fact: said[fact] for fact in (name, *measured) if said[fact] != held.said.get(fact)}
        # What would be concluded or assumed of an attribute gives way to what is said of it.
        out = {gate for fact in new if fact in plan for gate in plan[fact][5]}
        cone = self._cone(new, out)
        before = self._satisfied.intersection(cone)
        left, ready = self._begun(cone, before)
        now = bytearray(left)
        sown = seed(plan, new, now)
        wave = [*(gate for gate in held.seeds if gate in cone), *(gate for gate in sown if left[gate])]
        log = run(program, said, wave, now, [gate for gate in ready if gate not in out] if out else ready)
        silenced, fired, changed = self._compared(before, frozenset(log), new)

        def findings() -> Findings:
            names = tuple(sorted({*held.measured, *measured}))
            outside = [gate for gate in held.log if gate not in before]
            facts = (*self._facts, Fact(name, value))
            return Findings(self._base, facts, said, held.beaten, names, [*held.seeds, *sown], outside + log, now)

        return Supposed(name, value, silenced, fired, changed, findings)

    def _compared(
        self, before: frozenset[int], now: frozenset[int], new: Iterable[str]
    ) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
        """The rules that fall silent, those that fire, and whose values change."""
        first, _, end, last = self._program["marks"]
        names, atoms = self._program["rules"], self._program["atoms"]
        gone, come = before - now, now - before
        return (
            frozenset([names[gate - first] for gate in gone if first <= gate < end]),
            frozenset([names[gate - first] for gate in come if first <= gate < end]),
            frozenset([*new, *(atoms[gate - end][0] for gate in (*gone, *come) if end <= gate < last)]),
        )

    def _cone(self, new: Said, out: Collection[int]) -> set[int]:
        """All gates whose state may be another with what is newly said; `out` are the claims that it overrules.

        Whatever may come to be is taken to come, and whatever may go to go, so that none is missed.
        """
        satisfied, looked_at, up = self._satisfied, self._looked_at, self._program["up"]
        left = bytearray(self._findings.left)
        wave = [gate for gate in seed(self._program["plan"], new, left) if gate not in satisfied]
        wave += satisfied.intersection(out)
        wave += [gate for fact in new for gate in self._counted_by.get(fact, ()) if not left[gate]]
        cone = set(wave)
        push, add = wave.append, cone.add
        for gate in wave:
            if gate in satisfied:
                for above in up[gate]:
                    if not left[above] and above not in cone:
                        add(above)
                        push(above)
            else:
                for above in up[gate]:
                    need = left[above]
                    if need:
                        left[above] = need - 1
                        if need == 1:
                            add(above)
                            push(above)
            for above in looked_at.get(gate, ()):
                if not left[above] and above not in cone:
                    add(above)
                    push(above)
        return cone

    def _begun(self, cone: Collection[int], before: Collection[int]) -> tuple[bytearray, list[int]]:
        """The gates with those of the cone begun anew, and which of these need no more touches."""
        up, fresh = self._program["up"], self._program["left"]
        touches, settled = self._touches, self._settled
        left = bytearray(self._findings.left)
        own: dict[int, int] = {}  # touches from inside the cone
        for gate in before:
            for above in up[gate]:
                own[above] = own.get(above, 0) + 1
        for gate, count in own.items():
            if gate not in settled:
                left[gate] = max(0, fresh[gate] - touches[gate] + count)
        return left, [gate for gate in cone if not left[gate] and gate not in settled]

    def _see(self, codes: Iterable[Any], guarded: int) -> None:
        """Note which gates a guard's codes read, those of values that they count among them."""
        for code in codes:
            if isinstance(code, int):
                self._looked_at.setdefault(code if code >= 0 else ~code, []).append(guarded)
            elif isinstance(code[0], int):
                self._see(code[1], guarded)
            else:
                self._counted_by.setdefault(code[0], []).append(guarded)
                for gate in self._program["derived"].get(code[0], ()):
                    self._looked_at.setdefault(gate, []).append(guarded)
