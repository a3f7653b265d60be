"""The chat: reads lines from keys, a simple terminal or a pipe, and prints what the talk says to them."""

from __future__ import annotations

import os
import sys

from backstay.assistant import Assistant
from backstay.faces import output
from backstay.faces.ask import day
from backstay.faces.options import Call, CallError, Option
from backstay.faces.talk import Talk

OPTIONS = (
    Option("plain"),
    Option("today", "YYYY-MM-DD"),
    Option("knowledge", "FOLDER"),
    Option("help"),
)


def run(call: Call) -> int:
    """Talk until the other side leaves."""
    if call.words:
        raise CallError("call-unknown-command", command=call.words[0], near="")
    talk = Talk(Assistant(call.all("knowledge")), day(call.value("today")))
    if sys.stdin is None or not sys.stdin.isatty():
        return from_pipe(talk)
    if call.on("plain") or not sys.stdout.isatty() or os.environ.get("TERM", "dumb") in ("dumb", ""):
        return line_by_line(talk)
    from backstay.faces.keys import with_keys

    return with_keys(talk)


def from_pipe(talk: Talk) -> int:
    """Take a line for a message, say what there is to say to it, and end with the input."""
    for raw in sys.stdin.buffer:
        said = talk.turn(raw.decode("utf-8", "replace"), output.width())
        if said:
            output.write(said + "\n")
        if talk.over:
            break
    return 0


def line_by_line(talk: Talk) -> int:
    """Talk without keys and colour: for screen readers and terminals that only print."""
    words = talk.words
    output.write(talk.greeting(output.width()) + "\n")
    idle = False
    while not talk.over:
        try:
            sys.stdout.write(prompt(talk))
            sys.stdout.flush()
            line = sys.stdin.readline()
            if not line:
                output.write("\n" + words.say("chat-bye"))
                break
            said = talk.turn(line, output.width())
            idle = False
        except KeyboardInterrupt:
            output.write("")
            if idle:
                output.write(words.say("chat-leave"))
            idle = True
            continue
        if said:
            output.write("\n" + said + "\n")
    return 0


def prompt(talk: Talk) -> str:
    """What stands before what the asker types."""
    return talk.words.say("chat-prompt").rstrip() + " "
