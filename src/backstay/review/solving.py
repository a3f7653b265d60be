"""Solving: what is answered in a situation, each distinct problem of choice solved once.

    solver = Solver(base)
    solver.answer(situation) -> Answer

A problem of choice is what is left when all effects are resolved: needs, the candidates that are allowed with what each
is worth, costs and stresses, and the limits. Situations that come to the same problem share its menu. Everything else
of an answer follows from the menu and the resolved effects, by the functions that answers are made with.
"""

from __future__ import annotations

import marshal
from collections.abc import Iterable, Iterator, Mapping
from hashlib import blake2b
from typing import Any, NamedTuple

from backstay.coaching import wants
from backstay.coaching.days import preferred_days, training_days
from backstay.coaching.deciding import NOTHING_LEFT, SEE_CLINICIAN, Decision, decide
from backstay.coaching.dose import Dose, cut_to_stress, fix_dose
from backstay.coaching.load import find_load, follows_from
from backstay.coaching.menu import Choice
from backstay.coaching.picks import Pick, in_session_order, laid_out
from backstay.coaching.resolved import Change, Resolved
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.knowledge.trees import Atom
from backstay.reasoning.engine import conclude
from backstay.review.resolving import Parts, Resolver

WANT = "want"
RECOMMEND = "recommend"
NONE_LEFT = "none-left"  # an outcome of its own here: a referral that no rule makes, for pain with nothing left to give
# What is kept of each kind; then it is found anew, so that memory stays flat. Menus are small and dear to find.
MOST_KEPT = 4_000
MOST_MENUS = 200_000
# What the choice among exercises follows from.
CHOICE = ("need", "favour", "forbid", "dose", "dose-use", "times-a-week", "limit")


class Given(NamedTuple):
    """One exercise as it is given: all of it that a change of the knowledge can change."""

    exercise: str
    dose: tuple[Any, ...]
    side: str | None
    days: tuple[int, ...]
    way: int | None
    load: tuple[Any, ...]


class Answer(NamedTuple):
    """What is answered in one situation, without its reasons."""

    outcome: str
    within: str | None
    given: tuple[Given, ...]
    notices: tuple[str, ...]
    tells: tuple[str, ...]
    asks: tuple[str, ...]


class Solved(NamedTuple):
    """An answer with what it was made of; `covered` is empty where nothing was chosen."""

    answer: Answer
    fired: tuple[int, ...]  # the rules that fire, by their places
    resolved: Resolved
    covered: Mapping[str, int]
    doses: tuple[Dose, ...]
    proved: bool
    chosen: bool = False  # whether it was chosen among all exercises


class Clash(NamedTuple):
    """Two rules that bound one quantity of a dose so that no figure keeps both bounds."""

    quantity: str
    at_least: str
    at_most: str


class _Menu(NamedTuple):
    names: tuple[str, ...]
    covered: Mapping[str, int]
    proved: bool


