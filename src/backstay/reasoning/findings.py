"""Findings: what holds in one case, with the standing of each fact and the rules that fire.

A value, made by conclude(). What is asked of it is worked out when it is first asked and kept; nothing in it can be
changed. All that it gives is sorted, so that equal cases give equal answers to the byte.
"""

import marshal
from typing import TYPE_CHECKING, Any, NamedTuple

from backstay.knowledge.base import Base, Node
from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import Atom, Value, value_order

if TYPE_CHECKING:
    from backstay.reasoning.proof import Firing, Held, Proofs
else:
    Firing = Held = Proofs = Any  # imported for those who ask why

SAID, MEASURED, CONCLUDED, ASSUMED = "said", "measured", "concluded", "assumed"


class Conflict(NamedTuple):
    """Different values claimed of an attribute that holds one: the one that leads, and those that do not."""

    attribute: str
    leads: Value
    others: tuple[Value, ...]
    standing: str  # said | concluded | assumed: of all of them
    rules: tuple[str, ...]  # that claim any of them


class Holding(NamedTuple):
    """A fact that holds, and how it came to."""

    attribute: str
    value: Value
    standing: str


class Findings:
    """What holds in one case. See the module's text."""

    __slots__ = (
        "_base",
        "_beaten",
        "_facts",
        "_fired",
        "_held",
        "_left",
        "_log",
        "_measured",
        "_proofs",
        "_said",
        "_seeds",
        "_standing",
    )

    def __init__(
        self,
        base: Base,
        facts: tuple[Fact, ...],
        said: dict[str, dict[Value, None]],
        beaten: dict[str, tuple[Value, ...]],
        measured: tuple[str, ...],
        seeds: list[int],
        log: list[int],
        left: bytearray,
    ) -> None:
        self._base = base
        self._facts = facts
        self._said = said
        self._beaten = beaten
        self._measured = measured
        self._seeds = seeds
        self._log = log
        self._left = left
        self._held: dict[str, tuple[Value, ...]] | None = None
        self._standing: dict[Atom, str] | None = None
        self._fired: tuple[str, ...] | None = None
        self._proofs: Proofs | None = None

    # What holds

    def values(self, attribute: str) -> tuple[Value, ...]:
        """All values held of an attribute, in order; () where nothing is known."""
        held = self._held
        if held is None:
            held = self._held = self._all_held()
        return held.get(attribute, ())

    def value(self, attribute: str) -> Value | None:
        """The value of an attribute that holds one; of others the first; None where nothing is known."""
        values = self.values(attribute)
        return values[0] if values else None

    def has(self, attribute: str, value: Value) -> bool:
        """Whether the attribute has this value."""
        return value in self.values(attribute)

    def known(self, attribute: str) -> bool:
        """Whether anything is known of the attribute."""
        return bool(self.values(attribute))

    def number(self, attribute: str) -> float | None:
        """The figure of an attribute, None where there is none."""
        values = self.values(attribute)
        return values[0] if values and not isinstance(values[0], str) else None

    def standing(self, attribute: str, value: Value) -> str:
        """How this came to hold: said, measured, concluded or assumed; "" if it does not hold."""
        return self._standings().get((attribute, value), "")

    def holdings(self, standing: str = "") -> tuple[Holding, ...]:
        """All that holds (or all of one standing), by attribute and value."""
        found = [Holding(*atom, how) for atom, how in self._standings().items() if how == standing or not standing]
        return tuple(sorted(found, key=lambda holding: (holding.attribute, value_order(holding.value))))

    @property
    def assumed(self) -> tuple[Atom, ...]:
        """What was taken for granted."""
        return tuple((holding.attribute, holding.value) for holding in self.holdings(ASSUMED))

    @property
    def facts(self) -> tuple[Fact, ...]:
        """What was said, by attribute and value; of a thing said twice, with the words that come first by alphabet."""
        heard: dict[Atom, Fact] = {}
        for fact in sorted(self._facts, key=lambda fact: (not fact.words, fact.words, str(fact.value))):
            heard.setdefault((fact.attribute, fact.value), fact)
        return tuple(heard[atom] for atom in sorted(heard, key=lambda atom: (atom[0], value_order(atom[1]))))

    # What follows

    @property
    def fired(self) -> tuple[str, ...]:
        """The ids of the rules whose conditions hold, sorted."""
        if self._fired is None:
            program = self._program
            first, _, end, _ = program["marks"]
            names = program["rules"]
            self._fired = tuple(sorted([names[gate - first] for gate in self._log if first <= gate < end]))
        return self._fired

    @property
    def effects(self) -> tuple[tuple[str, tuple[Any, ...]], ...]:
        """The effects of the rules that fire, each with its rule, by rule and then as written."""
        rules = self._base.rules
        return tuple([(rule, effect) for rule in self.fired for effect in rules[rule].effects])

    @property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Attributes that hold one value and were given several: by what was said, else by rules."""
        found = [
            Conflict(attribute, next(iter(self._said[attribute])), others, SAID, ())
            for attribute, others in self._beaten.items()
        ]
        fired = frozenset(self.fired)
        for attribute, rivals in self._program["rivals"].items():
            if attribute in self._said:
                continue
            for standing in (CONCLUDED, ASSUMED):
                claimed = [value for gate, value, how in rivals if how == standing and not self._left[gate]]
                if claimed:
                    break
            if len(claimed) > 1:
                makers = self._makers(standing)
                rules = sorted(fired.intersection(rule for value in claimed for rule in makers[attribute, value]))
                found.append(Conflict(attribute, claimed[0], tuple(claimed[1:]), standing, tuple(rules)))
        return tuple(sorted(found, key=lambda conflict: conflict.attribute))

    # Why

    def grounds(self) -> dict[str, tuple[Atom, ...]]:
        """For each rule that fires, the facts that its proof rests on; what it rests on the absence of is not told."""
        program = self._program
        first, _, end, _ = program["marks"]
        names, grounds = program["rules"], program["grounds"]
        found: dict[str, tuple[Atom, ...]] = {}
        for gate in self._log:
            if first <= gate < end:
                # A rule of nothing but facts has one proof, known before it fires.
                known = grounds[gate - first]
                found[names[gate - first]] = self._proven().grounds(gate) if known is None else known
        return found

    def proof(self, goal: str | Atom) -> Firing | Held | None:
        """The proof of a rule's firing (by its id) or of a fact (attribute, value); None if it does not hold."""
        return self._proven().rule(goal) if isinstance(goal, str) else self._proven().fact(*goal)

    def assumed_by(self, rule: str) -> tuple[Atom, ...]:
        """What was taken for granted that this rule's firing rests on; () if it holds without, or does not fire."""
        return self._proven().assumed_by(rule)

    # What the rules could give, for why-not

    def absence(self, test: Node) -> str:
        """Which kind of absence makes a test fail: said otherwise, not said, or nothing concludes it."""
        return self._proven().absence(test)

    def holds_one(self, attribute: str) -> bool:
        """Whether an attribute holds one value."""
        entry = self._program["plan"].get(attribute)
        return entry is not None and bool(entry[0])

    def derivable(self, test: Node) -> tuple[Atom, ...]:
        """What rules could conclude or assume that passes a test of one value."""
        return self._proven().derivable(test)

    def makers(self, atom: Atom) -> tuple[str, ...]:
        """The rules that conclude or assume a fact, whether or not they fire."""
        return tuple(sorted({*self._makers(CONCLUDED).get(atom, ()), *self._makers(ASSUMED).get(atom, ())}))

    def tree(self, rule: str) -> bytes:
        """A rule as it was written, marshalled: (when, unless, concludes, assumes)."""
        tree: bytes = self._program["trees"][self._program["rules"].index(rule)]
        return tree

    # For reasoning itself

    @property
    def said(self) -> dict[str, dict[Value, None]]:
        """What was said and measured, as the engine keeps it; not to be changed."""
        return self._said

    @property
    def beaten(self) -> dict[str, tuple[Value, ...]]:
        """What was said of attributes that hold one value, and does not lead; not to be changed."""
        return self._beaten

    @property
    def measured(self) -> tuple[str, ...]:
        """The measures that were computed."""
        return self._measured

    @property
    def seeds(self) -> list[int]:
        """The gates that what is said satisfied at once; not to be changed."""
        return self._seeds

    @property
    def log(self) -> list[int]:
        """The gates that are satisfied, in the order in which they came to be; not to be changed."""
        return self._log

    @property
    def left(self) -> bytearray:
        """What every gate lacks; not to be changed."""
        return self._left

    # Inside

    @property
    def _program(self) -> dict[str, Any]:
        return self._base.program

    def _proven(self) -> Proofs:
        if self._proofs is None:
            from backstay.reasoning.proof import Proofs  # only those who ask why pay for it

            standing = self._standings()
            self._proofs = Proofs(
                self._program, self.facts, self._said, self._measured, standing, self._seeds, self._log, self._left
            )
        return self._proofs

    def _makers(self, standing: str) -> dict[Atom, list[str]]:
        makers: dict[Atom, list[str]] = marshal.loads(self._program["makers"])[standing]
        return makers

    def _all_held(self) -> dict[str, tuple[Value, ...]]:
        lists: dict[str, list[Value]] = {attribute: [*values] for attribute, values in self._said.items()}
        atoms = self._program["atoms"]
        _, _, first, end = self._program["marks"]
        for gate in self._log:
            if first <= gate < end:
                attribute, value = atoms[gate - first]
                values = lists.setdefault(attribute, [])
                if value not in values:
                    values.append(value)
        return {
            attribute: tuple(values) if len(values) == 1 else tuple(sorted(values, key=value_order))
            for attribute, values in lists.items()
        }

    def _standings(self) -> dict[Atom, str]:
        if self._standing is None:
            standing: dict[Atom, str] = {}
            program = self._program
            atoms, claims = program["atoms"], program["claims"]
            claimed, _, first, end = program["marks"]
            for gate in self._log:
                if first <= gate < end:
                    standing.setdefault(atoms[gate - first], CONCLUDED)
            for gate in self._log:
                if gate < claimed:
                    attribute, value, how = claims[gate]
                    standing[attribute, value] = how
            for attribute, values in self._said.items():
                how = MEASURED if attribute in self._measured else SAID
                standing.update(((attribute, value), how) for value in values)
            self._standing = standing
        return self._standing
