"""New: a commented file for a coach to fill in, in a folder of the club's."""

from __future__ import annotations

import os

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option, nearest
from backstay.knowledge.starting import STARTERS, StartError, identifier, start

OPTIONS = (Option("help"),)
WORDS = "KIND"
CHOICES = tuple(STARTERS)
USUAL = "club"


def run(call: Call) -> int:
    """Write the file, and say what is to be filled in."""
    from backstay.knowledge.loading import load
    from backstay.reply.words import Words

    kinds = ", ".join(STARTERS)
    if len(call.words) < 2:
        raise CallError("call-new-what", kinds="|".join(STARTERS))
    if len(call.words) > 3:
        raise CallError("call-new-words", word=call.words[3])
    kind, name, *rest = call.words
    if kind not in STARTERS:
        raise CallError("call-new-kind", kind=kind, near=nearest(kind, list(STARTERS)), kinds=kinds)
    here = os.path.isfile("base.yaml")
    folder = os.path.normpath(rest[0]) if rest and rest[0] else "." if here else USUAL
    words = Words(load())
    try:
        identifier(name)
    except StartError:
        raise CallError("call-new-name", name=name) from None
    try:
        made = start(kind, name, folder)
    except StartError as error:
        output.complain("backstay: " + words.say(f"new-{error.why}", **error.values))
        return 1
    output.write(words.say("new-done", path=made.path, marks=made.marks, folder=folder))
    return 0