class Solver:
    """Answers situations from one base; `problems` are those that were met, by their stamps, and `solved` how many."""

    def __init__(self, base: Base) -> None:
        self.base = base
        self.resolver = Resolver(base)
        self.problems: set[int] = set()
        self.solved = 0
        self._clashes: dict[Any, tuple[Clash, ...]] = {}
        self._menus: dict[int, _Menu] = {}
        self._by_rules: dict[Any, _Menu] = {}
        self._doses: dict[Any, Dose | None] = {}
        self._loads: dict[Any, tuple[Any, ...]] = {}

    def answer(self, situation: Iterable[Atom]) -> Solved:
        """Return what is answered; somebody who asks for nothing in particular asks what to do."""
        attributes = self.base.attributes
        facts = [Fact(*atom) for atom in situation if atom[0] in attributes]
        want = next((str(fact.value) for fact in facts if fact.attribute == WANT), "")
        if not want:
            facts.append(Fact(WANT, RECOMMEND))
        findings = conclude(self.base, facts)
        fired = tuple(self.resolver.places(findings.log))
        if want and want != RECOMMEND:
            return self._asked_for(findings, fired, want, facts)
        parts = self.resolver.resolve(findings, self.resolver.fired(findings.log))
        resolved = parts.resolved
        told = tuple(resolved.notices), tuple(resolved.tells), tuple(resolved.asks)
        before = _kept_back(resolved)
        if before is not None:
            return Solved(Answer(*before, (), *told), fired, resolved, {}, (), True)
        menu = self._menu(parts)
        if not menu.names and SEE_CLINICIAN in resolved.notices:
            return Solved(Answer(NONE_LEFT, NOTHING_LEFT, (), *told), fired, resolved, {}, (), menu.proved, True)
        count = training_days(findings)
        most = resolved.limits.get("stress")
        doses = cut_to_stress(
            [dose for name in menu.names if (dose := self.dose(name, resolved)) is not None],
            most.value if most is not None else None,
        )
        given = tuple(
            [self._given(findings, resolved, name, dose, count) for name, dose in zip(menu.names, doses, strict=True)]
        )
        return Solved(Answer("advice", None, given, *told), fired, resolved, menu.covered, doses, menu.proved, True)

    def dose(self, name: str, resolved: Resolved) -> Dose | None:
        """Return the dose of an exercise, fixed once for the same changes."""
        uses = resolved.uses.get(name)
        key = name, resolved.changes.get(name), resolved.times_a_week.get(name), tuple(uses.items()) if uses else ()
        try:
            return self._doses[key]
        except KeyError:
            if len(self._doses) >= MOST_KEPT:
                self._doses.clear()
            dose = self._doses[key] = fix_dose(self.base.exercises[name], resolved)
            return dose

    def clashes(self, name: str, resolved: Resolved) -> tuple[Clash, ...]:
        """Return the bounds on a dose of which one wants at least more than another allows at most."""
        changes = resolved.changes.get(name, ())
        if not changes:
            return ()
        found = self._clashes.get(changes)
        if found is None:
            if len(self._clashes) >= MOST_KEPT:
                self._clashes.clear()
            found = self._clashes[changes] = tuple(_clashing(changes))
        return found

    def _menu(self, parts: Parts) -> _Menu:
        by_rules = tuple([parts.keys[kind] for kind in CHOICE])
        menu = self._by_rules.get(by_rules)
        if menu is None:
            if len(self._by_rules) >= MOST_KEPT:
                self._by_rules.clear()
            menu = self._by_rules[by_rules] = self._chosen(parts.resolved)
        return menu

    def _chosen(self, resolved: Resolved) -> _Menu:
        doses, allowed, most = laid_out(self.base, resolved, known=_Known(self, resolved), without=resolved.forbidden)
        key = (
            tuple(sorted(resolved.needs.items())),
            tuple([(one.exercise, one.preference, one.minutes, one.stress, one.least_stress) for one in allowed]),
            tuple(most),
        )
        stamp = _stamp(key)
        self.problems.add(stamp)
        menu = self._menus.get(stamp)
        if menu is None:
            self.solved += 1
            made = Choice(resolved.needs, allowed, most).menu
            menu = _Menu(in_session_order(self.base, made.exercises, doses), made.covered, made.proved)
            if len(self._menus) >= MOST_MENUS:
                self._menus.clear()
            self._menus[stamp] = menu
        return menu

    def _given(self, findings: Any, resolved: Resolved, name: str, dose: Dose, count: int | None) -> Given:
        side = resolved.sides.get(name)
        days = resolved.days.get(name)
        way = resolved.ways.get(name)
        return Given(
            name,
            dose_key(dose),
            side.side if side is not None else None,
            preferred_days(days, count)[0] if days else (),
            way,
            self._load(findings, resolved, name, dose, way),
        )

    def _load(self, findings: Any, resolved: Resolved, name: str, dose: Dose, way: int | None) -> tuple[Any, ...]:
        exercise = self.base.exercises[name]
        entries = exercise.doses[dose.use].get("load-from", ())
        if not entries:
            return ()
        facts = follows_from(self.base, [Pick(name, dose, 0, (), None, way, ())])
        held = tuple([findings.values(fact) for fact in sorted(facts)])
        key = name, dose.use, dose.load_percent, way, resolved.changes.get(name), held
        load = self._loads.get(key)
        if load is None:
            if len(self._loads) >= MOST_KEPT:
                self._loads.clear()
            found = find_load(self.base, findings, resolved, exercise, entries, way, dose.load_percent)
            load = self._loads[key] = () if found is None else (found.kit, found.kg, found.bar, found.each_hand)
        return load

    def _asked_for(self, findings: Any, fired: tuple[int, ...], want: str, facts: Iterable[Fact]) -> Solved:
        """Answer a request that is not for a recommendation the long way: there are few of them."""
        named = [str(fact.value) for fact in facts if fact.attribute == "exercise"] if want in wants.NAMED else []
        resolved = wants.resolve_for(self.base, findings, want, named)
        decision: Decision = decide(self.base, findings, resolved, want, named)
        given = tuple(
            Given(
                pick.exercise,
                dose_key(pick.dose),
                pick.first_side,
                pick.days,
                pick.way,
                () if pick.dose.weight is None else tuple(pick.dose.weight[:2]),
            )
            for pick in decision.picks
        )
        told = tuple(resolved.notices), tuple(resolved.tells), tuple(resolved.asks)
        covered = decision.choice.menu.covered if decision.choice is not None else {}
        none_left = decision.outcome == "refer" and not decision.because
        answer = Answer(NONE_LEFT if none_left else decision.outcome, decision.within, given, *told)
        doses = tuple(pick.dose for pick in decision.picks)
        proved = decision.choice is None or decision.choice.menu.proved
        return Solved(answer, fired, resolved, covered, doses, proved)


