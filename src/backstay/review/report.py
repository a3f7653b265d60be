"""Report: what a walk found, as plain values that can be written as JSON; text.py and page.py put it into words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from backstay.coaching.filing import ON_EXERCISES, kind_of
from backstay.knowledge.base import Base
from backstay.review.comparing import KINDS, Comparer, Comparison, Group
from backstay.review.covering import TRIPLES
from backstay.review.matrix import matrix, shown
from backstay.review.solving import Solver
from backstay.review.space import Covering, Product, Situation
from backstay.review.tally import Case, Tally
from backstay.review.walking import Review

FORMAT = 1
WRITTEN = frozenset({"rules", "screening"})  # rooms of rules that somebody wrote as rules
MOST_TOLD = 8
MOST_ANSWERS = 12


def report(review: Review) -> dict[str, Any]:
    """Return all that a review has to say."""
    base, tally, space = review.bases[0], review.tally, review.space
    solver = Solver(base)
    found: dict[str, Any] = {
        "format": FORMAT,
        "situations": tally.situations,
        "problems": len(tally.problems),
        "solved": tally.solved,
        "unproved": tally.unproved,
        "space": {
            "walks": [{"walk": walk.name, "design": _design(walk), "situations": walk.size} for walk in space.walks],
            "dimensions": [{"attribute": one.name, "values": len(one.values)} for one in space.dimensions],
            "values": sum(len(one.values) for one in space.dimensions),
            "stop_signs": space.signs,
            "complaints": len(space.complaints),
        },
        "outcomes": [
            {"outcome": outcome, "within": within, "situations": count}
            for (outcome, within), count in tally.outcomes.most_common()
        ],
        "nothing_to_offer": {
            "situations": tally.empty,
            "of": tally.advised,
            "told": [
                {"fact": list(atom), "situations": count} for atom, count in tally.empty_with.most_common(MOST_TOLD)
            ],
            "plainest": [_facts(situation) for _, situation in tally.empty_examples],
        },
        "rules_never": [
            _rule(base, rule) for place, rule in enumerate(solver.resolver.rules) if not tally.fired(place)
        ],
        "exercises_never": [name for name in base.exercises if not tally.chosen[name]],
        "needs_never": [name for name in sorted(tally.needed) if tally.uncovered[name] == tally.needed[name]],
        "needs_open": _open_needs(tally),
        "doses_contradict": [
            {**_clash(key), **_case(case)} for key, case in sorted(tally.clashes.items(), key=_by_count)
        ],
        "answers": [
            {"exercises": list(names), "situations": count} for names, count in tally.answers.most_common(MOST_ANSWERS)
        ],
        "alone": [{"rule": rule, **_case(case)} for rule, case in sorted(tally.alone.items(), key=_by_count)],
        "together": _together(base, tally, solver.resolver.rules),
        "matrix": matrix(solver, space),
    }
    if review.comparison is not None and review.comparer is not None:
        found["against"] = _against(review, review.comparison, review.comparer, solver)
    return found


def _design(walk: Product | Covering) -> str:
    if isinstance(walk, Product):
        return "exhaustive"
    return "triples" if walk.design.strength == TRIPLES else "pairs"


def _facts(situation: Situation) -> list[list[Any]]:
    return [list(atom) for atom in situation]


def _case(case: Case) -> dict[str, Any]:
    return {"situations": case.count, "plainest": _facts(case.example[1]) if case.example else []}


def _by_count(item: tuple[Any, Case]) -> tuple[int, str]:
    return -item[1].count, repr(item[0])


def _rule(base: Base, rule: str) -> dict[str, Any]:
    info = base.rules[rule]
    return {"rule": rule, "file": info.place[0], "line": info.place[1], "because": info.because}


def _open_needs(tally: Tally) -> list[dict[str, Any]]:
    """The needs that are most often covered by nothing at all, though not always."""
    shares = [
        (tally.uncovered[name] / tally.needed[name], name)
        for name in tally.needed
        if 0 < tally.uncovered[name] < tally.needed[name]
    ]
    return [
        {"quality": name, "open": tally.uncovered[name], "needed": tally.needed[name]}
        for _, name in sorted(shares, key=lambda share: (-share[0], share[1]))[:MOST_TOLD]
    ]


def _clash(key: tuple[str, ...]) -> dict[str, Any]:
    if key[0] == "use":
        return {"kind": "use", "exercise": key[1], "uses": list(key[2:])}
    return {"kind": "bounds", "quantity": key[0], "rules": list(key[1:])}


def _together(base: Base, tally: Tally, rules: Iterable[str]) -> list[dict[str, Any]]:
    """Written rules that fire in just the same situations; those that say the same kind of thing come first."""
    groups: dict[int, tuple[int, list[str]]] = {}
    for place, rule in enumerate(rules):
        count = tally.fired(place)
        if 0 < count < tally.situations and base.rules[rule].room in WRITTEN:
            groups.setdefault(tally.firing[place], (count, []))[1].append(rule)
    pairs = [
        {"rules": [one, other], "situations": count, "same": _shared(base, one, other)}
        for count, names in groups.values()
        for at, one in enumerate(names)
        for other in names[at + 1 :]
    ]
    return sorted(pairs, key=lambda pair: (not pair["same"], -pair["situations"], pair["rules"]))


def _shared(base: Base, one: str, other: str) -> list[str]:
    """What two rules both say: of the same need or message, or the same kind of thing of the same exercise."""
    shared: dict[str, None] = {}
    for effect in base.rules[one].effects:
        for also in base.rules[other].effects:
            if kind_of(effect) != kind_of(also):
                continue
            if effect[0] in ON_EXERCISES:
                if not set(effect[1]).isdisjoint(also[1]):
                    shared[kind_of(effect)] = None
            elif effect[1:2] == also[1:2]:
                shared[" ".join([effect[0], *map(str, effect[1:2])])] = None
    return list(shared)


def _against(review: Review, comparison: Comparison, comparer: Comparer, after: Solver) -> dict[str, Any]:
    before = Solver(review.bases[1])
    how = {change.cause: change.how for change in comparer.changes}

    def example(situation: Situation) -> dict[str, Any]:
        return {
            "plainest": _facts(situation),
            "before": shown(before.answer(situation).answer),
            "after": shown(after.answer(situation).answer),
        }

    def group(cause: tuple[str, str], one: Group) -> dict[str, Any]:
        return {
            "cause": list(cause),
            "how": how.get(cause, "changed"),
            "situations": one.count,
            "alone": one.case.count,
            "kinds": _kinds_of(one.kinds),
            **example(one.example),
        }

    ordered = sorted(comparison.groups.items(), key=lambda item: (-item[1].count, item[0]))
    return {
        "situations": comparison.situations,
        "differing": comparison.differing,
        "kinds": _kinds_of(comparison.kinds),
        "errors": [
            {"kind": kind, "situations": case.count, **example(case.example[1])}
            for kind, case in sorted(comparison.errors.items())
            if case.example
        ],
        "groups": [group(cause, one) for cause, one in ordered],
        "changes": [{"cause": list(change.cause), "how": change.how} for change in comparer.changes],
        "silent": [list(change.cause) for change in comparer.changes if change.cause not in comparison.groups],
    }


def _kinds_of(kinds: Mapping[str, int]) -> dict[str, int]:
    return {kind: kinds[kind] for kind in KINDS if kinds.get(kind)}
