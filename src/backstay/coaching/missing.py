"""Missing: why an exercise is not in the advice, and what would bring it in.

    missing(base, findings, exercise) -> Missing

It is looked at as if advice were asked for and the exercise not named. What would change it is found among
circumstances (time, kit, place, purpose), never in the body: of pain, signs, age and the like nothing else is supposed
than what was said. A change is given only if the advice was made again with it and came out so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from backstay.coaching.deciding import Decision, decide
from backstay.coaching.dose import fix_dose
from backstay.coaching.effects import Resolved
from backstay.coaching.filing import kind_of
from backstay.coaching.picks import ROOMS, limits
from backstay.coaching.wants import resolve_for
from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.reasoning.changes import Change, Options, changed, tried
from backstay.reasoning.engine import conclude
from backstay.reasoning.why_not import Near, why_none

WANT = "recommend"
# What can be otherwise without anybody's body being another; what was said of a level is not talked away.
CIRCUMSTANCES = frozenset(
    {
        "aim", "at-hand", "avoids", "day-load.today", "day-load.tomorrow", "day-load.yesterday", "exercise", "fault",
        "has", "kit", "lacks", "lift", "minutes", "moment", "muscle", "occasion", "phase", "readiness",
        "sessions-a-day", "today-is-day", "training-days", "weeks-to-meet",
    }
)  # fmt: skip
UNLESS_SAID = frozenset({"level"})
MOST_SAID = 16  # rules that speak for it and are looked at
MOST_NEAR = 2  # and told
ROUNDS = 4  # of lifting one rule after another
TRAINED = 2  # points from which on an exercise is one for a quality


class Barrier(NamedTuple):
    """A rule that keeps an exercise out, and what would lift it alone."""

    rule: str
    change: Change | None


class Missing(NamedTuple):
    """Why an exercise is not in the advice."""

    exercise: str
    findings: Any  # what holds where advice is asked for and the exercise is not named
    given: bool  # it is in the advice as things stand
    barriers: tuple[Barrier, ...]  # the one that is lifted by least first, then those that stay
    minutes: int | None  # that it takes, where fewer are at hand
    needed: tuple[str, ...]  # qualities it trains that are needed now
    instead: tuple[str, ...]  # what is given and trains these
    near: tuple[Near, ...]  # rules that would speak for it, the nearest first; each change brings it in
    change: Change | None  # of what keeps it out, all in one
    enters: bool  # the change brings it into the advice, and does not only allow it


class _Advice(NamedTuple):
    findings: Any
    resolved: Resolved
    decision: Decision

    def gives(self, exercise: str) -> bool:
        return any(pick.exercise == exercise for pick in self.decision.picks)


def missing(base: Base, findings: Any, exercise: str) -> Missing:
    """Return why an exercise is not given, and what would change it."""
    facts = [fact for fact in findings.facts if fact.attribute not in ("want", "exercise")]
    now = _advice(base, conclude(base, [*facts, Fact("want", WANT)]))
    fixed = fixed_in(base, now.findings)
    forbidding = _forbidding(base, exercise)
    rules = now.resolved.forbidden.get(exercise, ())
    barriers = [Barrier(rule, _without(base, now.findings, rule, forbidding, fixed)) for rule in rules]
    trains = base.exercises[exercise].trains
    needed = tuple(quality for quality in trains if quality in now.resolved.needs)
    given = (pick.exercise for pick in now.decision.picks)
    instead = tuple(name for name in given if not base.exercises[name].trains.keys().isdisjoint(needed))
    barriers.sort(key=lambda barrier: _place(base, barrier))
    found = Missing(
        exercise, now.findings, now.gives(exercise), tuple(barriers), None, needed, instead, (), None, enters=False
    )
    if found.given:
        return found
    if barriers:
        after = _lifted(base, now, exercise, forbidding, fixed)
        return found if after is None else found._replace(change=after[0], enters=after[1])
    minutes = _too_long(base, now.resolved, exercise)
    if minutes is not None:
        change = Change((("minutes", minutes),), ())
        enters = _advice(base, changed(base, now.findings, change)).gives(exercise)
        return found._replace(minutes=minutes, change=change if enters else None, enters=enters)
    return found._replace(near=tuple(_near(base, now, exercise, fixed)))


def fixed_in(base: Base, findings: Any) -> frozenset[str]:
    """Return the attributes of which nothing else is supposed than what was said."""
    free = CIRCUMSTANCES | {name for name in UNLESS_SAID if name not in findings.said}
    return frozenset(name for name in base.attributes if name not in free)


def _advice(base: Base, findings: Any) -> _Advice:
    resolved = resolve_for(base, findings, WANT, ())
    return _Advice(findings, resolved, decide(base, findings, resolved, WANT))


def _place(base: Base, barrier: Barrier) -> tuple[bool, int, int, str]:
    size = barrier.change.size if barrier.change is not None else 0
    return barrier.change is None, size, ROOMS.index(base.rules[barrier.rule].room), barrier.rule


def _forbidding(base: Base, exercise: str) -> frozenset[str]:
    """All rules that can keep an exercise out."""
    return frozenset(
        rule
        for rule, info in base.rules.items()
        if any(effect[0] == "forbid" and exercise in effect[1] for effect in info.effects)
    )


def _without(base: Base, findings: Any, rule: str, forbidding: frozenset[str], fixed: frozenset[str]) -> Change | None:
    """What would keep a rule from firing, and no other that forbids the same would fire for it."""
    allowed = forbidding.intersection(findings.fired) - {rule}
    options = Options(base, findings, fixed).against(rule)
    return tried(base, findings, options, lambda after: forbidding.intersection(after.fired) <= allowed)


def _lifted(
    base: Base, now: _Advice, exercise: str, forbidding: frozenset[str], fixed: frozenset[str]
) -> tuple[Change, bool] | None:
    """What would lift all that keeps an exercise out, and whether it is then given; None where something stays."""
    say: dict[Any, None] = {}
    take_back: dict[Any, None] = {}
    found, forbidden = now.findings, now.resolved.forbidden.get(exercise, ())
    for _ in range(ROUNDS):
        if not forbidden:
            change = Change(tuple(say), tuple(take_back))
            after = _advice(base, changed(base, now.findings, change))
            return (change, after.gives(exercise)) if exercise not in after.resolved.forbidden else None
        step = _without(base, found, forbidden[0], forbidding, fixed)
        if step is None:
            return None
        for atom in step.take_back:
            if say.pop(atom, atom) is not None:
                take_back[atom] = None
        say.update(dict.fromkeys(step.say))
        found = changed(base, found, step)
        forbidden = resolve_for(base, found, WANT, ()).forbidden.get(exercise, ())
    return None


def _too_long(base: Base, resolved: Resolved, exercise: str) -> int | None:
    most, dose = limits(resolved).minutes, fix_dose(base.exercises[exercise], resolved)
    return dose.minutes if most is not None and dose is not None and dose.minutes > most else None


def _near(base: Base, now: _Advice, exercise: str, fixed: frozenset[str]) -> Iterator[Near]:
    """The rules that would speak for an exercise, of those that bring it in if they fire."""
    wanted = [rule for rule in _speaking_for(base, exercise) if rule not in now.findings.fired]
    told = 0
    answer = why_none(base, now.findings, wanted, fixed, MOST_SAID) if wanted else None
    for near in answer.near if answer is not None else ():
        if near.change is None or near.change.take_back or told == MOST_NEAR:
            continue  # what was said is not talked away for one exercise
        if _advice(base, changed(base, now.findings, near.change)).gives(exercise):
            told += 1
            yield near


def _speaking_for(base: Base, exercise: str) -> Iterable[str]:
    """The rules that need what an exercise trains, or favour it by itself."""
    trains = {quality for quality, points in base.exercises[exercise].trains.items() if points >= TRAINED}
    for rule, info in base.rules.items():
        for effect in info.effects:
            kind = kind_of(effect)
            if (kind == "favour" and exercise in effect[1]) or (kind == "need" and effect[1] in trains):
                yield rule
                break