class _Known(Mapping[str, Dose]):
    """The doses of a case, each found when it is asked for."""

    __slots__ = ("_resolved", "_solver")

    def __init__(self, solver: Solver, resolved: Resolved) -> None:
        self._solver = solver
        self._resolved = resolved

    def get(self, name: str, default: Any = None) -> Any:
        return self._solver.dose(name, self._resolved)

    def __getitem__(self, name: str) -> Dose:
        dose = self._solver.dose(name, self._resolved)
        if dose is None:
            raise KeyError(name)
        return dose

    def __iter__(self) -> Any:
        return iter(self._solver.base.exercises)

    def __len__(self) -> int:
        return len(self._solver.base.exercises)


def dose_key(dose: Dose) -> tuple[Any, ...]:
    """Return the figures of a dose: all but reasons, sources and the load in kg."""
    return (
        dose.use, dose.sets, dose.reps, dose.seconds, dose.metres, dose.rest, dose.load, dose.load_percent, dose.effort,
        dose.effort_at_most, dose.reserve, dose.times_a_week, dose.stress_class, dose.tempo,
    )  # fmt: skip


def _kept_back(resolved: Resolved) -> tuple[str, str | None] | None:
    """What stands before any advice: a stop, a referral, an open safety question."""
    for outcome, said in (("stop", resolved.stop), ("refer", resolved.refer)):
        if said is not None:
            return outcome, said.value
    return ("question", None) if resolved.hold else None


def _clashing(changes: Iterable[Change]) -> Iterator[Clash]:
    bounds = [change for change in changes if change.how != "times"]
    for low in bounds:
        for high in bounds:
            same = low.quantity == high.quantity and (low.how, high.how) == ("at-least", "at-most")
            if same and low.number > high.number:
                yield Clash(low.quantity, low.rule, high.rule)


def _stamp(key: Any) -> int:
    """A number for a problem, the same in every process."""
    return int.from_bytes(blake2b(marshal.dumps(key, 2), digest_size=8).digest(), "big")
