"""The chat with keys: editing, history of this sitting, completion on Tab, what is held in a line at the bottom.

Enter sends, Alt-Enter breaks the line, a paste is one message. Ctrl-C drops the line or the answer, never the talk;
once more on an empty line it says how to leave. Ctrl-D on an empty line leaves. Nothing is written to disk.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import Any

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.styles import Style

from backstay.faces.chat import prompt
from backstay.faces.talk import Talk
from backstay.reply.layout import columns

TIPS_SHOWN = 2
LOOK = Style.from_dict({"bottom-toolbar": "noreverse fg:ansigray", "prompt": "bold"})


class Offers(Completer):
    """Completes the word at hand: answers to the question just asked, and exercises; only when Tab asks for it."""

    def __init__(self, talk: Talk) -> None:
        self._talk = talk

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        """Offer whole names for the last words of the line."""
        line = document.current_line_before_cursor.casefold()
        for start in _starts(line):
            found = [offer for offer in self._talk.completions() if offer.startswith(line[start:])]
            if found and (line[start:] or not line):
                yield from (Completion(offer, start_position=start - len(line)) for offer in found)
                return


def _starts(line: str) -> list[int]:
    """Where a name may begin in a line: at each of its last words, the longest stretch first."""
    places = [0, *(place + 1 for place, letter in enumerate(line) if letter == " ")]
    return places[-4:]


def with_keys(talk: Talk, **terminal: Any) -> int:
    """Talk until the asker leaves; `terminal` puts other input and output in the place of the real ones."""
    words = talk.words
    session = make_session(talk, **terminal)
    show = session.output
    _say(show, talk.greeting(show.get_size().columns) + "\n")
    idle = False
    while not talk.over:
        try:
            line = session.prompt(prompt(talk))
        except KeyboardInterrupt:
            if idle:
                _say(show, words.say("chat-leave"))
            idle = True
            continue
        except EOFError:
            _say(show, words.say("chat-bye"))
            break
        idle = False
        try:
            said = talk.turn(line, show.get_size().columns)
        except KeyboardInterrupt:
            said = words.say("chat-dropped")
        if said:
            _say(show, "\n" + said + "\n")
    return 0


def make_session(talk: Talk, **terminal: Any) -> PromptSession[str]:
    """Make the line editor of a talk."""
    keys = KeyBindings()

    @keys.add("enter")
    def _send(event: KeyPressEvent) -> None:
        buffer = event.current_buffer
        if buffer.complete_state is not None and buffer.complete_state.current_completion is not None:
            buffer.complete_state = None  # Enter with an open menu only takes the entry.
            return
        buffer.validate_and_handle()

    @keys.add("escape", "enter")
    def _break_line(event: KeyPressEvent) -> None:
        event.current_buffer.insert_text("\n")

    @keys.add("c-c")
    def _drop(event: KeyPressEvent) -> None:
        if event.current_buffer.text:
            event.current_buffer.reset()
        else:
            event.app.exit(exception=KeyboardInterrupt())

    def toolbar() -> StyleAndTextTuples:
        size = session.output.get_size().columns
        text = talk.held()
        if len(session.history.get_strings()) < TIPS_SHOWN:
            text = f"{text} | {talk.words.say('chat-keys')}"
        return [("class:bottom-toolbar", shortened(text, size - 1))]

    session: PromptSession[str] = PromptSession(
        completer=Offers(talk),
        complete_while_typing=False,
        history=InMemoryHistory(),
        key_bindings=keys,
        multiline=True,
        prompt_continuation=talk.words.say("chat-prompt-more"),
        bottom_toolbar=toolbar,
        color_depth=ColorDepth.DEPTH_1_BIT if os.environ.get("NO_COLOR") else None,
        style=LOOK,
        **terminal,
    )
    return session


def shortened(text: str, room: int) -> str:
    """Cut a line to the columns there are, so that a resize never repeats it."""
    if columns(text) <= room:
        return text
    cut = text[: max(room - 1, 0)]
    while columns(cut) > room - 1:
        cut = cut[:-1]
    return cut + "…"


def _say(show: Any, text: str) -> None:
    show.write(text + "\n")
    show.flush()
