"""Review: what the knowledge does over the whole space of situations, and what a change of it changes."""

from __future__ import annotations

import sys
from collections.abc import Callable
from os.path import isdir
from time import monotonic
from typing import Any

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option

OPTIONS = (
    Option("against", "FOLDER"),
    Option("html", "FILE"),
    Option("quick"),
    Option("processes", "NUMBER"),
    Option("json"),
    Option("help"),
)
BUILT_IN = "built-in"  # the word for no folder at all
STEP = 0.5  # seconds between two lines of progress
FAILED = 1


def run(call: Call) -> int:
    """Walk, and print what was found; 1 if a stop or a notice has disappeared, else 0."""
    from backstay.knowledge.loading import load
    from backstay.reply.words import Words
    from backstay.review.page import page, write
    from backstay.review.report import report
    from backstay.review.text import text
    from backstay.review.walking import walk

    folders = _folders(call.words)
    against = _folders(call.all("against")) if call.on("against") else None
    processes = _number(call.value("processes"))
    words = Words(load(folders))
    begun = monotonic()
    progress = _progress(words, begun) if sys.stderr.isatty() else None
    review = walk(folders, against, call.on("quick"), processes, progress)
    if progress is not None:
        sys.stderr.write("\r\x1b[K")
    found = report(review)
    seconds = monotonic() - begun
    if call.on("json"):
        import json

        output.write(json.dumps({**found, "seconds": round(seconds, 1)}, ensure_ascii=False))
    else:
        output.write(text(review.bases[0], found, seconds, output.width()))
    file = call.value("html")
    if file is not None:
        try:
            write(file, page(review.bases[0], found, seconds))
        except OSError as error:
            output.complain(words.say("review-no-page", file=file, what=error.strerror))
            return FAILED
        output.complain(words.say("review-page-written", file=file))
    return FAILED if found.get("against", {}).get("errors") else 0


def _folders(words: tuple[str, ...] | list[str]) -> tuple[str, ...]:
    """The folders of a call; the word for the built-in knowledge is none."""
    for word in words:
        if word != BUILT_IN and not isdir(word):
            raise CallError("call-no-review-folder", folder=word)
    return tuple(word for word in words if word != BUILT_IN)


def _number(value: str | None) -> int | None:
    if value is None:
        return None
    if not value.isdecimal() or not 1 <= int(value) <= 64:
        raise CallError("call-no-processes", value=value)
    return int(value)


def _progress(words: Any, begun: float) -> Callable[[int, int], None]:
    """Show how far the walk is, in place; only where somebody looks on."""
    shown = begun

    def show(done: int, of: int) -> None:
        nonlocal shown
        now = monotonic()
        if now - shown >= STEP:
            shown = now
            line = words.say("review-progress", done=f"{done:,}", all=f"{of:,}", seconds=round(now - begun))
            sys.stderr.write(f"\r\x1b[K{line}")
            sys.stderr.flush()

    return show
