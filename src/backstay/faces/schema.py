"""Schema: the format of knowledge files for editors and other programs."""

from __future__ import annotations

import os

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option, nearest
from backstay.knowledge.loading import load
from backstay.knowledge.schemas import kinds, modeline, put_schemas, schema, written
from backstay.reply.words import Words

OPTIONS = (Option("into", "FOLDER"), Option("help"))
WORDS = "KIND"
CHOICES = kinds()


def run(call: Call) -> int:
    """Print a schema, or write all."""
    every = kinds()
    if len(call.words) > 1:
        raise CallError("call-schema-words", word=call.words[1])
    into = call.value("into")
    if call.words and into is not None:
        raise CallError("call-schema-both", word=call.words[0])
    base = load()
    words = Words(base)
    if into is not None:
        if not os.path.isdir(into):
            raise CallError("call-no-folder", folder=into)
        try:
            folder = put_schemas(into, base)
        except OSError as error:
            reason = os.strerror(error.errno or 0)
            output.complain("backstay: " + words.say("schema-unwritable", place=into, reason=reason))
            return 1
        output.write(words.say("schema-done", folder=folder, line=modeline("rules")))
        return 0
    if not call.words:
        output.write(words.say("schema-kinds", kinds=", ".join(every)))
        return 0
    kind = call.words[0]
    if kind not in every:
        raise CallError("call-schema-kind", kind=kind, near=nearest(kind, every), kinds=", ".join(every))
    output.write(written(schema(kind, base)).rstrip("\n"))
    return 0
