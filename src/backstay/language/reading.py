"""Reading: the walk of a message through language, from its words to facts and a want.

understand(base, message, today) -> Understanding

python -m backstay.language.reading "message"      shows how it is read
"""

import datetime
from collections.abc import Sequence
from typing import NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.language import scope
from backstay.language.alarm import heard
from backstay.language.composing import compose
from backstay.language.context import amends, answer, carried, goes_on, leaves_open, let_go, refuses_named, side_amended
from backstay.language.matching import Automaton
from backstay.language.scene import Scene, take_apart
from backstay.language.wants import ASKS, CLEAR, wanted


class Understanding(NamedTuple):
    """What one message says."""

    want: str
    facts: tuple[Fact, ...]
    retracted: tuple[Fact, ...]
    records: tuple[Fact, ...]
    unknown: tuple[str, ...]
    wants: dict[str, float]
    answered: bool
    readable: bool
    amends: bool = False  # its facts stand in the place of those said before
    goes_on: bool = False  # it only changes what the last request was about
    sounds: tuple[Fact, ...] = ()  # what holds besides, where no rule stops for the rest
    sure: bool = False  # it holds also where a rule stops for less than an emergency


def understand(
    base: Base,
    message: str,
    today: datetime.date,
    asked: str | None = None,
    named: Sequence[str] = (),
    held: Sequence[Fact] = (),
    picks: Sequence[str] = (),
) -> Understanding:
    """Read a message.

    `asked` is the attribute the last answer asked for, `named` the exercises it was about, `held` the facts held,
    `picks` the exercises last chosen.
    """
    scene = take_apart(Automaton(base.automaton), message, today)
    want, scores = wanted(scene, base.automaton["leans"], base.automaton["leaning"], base.automaton["tendencies"])
    attributes = base.attributes
    composed = compose(scene, want, attributes)
    facts = composed.facts
    answered = False
    if asked is not None:
        given = answer(scene, asked, attributes, facts)
        if given is not None:
            answered = True
            if given not in facts:
                facts = (*facts, given)
        elif leaves_open(scene, asked, attributes):
            answered = True
        if answered and scores.get(want, 0.0) < ASKS:
            want = "state"  # an answer asks for nothing, unless it says so
    retracted = composed.retracted
    amended = going = False
    if held or named:
        if refuses_named(scene, named):
            want = "swap"
        dropped = let_go(scene)
        if dropped:
            gone = {fact.attribute for fact in dropped}
            facts = tuple(fact for fact in facts if fact.attribute not in gone | {"hurting"})
            retracted = (*retracted, *dropped)
            want = want if scores.get(want, 0.0) >= ASKS else "state"
        facts = (*facts, *side_amended(scene, facts, held))
        amended = amends(scene, facts)
        going = bool(dropped) or (goes_on(scene) and scores.get(want, 0.0) < CLEAR)
    facts = (*facts, *carried(want, scene, facts, named, picks))
    words = scene.words
    sounds, sure = ((), False) if answered else heard(words, base.alarm)
    unknown = tuple(dict.fromkeys(words.words[at] for at in words.unknown))
    return Understanding(
        want,
        facts,
        retracted,
        composed.records,
        unknown,
        scores,
        answered,
        bool(len(words)) and len(unknown) < len(words),
        amended,
        going,
        sounds,
        sure,
    )


def show(scene: Scene) -> str:
    """A scene in lines, for whoever writes phrases."""
    words = scene.words
    lines = [
        " ".join(words.words) + (f"   unknown: {[words.words[at] for at in words.unknown]}" if words.unknown else "")
    ]
    for one in [*scene.mentions, *scene.triggers, *scene.wants]:
        said = " ".join(f"{name}={value}" for name, value in one.says)
        lines.append(
            f"  {one.kind:8} {one.name:28} {words.shown(one.start, one.end)!r:34} {scope.names(one.scope):9} {said}"
        )
    return "\n".join(lines)


def main(messages: Sequence[str]) -> None:
    """Show how messages are read."""
    from backstay.knowledge.loading import load

    base = load()
    today = datetime.date.today()
    for message in messages:
        print(show(take_apart(Automaton(base.automaton), message, today)))
        understood = understand(base, message, today)
        print(f"  want {understood.want}  {understood.wants}")
        for kind, facts in (("", understood.facts + understood.records), ("not ", understood.retracted)):
            for fact in facts:
                print(f"  {kind}{fact.attribute}: {fact.value}   ({fact.words})")


if __name__ == "__main__":
    import sys

    main(sys.argv[1:])
