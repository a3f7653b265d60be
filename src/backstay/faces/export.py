"""Export: the whole knowledge as a page to read, in HTML or Markdown."""

from __future__ import annotations

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.loading import load
from backstay.reference.html import html
from backstay.reference.markdown import markdown
from backstay.reference.whole import whole
from backstay.reply.words import Words

OPTIONS = (Option("html", "FILE"), Option("markdown", "FILE"), Option("knowledge", "FOLDER"), Option("help"))
STANDARD = "-"


def run(call: Call) -> int:
    """Write the files that were asked for; without any, print Markdown."""
    if call.words:
        raise CallError("call-export-words", word=call.words[0])
    base = load(tuple(call.all("knowledge")))
    words = Words(base)
    blocks = whole(base)
    texts = {
        "html": lambda: html(words.say("export-title"), words.say("export-contents"), blocks),
        "markdown": lambda: markdown(blocks),
    }
    asked = [(form, path) for form in texts for path in call.all(form)]
    for form, path in asked or [("markdown", STANDARD)]:
        text = texts[form]()
        if path == STANDARD:
            output.write(text.rstrip("\n"))
            continue
        reason = output.save(path, text)
        if reason:
            output.complain("backstay: " + words.say("export-unwritable", place=path, reason=reason))
            return 1
        output.write(words.say("export-done", path=path, exercises=len(base.exercises)))
    return 0
