"""Weighing: how much an answer would change the advice.

Scales hold the advice as it stands and weigh answers against it, first by their effects alone:

    an answer that moves no effect changes nothing
    where no effect is moved that the choice looks at, or only such as leave the best menu the best one, the change is
    known without choosing again
    else it is guessed from how much of the needs, limits and picks is moved, and known to be `at_most` so much

and then, for those worth the time, exactly, by choosing again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from backstay.coaching import wants
from backstay.coaching.ahead import TO_MEET
from backstay.coaching.comparing import (
    A_FIGURE,
    A_NOTICE,
    A_TELL,
    DAYS,
    ONE_PICK,
    OUTCOME,
    SIDE,
    change,
    told,
)
from backstay.coaching.days import bears_on_days, training_days
from backstay.coaching.deciding import Decision, decide
from backstay.coaching.dose import Dose, fix_dose
from backstay.coaching.effects import Ledger, Resolved
from backstay.coaching.filing import ON_EXERCISES, Changes
from backstay.coaching.load import follows_from
from backstay.coaching.picks import Pick
from backstay.coaching.turning import Moved, Tallies
from backstay.knowledge.base import Base, Effect
from backstay.reasoning.supposing import Supposed

MOST_OF_A_PICK = 2 * ONE_PICK  # at least what all of a pick that stays can change
A_LIKING = 1  # guessed, for an exercise that is liked otherwise or may be picked again
GUESSED: Mapping[str, int] = {"forbid": 2 * ONE_PICK, "favour": 2, "side-first": SIDE, "dose": A_FIGURE}  # of a pick
OF_DOSES = frozenset({"dose", "dose-use", "times-a-week"})
SAID: Mapping[str, int] = {"notice": A_NOTICE, "tell": A_TELL}


class Weight:
    """What an answer is worth: exactly, or guessed and at most; `sure` is what of the guess is beyond doubt."""

    __slots__ = ("at_most", "exact", "guess", "sure")

    def __init__(self, guess: int, at_most: int, sure: int) -> None:
        self.guess = guess
        self.at_most = at_most
        self.sure = sure
        self.exact = guess == at_most  # there is nothing left to find out


NOTHING = Weight(0, 0, 0)


class Turned:
    """What an answer turns: effects that move, and all effects resolved anew when that is asked for."""

    __slots__ = ("_changes", "_ledger", "_resolved", "moved")

    def __init__(self, ledger: Ledger, changes: Changes, moved: Moved) -> None:
        self._ledger = ledger
        self._changes = changes
        self._resolved: Resolved | None = None
        self.moved = moved

    def resolved(self) -> Resolved:
        """Return what all effects come to with it."""
        if self._resolved is None:
            self._resolved = self._ledger.changed(self._changes)
        return self._resolved


class Scales:
    """The advice as it stands, and what answers are weighed by."""

    __slots__ = (
        "_base", "_decision", "_dosed_mask", "_doses", "_given", "_given_mask", "_ledger", "_loads_from",
        "_more", "_most_picks", "_named", "_picked", "_picked_mask", "_read", "_resolved", "_rough", "_tallies",
        "_told", "_used", "_want",
    )  # fmt: skip

    def __init__(self, base: Base, ledger: Ledger, decision: Decision, want: str, named: Sequence[str]) -> None:
        self._base = base
        self._ledger = ledger
        self._resolved = ledger.resolved
        self._tallies = Tallies(base, ledger)
        self._decision = decision
        self._want = want
        self._named = named
        self._doses = decision.doses
        self._picked = frozenset(pick.exercise for pick in decision.picks)
        self._told = told(self._resolved.notices, self._resolved.tells, decision.cards)
        self._given = self._picked.union(named)
        self._picked_mask = self._tallies.mask(self._picked)
        self._given_mask = self._tallies.mask(name for name in self._given if name in base.exercises)
        self._dosed_mask = self._tallies.mask(self._doses)
        self._read: dict[str, bool] = {}
        self._rough: dict[str, tuple[int, int, int]] = {}
        self._used = {
            "minutes": sum(pick.minutes * self._often(pick) for pick in decision.picks),
            "stress": sum(pick.dose.stress for pick in decision.picks),
            "items": len(decision.picks),
        }
        self._more = ledger.brought, ledger.needs_of
        self._loads_from = follows_from(base, decision.picks)
        items = self._resolved.limits.get("items")
        self._most_picks = len(base.exercises) if items is None else int(items.value)

    def rough(self, one: Supposed) -> Weight:
        """Weigh an answer by the rules that it silences and makes fire, as if none of them said what others say."""
        read = any(map(self._is_read, one.changed))
        brought = not one.changed.isdisjoint(wants.READ)
        rules = [*one.silenced, *one.fired, *self._ledger.referring(one.changed)]
        if not rules and not read and not brought:
            return NOTHING
        guess, said, sure = 0, 0, OUTCOME if self._dated(one) else 0
        for rule in rules:
            known = self._rough.get(rule)
            if known is None:
                known = self._rough[rule] = self._rough_of(self._base.rules[rule].effects)
            guess, said, sure = guess + known[0], said + known[1], max(sure, known[2])
        guess += (DAYS + A_FIGURE) * len(self._picked) if read else 0
        guess += ONE_PICK if brought else 0
        size = max(len(self._picked), len(self._named), 1)
        most = said + self._most_of(len(self._base.exercises))
        return Weight(said + min(guess + sure, 2 * OUTCOME + ONE_PICK * size), most, said + sure)

    def _rough_of(self, effects: Iterable[Effect]) -> tuple[int, int, int]:
        """A guess, what is said, and what a stop is sure to change."""
        size, guess, said, sure = max(1, len(self._picked)), 0, 0, 0
        whole = max(1, sum(self._resolved.needs.values()))
        for effect in effects:
            name = effect[0]
            if name in ("need", "need-each"):
                guess += 2 * ONE_PICK * size * int(effect[2]) // whole + 1
            elif name in ("stop", "refer", "hold"):
                sure = OUTCOME + ONE_PICK * size
            elif name == "limit":
                guess += self._of_limit(effect[1], 0 if isinstance(effect[2], tuple) else effect[2])
            elif name in SAID:
                said += SAID[name]
            elif name in ON_EXERCISES:
                mine = self._given.intersection(effect[1])
                guess += GUESSED.get(name, A_LIKING) * len(mine) + (name in ("forbid", "favour", "avoid"))
        return guess, said, sure

    def key(self, one: Supposed) -> Any:
        """Return what an answer turns everything by: answers with the same key come to the same."""
        named = self._ledger.named(one.fired)
        facts = sorted(fact for fact in one.changed if fact in named or fact in wants.READ or self._is_read(fact))
        return one.silenced, one.fired, tuple((fact, one.findings.values(fact)) for fact in facts)

    def turned(self, one: Supposed) -> Turned | None:
        """Return what an answer turns; None where it makes it another request."""
        more, needs_of = self._more
        if not one.changed.isdisjoint(wants.READ):
            more, needs_of = wants.all_brought_along(self._base, one.findings, self._want, self._named)
        if needs_of != self._ledger.needs_of:
            return None
        changes = self._ledger.changes(one.findings, one.silenced, one.fired, one.changed, more)
        return Turned(self._ledger, changes, self._tallies.moved(changes))

    def same(self, one: Supposed, turned: Turned) -> Any:
        """Return what an answer comes to; None if it bears on nothing."""
        facts = sorted(fact for fact in one.changed if self._is_read(fact))
        said, sets = turned.moved.said, turned.moved.sets
        if not facts and not said and not sets:
            return None
        return (
            frozenset(said.items()),
            frozenset(sets.items()),
            tuple((fact, one.findings.values(fact)) for fact in facts),
        )

    def weigh(self, one: Supposed, turned: Turned) -> Weight:
        """Weigh an answer by what it turns, without choosing again."""
        stopped = any(kind in ("stop", "refer", "hold") for kind, _ in turned.moved.said)
        choosing = self._want in wants.CHOOSING and self._decision.choice is not None
        if not stopped and choosing and not self._stays(one, turned):
            said = self._retold(turned, self._decision.cards)
            dated = OUTCOME if self._dated(one) else 0
            said += dated
            return Weight(said + self._guessed(turned), said + self._bound(turned), said)
        if stopped or (not choosing and not self._leaves_picks(one, turned)):
            exact = self.exactly(one, turned)
        elif self._leaves_picks(one, turned):
            exact = self._retold(turned, self._decision.cards)
        else:
            resolved = turned.resolved()
            doses = {name: self._dose(name, resolved, turned) for name in self._picked}
            after = decide(self._base, one.findings, resolved, self._want, self._named, doses, self._picked)
            exact = self._retold(turned, after.cards) + change(self._decision, after)
        return Weight(exact, exact, exact)

    def exactly(self, one: Supposed, turned: Turned) -> int:
        """Weigh an answer by choosing again."""
        touched = turned.moved.of(OF_DOSES)
        doses = {name: dose for name, dose in self._doses.items() if not touched & self._tallies.mask((name,))}
        after = decide(self._base, one.findings, turned.resolved(), self._want, self._named, doses)
        return self._retold(turned, after.cards) + change(self._decision, after)

    def _retold(self, turned: Turned, cards: Iterable[str]) -> int:
        """The worth of what is told beside the picks now and was not before, or the other way round."""
        said = {kind: {*table} for kind, table in (("notice", self._resolved.notices), ("tell", self._resolved.tells))}
        for (kind, subject), how in turned.moved.said.items():
            if kind in said:
                (said[kind].add if how[1] else said[kind].discard)(subject)
        after = told(said["notice"], said["tell"], cards)
        return sum({**self._told, **after}[name] for name in self._told.keys() ^ after.keys())

    def _is_read(self, fact: str) -> bool:
        """Whether days or loads follow from a fact itself."""
        read = self._read.get(fact)
        if read is None:
            undated = fact == TO_MEET and self._decision.undated
            read = self._read[fact] = undated or fact in self._loads_from or bears_on_days(fact)
        return read

    def _dated(self, one: Supposed) -> bool:
        """Whether an answer gives the meet a day where one is waited for."""
        return self._decision.undated and TO_MEET in one.changed

    def _leaves_picks(self, one: Supposed, turned: Turned) -> bool:
        """Whether an answer under which the same is picked leaves the picks as they are."""
        if any(map(self._is_read, one.changed)):
            return False
        if any(self._given_mask & (come | gone) for come, gone in turned.moved.sets.values()):
            return False
        return not any(kind == "limit" or subject in self._given for kind, subject in turned.moved.said)

    def _dose(self, name: str, resolved: Resolved, turned: Turned) -> Dose:
        if turned.moved.of(OF_DOSES) & self._tallies.mask((name,)):
            dose = fix_dose(self._base.exercises[name], resolved)
            assert dose is not None  # it was picked, so its file states one
            return dose
        return self._doses[name]

    def _stays(self, one: Supposed, turned: Turned) -> bool:
        """Whether the best menu is the best one still.

        It is where nothing it is chosen by is better than before, and nothing of its own is worse: the order in which
        menus are preferred has no ties.
        """
        choice = self._decision.choice
        if choice is None or not choice.menu.proved or not self._picked:
            return False
        if self._want == "week" and training_days(one.findings) not in (None, self._decision.training_days):
            return False  # the minutes of other sessions
        for (kind, subject), how in turned.moved.said.items():
            if kind in ("need", "limit"):
                return False
            if kind == "favour" and subject in self._doses and (how[1] > how[0]) != (subject in self._picked):
                return False
        come, gone = turned.moved.sets.get(("forbid", None), (0, 0))
        if (come | gone) & self._picked_mask or gone & self._dosed_mask:
            return False
        redosed = turned.moved.of(OF_DOSES) & self._dosed_mask
        names = [
            name
            for name in (self._doses if redosed else ())
            if redosed & self._tallies.mask((name,)) and (name in self._picked or name not in self._resolved.forbidden)
        ]
        return not names or self._cost_no_less(names, turned.resolved())

    def _cost_no_less(self, redosed: Iterable[str], resolved: Resolved) -> bool:
        """Whether new doses take as much of every limit as those before, those of the picks exactly as much."""
        for name in sorted(redosed):
            before, after = self._doses[name], fix_dose(self._base.exercises[name], resolved)
            if after is None or not _no_better(before, after):
                return False
            if name in self._picked and not _no_better(after, before):
                return False
        return True

    def _guessed(self, turned: Turned) -> int:
        """A guess from what is moved that the choice looks at."""
        needs = self._resolved.needs
        moved, after = 0, sum(needs.values())
        size = max(1, len(self._picked))
        guess, likings = 0, 0
        for (kind, subject), how in turned.moved.said.items():
            if kind == "need":
                moved += abs(how[1] - how[0])
                after += how[1] - how[0]
            elif kind == "limit":
                guess += self._of_limit(subject, how[1])
            elif kind == "favour" and subject in self._picked:
                guess += GUESSED[kind]
            elif kind == "favour" and subject in self._doses:
                likings += A_LIKING
        for kind in GUESSED:
            guess += GUESSED[kind] * (turned.moved.of((kind,)) & self._picked_mask).bit_count()
        others = turned.moved.of(("forbid",)) & self._dosed_mask & ~self._picked_mask
        likings += A_LIKING * others.bit_count()
        guess += 2 * ONE_PICK * size * moved // max(1, sum(needs.values()) + after) + min(likings, 2 * ONE_PICK)
        return max(1, min(guess, 2 * ONE_PICK * size + ONE_PICK))

    def _of_limit(self, what: str, figure: float | None) -> int:
        """A guess from how much of what is picked would still fit; a little where more would."""
        used = self._used.get(what, 0)
        sessions = (self._decision.training_days or 1) if what == "minutes" and self._want == "week" else 1
        over = used - figure * sessions if figure is not None else 0
        return int(2 * ONE_PICK * len(self._picked) * over / used) if used and over > 0 else A_LIKING

    def _often(self, pick: Pick) -> int:
        """How many sessions of what is planned hold a pick."""
        return min(pick.dose.times_a_week, self._decision.training_days or 1) if self._want == "week" else 1

    def _bound(self, turned: Turned) -> int:
        """What choosing again can change at most: all picks go, and as many as may be come; a stop of its own."""
        items = self._most_picks
        if ("limit", "items") in turned.moved.said:
            items = len(self._base.exercises)
        return self._most_of(items)

    def _most_of(self, items: int) -> int:
        return 2 * OUTCOME + MOST_OF_A_PICK * max(items, len(self._picked), len(self._named)) + 2 * A_NOTICE


def _no_better(before: Dose, after: Dose) -> bool:
    """Whether a dose takes as much of every limit as before, or more."""
    return (
        after.minutes >= before.minutes
        and after.minutes * after.times_a_week >= before.minutes * before.times_a_week
        and after.stress >= before.stress
        and after.least_stress >= before.least_stress
    )
