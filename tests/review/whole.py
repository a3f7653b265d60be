"""A whole base told to clingo, with facts and picks left open: what may be told is any set of what can be told, what
may be picked is any set of what is not forbidden.

The rules go through the translation that the oracle tests of reasoning use; ids and figures are put into words that the
language of clingo can spell. Of a figure one is taken for each stretch between thresholds, so that a test of a number
is a test of the place of its stretch. A measure may be anything, whatever its two numbers are: that allows more than
can be, so what is proved holds all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import clingo

from backstay.knowledge.base import Attribute, Base, Exercise, Node, ParsedRule
from backstay.knowledge.trees import COMPARE, leaves
from backstay.reasoning.answers import answers
from backstay.reasoning.engine import conclude
from backstay.review.rules import parsed_rules
from reasoning.asp import lines_of, term

Atom = tuple[str, Any]
CHOICES = """
kept_back :- stop(_). kept_back :- refer(_). kept_back :- hold.
{pick(E) : exercise(E), not forbidden(E)} :- not kept_back.
#show said/2.
#show pick/1.
#show fired/1.
#show forbidden/1.
#show kept_back/0.
"""
SAYS = {"stop": "stop", "refer": "refer", "notice": "notice"}


class Whole:
    """One base as a logic program that is grounded once and asked many questions."""

    def __init__(
        self,
        base: Base,
        laws: Mapping[str, str],
        never_told: Iterable[str] = ("want",),
        exercises: Mapping[str, Exercise] | None = None,
    ) -> None:
        """`exercises` say what exercises are like, whatever the base itself says of them."""
        self.base = base
        self._exercises = base.exercises if exercises is None else exercises
        self.rules = list(parsed_rules(base))
        self.names = {rule.id: f"r{place}" for place, rule in enumerate(self.rules)}
        self.attributes = {name: f"a{place}" for place, name in enumerate(base.attributes)}
        self.figures = self._stretches()
        skipped = frozenset(never_told)
        self.told: list[Atom] = [("want", "recommend")]
        for name, described in base.attributes.items():
            if described.kind in ("map", "records") or name in skipped:
                continue
            values = {*answers(base, name), *described.values}
            self.told += [(name, value) for value in sorted(values, key=str)]
        self.told = [atom for atom in self.told if isinstance(atom[1], str) or atom[0] in self.figures]
        program = "\n".join([*self._lines(), CHOICES, *self._laws(laws)])
        self.control = clingo.Control(["--models=1", "--warn=none"])
        self.control.add("base", [], program)
        self.control.ground([("base", [])])
        atoms = self.control.symbolic_atoms
        self._tellable = {str(one.symbol): one.literal for one in atoms.by_signature("said", 2)}
        self._pickable = {one.symbol.arguments[0].string: one.literal for one in atoms.by_signature("pick", 1)}

    def counterexample(self, law: str) -> tuple[list[Atom], list[str]] | None:
        """What is told and what is picked where a law is broken; None if there is no such case: then it is proved."""
        broken = clingo.Function("broken", [clingo.Function(law)])
        if self.control.symbolic_atoms[broken] is None:
            return None
        with self.control.solve(yield_=True, assumptions=[(broken, True)]) as found:
            for model in found:
                symbols = {str(symbol) for symbol in model.symbols(shown=True)}
                told = [atom for atom in self.told if self._said(atom) in symbols]
                return told, [name for name in self.base.exercises if f'pick("{name}")' in symbols]
        return None

    def outcome(self, told: Iterable[Atom]) -> tuple[set[str], set[str], bool]:
        """Which rules fire, which exercises are forbidden, and whether all are kept back, with just this told."""
        with self.control.solve(yield_=True, assumptions=self._just(told)) as found:
            shown = {str(symbol) for symbol in next(iter(found)).symbols(shown=True)}
        fired = {name for name, short in self.names.items() if f"fired({short})" in shown}
        forbidden = {name for name in self.base.exercises if f'forbidden("{name}")' in shown}
        return fired, forbidden, "kept_back" in shown

    def allows(self, told: Iterable[Atom], picks: Iterable[str]) -> bool:
        """Whether, with just this told, just these picks are one of the choices left open."""
        chosen = set(picks)
        fixed = [literal if name in chosen else -literal for name, literal in self._pickable.items()]
        if not chosen <= self._pickable.keys():
            return False
        return bool(self.control.solve(assumptions=[*self._just(told), *fixed]).satisfiable)

    def _just(self, told: Iterable[Atom]) -> list[int]:
        """Literals that say: this is told, and nothing else."""
        held = {self._said(self._placed(atom)) for atom in told}
        return [literal if said in held else -literal for said, literal in self._tellable.items()]

    def measured(self, told: Iterable[Any]) -> list[Atom]:
        """The measures of what is told, as facts: here they are told like all else."""
        findings = conclude(self.base, tuple(told))
        return [(name, findings.number(name)) for name in findings.measured]

    # --- the program --------------------------------------------------------------------------------------------------

    def _lines(self) -> Iterable[str]:
        rules = [self._renamed(rule) for rule in self.rules]
        attributes = {self.attributes[name]: self._described(name) for name in self.base.attributes}
        said = [(self.attributes[name], self._value(name, value)) for name, value in self.told]
        for line in lines_of(rules, said, attributes, ()):
            if line == self._said(("want", "recommend")) + ".":
                yield line
            elif line.startswith("said(") and " " not in line:
                yield f"{{{line[:-1]}}}."
            else:
                yield line
        for name in self.base.exercises:
            yield f'exercise("{name}").'
        yield "stop(none) :- #false. refer(none) :- #false. notice(none) :- #false. hold :- #false."
        for rule in self.rules:
            body = f"fired({self.names[rule.id]})"
            for effect in rule.effects:
                if effect[0] == "forbid":
                    for name in effect[1]:
                        yield f'forbidden("{name}") :- {body}.'
                elif effect[0] in SAYS:
                    yield f'{SAYS[effect[0]]}("{effect[1]}") :- {body}.'
                elif effect[0] == "hold":
                    yield f"hold :- {body}."

    def _laws(self, laws: Mapping[str, str]) -> Iterable[str]:
        """A law is the body of a rule: a case in which it holds breaks the law. `is(A, V)` and `at_least(A, n)` are
        tests of what holds, `of(E, P)` a property of an exercise."""
        for name, short in self.attributes.items():
            yield f'is("{name}", V) :- value({short}, s(V)).'
            yield f'known("{name}") :- value({short}, _).'
            for place, figure in enumerate(self.figures.get(name, ())):
                yield f'at({round(figure * 10)}, "{name}") :- value({short}, n({place})).'
        yield "at_least(A, N) :- at(M, A), M >= 10*N, N = 0..100."
        yield "below(A, N) :- at(M, A), M < 10*N, N = 0..100."
        yield "is(x, x) :- #false. known(x) :- #false. at(0, x) :- #false."
        for name, exercise in self._exercises.items():
            yield f'of("{name}", "{exercise.stress}").'
            if exercise.loaded:
                yield f'of("{name}", "loaded").'
            if exercise.loaded and exercise.spine_motion == "end-range":
                yield f'of("{name}", "loaded-rounding").'
            if exercise.speed == "fast":
                yield f'of("{name}", "fast").'
        for law, body in laws.items():
            for one in body.strip().split("\n"):
                yield f"broken({law}) :- {one}."

    def _renamed(self, rule: ParsedRule) -> ParsedRule:
        return rule._replace(
            id=self.names[rule.id],
            when=self._node(rule.when),
            unless=None if rule.unless is None else self._node(rule.unless),
            concludes=tuple((self.attributes[name], self._value(name, value)) for name, value in rule.concludes),
            assumes=tuple((self.attributes[name], self._value(name, value)) for name, value in rule.assumes),
        )

    def _node(self, node: Node) -> Node:
        kind = node[0]
        if kind in ("all", "any"):
            return kind, tuple(map(self._node, node[1]))
        if kind == "some":
            return kind, node[1], tuple(map(self._node, node[2]))
        if kind == "not":
            return kind, self._node(node[1])
        name = self.attributes[node[1]]
        if kind == "is":
            return kind, name, self._value(node[1], node[2])
        if kind == "known":
            return kind, name
        if kind == "count":
            return kind, name, node[2], int(node[3])
        # The stretches that pass begin, or end, at a place of their own.
        passing = [at for at, figure in enumerate(self.figures[node[1]]) if COMPARE[node[2]](figure, node[3])]
        if node[2] in ("at-least", "above"):
            return kind, name, "at-least", min(passing, default=10**6)
        return kind, name, "at-most", max(passing, default=-1)

    def _described(self, name: str) -> Attribute:
        return self.base.attributes[name]

    def _stretches(self) -> dict[str, tuple[float, ...]]:
        """A figure of each stretch of every number, in order; a number that is only known or not has one."""
        found = {}
        named: dict[str, set[float]] = {}
        for rule in self.rules:
            for node in (rule.when, rule.unless):
                for test, _ in leaves(node) if node is not None else ():
                    if test[0] == "is" and not isinstance(test[2], str):
                        named.setdefault(test[1], set()).add(test[2])
            for name, value in (*rule.concludes, *rule.assumes):
                if not isinstance(value, str):
                    named.setdefault(name, set()).add(value)
        for name, described in self.base.attributes.items():
            figures = {float(one) for one in answers(self.base, name) if not isinstance(one, str)}
            figures |= named.get(name, set())
            if described.kind == "number" or figures:
                found[name] = tuple(sorted(figures or {1.0}))
        return found

    def _placed(self, atom: Atom) -> Atom:
        """A figure as the one of its stretch."""
        name, value = atom
        if isinstance(value, str):
            return atom
        bounds = sorted({(test[2], test[3]) for rule in self.rules for test in _numbers(rule, name)})

        def kept(figure: float) -> list[bool]:
            return [COMPARE[how](figure, bound) for how, bound in bounds]

        if value in self.figures[name]:
            return name, float(value)
        return name, next(one for one in self.figures[name] if kept(one) == kept(value))

    def _value(self, name: str, value: Any) -> Any:
        return value if isinstance(value, str) else self.figures[name].index(float(value))

    def _said(self, atom: Atom) -> str:
        return f"said({self.attributes[atom[0]]},{term(self._value(*atom))})"


def _numbers(rule: ParsedRule, name: str) -> Iterable[Node]:
    for node in (rule.when, rule.unless):
        if node is not None:
            yield from (test for test, _ in leaves(node) if test[0] == "number" and test[1] == name)
