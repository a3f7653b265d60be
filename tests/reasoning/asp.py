"""The laws told to clingo, a solver nobody here wrote: rules and a case as a logic program, and its one answer set.

Only the laws stand here (what is said beats what is concluded beats what is assumed; one value of an attribute leads;
absence, counts), not the engine's way of keeping them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import count

import clingo

from backstay.knowledge.base import Attribute, Measure, Node, ParsedRule

Value = str | float

LAWS = """
figure(A, X) :- value(A, n(X)).
anysaid(A) :- said(A, V).
beaten(A, V, said) :- said(A, V), said(A, W), single(A), leads(A, W, V).
value(A, V) :- said(A, V), not beaten(A, V, said).
anyconcluded(A) :- concluded(A, V).
beaten(A, V, concluded) :- concluded(A, V), concluded(A, W), single(A), leads(A, W, V).
value(A, V) :- concluded(A, V), not single(A).
value(A, V) :- concluded(A, V), single(A), not anysaid(A), not beaten(A, V, concluded).
beaten(A, V, assumed) :- assumed(A, V), assumed(A, W), single(A), leads(A, W, V).
value(A, V) :- assumed(A, V), not anysaid(A), not anyconcluded(A), not beaten(A, V, assumed).
measure(gap, X - Y) :- how(difference), operand(1, X), operand(2, Y).
measure(gap, 100 * X / Y) :- how(percent_of), operand(1, X), operand(2, Y).
measure(gap, 100 * |X - Y| / Y) :- how(percent_apart), operand(1, X), operand(2, Y), X <= Y.
measure(gap, 100 * |X - Y| / X) :- how(percent_apart), operand(1, X), operand(2, Y), X > Y.
value(A, n(X)) :- measure(A, X), not anysaid(A).
#show value/2.
#show fired/1.
"""
OPS = {"at-least": ">=", "at-most": "<=", "above": ">", "below": "<"}


def term(value: Value) -> str:
    return f's("{value}")' if isinstance(value, str) else f"n({value})"


def lines_of(
    rules: Iterable[ParsedRule], said: Iterable[tuple[str, Value]], attributes: Mapping[str, Attribute],
    measures: Iterable[Measure],
) -> Iterable[str]:  # fmt: skip
    yield LAWS
    values: dict[str, set[Value]] = {}
    said = tuple(said)
    rules = tuple(rules)
    for attribute, value in [*said, *[atom for rule in rules for atom in (*rule.concludes, *rule.assumes)]]:
        values.setdefault(attribute, set()).add(value)
    for name, described in attributes.items():
        if described.kind in ("one", "number"):
            yield f"single({name})."
        ordered = sorted(values.get(name, ()), key=lambda value: _place(described, value))
        for first, leader in enumerate(ordered):
            for follower in ordered[first + 1 :]:
                yield f"leads({name},{term(leader)},{term(follower)})."
    for measure in measures:
        yield f"how({measure.how.replace('-', '_')})."
        for place, attribute in enumerate(measure.of, start=1):
            yield f"operand({place}, X) :- said({attribute}, n(X)), not beaten({attribute}, n(X), said)."
    for attribute, value in said:
        yield f"said({attribute},{term(value)})."
    numbers = count()
    for rule in rules:
        body: list[str] = []
        when = next(numbers)
        yield from _condition(rule.when, when, numbers)
        body.append(f"c({when})")
        if rule.unless is not None:
            unless = next(numbers)
            yield from _condition(rule.unless, unless, numbers)
            body.append(f"not c({unless})")
        yield f"fired({rule.id}) :- {', '.join(body)}."
        for name, atoms in (("concluded", rule.concludes), ("assumed", rule.assumes)):
            for attribute, value in atoms:
                yield f"{name}({attribute},{term(value)}) :- fired({rule.id})."


def _place(described: Attribute, value: Value) -> tuple[int, Value]:
    """Cautious values in their order, then the alphabet; the highest figure, or the lowest where that is cautious."""
    if isinstance(value, str):
        return (
            (described.cautious.index(value), "") if value in described.cautious else (len(described.cautious), value)
        )
    return (0, value) if "lowest" in described.cautious else (0, -value)


def _condition(node: Node, number: int, numbers: Iterable[int]) -> Iterable[str]:
    kind = node[0]
    if kind == "is":
        yield f"c({number}) :- value({node[1]},{term(node[2])})."
    elif kind == "known":
        yield f"c({number}) :- value({node[1]},_)."
    elif kind == "number":
        yield f"c({number}) :- figure({node[1]},X), X {OPS[node[2]]} {node[3]}."
    elif kind == "count":
        counted = f"#count {{ V : value({node[1]},V) }}"
        yield f"c({number}) :- {counted} {OPS[node[2]]} {node[3]}, {counted} >= 1."
    else:
        children = [node[1]] if kind == "not" else node[-1]
        names = []
        for child in children:
            name = next(iter(numbers))
            names.append(f"c({name})")
            yield from _condition(child, name, numbers)
        if kind == "not":
            yield f"c({number}) :- not {names[0]}."
        elif kind == "all":
            yield f"c({number}) :- {', '.join(names) or '#true'}."
        elif kind == "any":
            yield from (f"c({number}) :- {name}." for name in names)
        else:
            parts = "; ".join(f"1,{place} : {name}" for place, name in enumerate(names))
            yield f"c({number}) :- #sum {{ {parts} }} >= {node[1]}."


def answer_sets(
    rules: Iterable[ParsedRule], said: Iterable[tuple[str, Value]], attributes: Mapping[str, Attribute],
    measures: Iterable[Measure],
) -> list[tuple[frozenset[tuple[str, Value]], tuple[str, ...]]]:  # fmt: skip
    """Up to two answer sets, each as (what holds, the rules that fire)."""
    control = clingo.Control(["--models=2", "--warn=none"])
    control.add("base", [], "\n".join(lines_of(rules, said, attributes, measures)))
    control.ground([("base", [])])
    found = []
    with control.solve(yield_=True) as models:
        for model in models:
            values: set[tuple[str, Value]] = set()
            fired = []
            for symbol in model.symbols(shown=True):
                if symbol.name == "fired":
                    fired.append(symbol.arguments[0].name)
                else:
                    attribute, wrapped = symbol.arguments
                    inner = wrapped.arguments[0]
                    values.add((attribute.name, inner.string if wrapped.name == "s" else inner.number))
            found.append((frozenset(values), tuple(sorted(fired))))
    return found
