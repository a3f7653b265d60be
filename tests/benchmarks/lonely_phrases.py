"""Phrases that fire only once over all labelled messages: each may be a sentence that was learned by heart.

    python tests/benchmarks/lonely_phrases.py [KIND …]

Prints name, words and the one message of each phrase, together and trigger (or of the kinds named) that fires in one
message alone, then how many fire never, once and more often. Few are wrong: a rare value has few messages. Those that
need a whole clause of their own are what to look for.
"""

from __future__ import annotations

import collections
import datetime
import sys
from pathlib import Path

import yaml

from backstay.knowledge.loading import load
from backstay.language.matching import Automaton
from backstay.language.scene import take_apart

TODAY = datetime.date(2026, 11, 25)
FOLDER = Path(__file__).parent.parent / "language"
KINDS = ("phrase", "together", "trigger")


def texts() -> list[str]:
    """What all labelled messages say."""
    paths = [*sorted((FOLDER / "messages").glob("*.yaml")), *sorted((FOLDER / "first-contact").glob("*.yaml"))]
    every = [case for path in paths for case in yaml.safe_load(path.read_text(encoding="utf-8"))]
    return [case.get("say") or case["text"] for case in every]


def main(kinds: tuple[str, ...]) -> None:
    """Print the lonely ones."""
    automaton = Automaton(load().automaton)
    fired: dict[tuple[str, str], set[int]] = collections.defaultdict(set)
    words: dict[tuple[str, str], str] = {}
    messages = texts()
    for number, message in enumerate(messages):
        scene = take_apart(automaton, message, TODAY)
        for one in [*scene.mentions, *scene.triggers]:
            if one.kind in kinds:
                fired[one.kind, one.name].add(number)
                words[one.kind, one.name] = scene.words.shown(one.start, one.end)
    lonely = sorted(key for key, places in fired.items() if len(places) == 1)
    for kind, name in lonely:
        print(f"{kind} {name}: {words[kind, name]!r}\n    {messages[next(iter(fired[kind, name]))]}")
    print(f"{len(messages)} messages: {len(lonely)} fire in one, {len(fired) - len(lonely)} in more")


if __name__ == "__main__":
    main(tuple(sys.argv[1:]) or KINDS)
