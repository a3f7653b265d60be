"""Reading: the walk of a message through language, from its words to facts and a want.

understand(base, message, today) -> Understanding

python -m backstay.language.reading "message"      shows how it is read
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import NamedTuple

from backstay.knowledge.base import Base
from backstay.knowledge.facts import Fact
from backstay.language import scope
from backstay.language.composing import compose
from backstay.language.context import answer, carried, leaves_open
from backstay.language.matching import Automaton
from backstay.language.scene import Scene, take_apart
from backstay.language.wants import wanted


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


def understand(
    base: Base, message: str, today: datetime.date, asked: str | None = None, named: Sequence[str] = ()
) -> Understanding:
    """Read a message; `asked` is the attribute the last answer asked for, `named` the exercises it was about."""
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
        if answered and want in ("out-of-scope", "social"):
            want = "state"
    facts = (*facts, *carried(want, facts, named))
    words = scene.words
    unknown = tuple(dict.fromkeys(words.words[at] for at in words.unknown))
    return Understanding(
        want,
        facts,
        composed.retracted,
        composed.records,
        unknown,
        scores,
        answered,
        bool(len(words)) and len(unknown) < len(words),
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
