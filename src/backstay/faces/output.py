"""What goes to the terminal or the pipe: answers on one stream, talk about the call on the other."""

from __future__ import annotations

import os
import sys
from typing import NoReturn, TextIO


def ready() -> None:
    """Make the streams take any text: what they cannot write becomes a question mark, never an error."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def write(text: str, stream: TextIO | None = None) -> None:
    """Write a line and see to it that it arrives."""
    out = sys.stdout if stream is None else stream
    out.write(text + "\n")
    out.flush()


def complain(text: str) -> None:
    """Write a line about the call, not of the answer."""
    write(text, sys.stderr)


def save(path: str, text: str) -> str:
    """Write a file whole or not at all; return why it could not be written, or nothing."""
    from backstay.knowledge.files import put

    try:
        put(path, text)
    except OSError as error:
        return os.strerror(error.errno or 0)
    return ""


def leave(status: int) -> NoReturn:
    """End the process at once; all that was written has arrived."""
    os._exit(status)


def silence() -> None:
    """Nobody reads any more: let what is left in the buffers go nowhere, quietly."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def width(stream: TextIO | None = None) -> int | None:
    """Return how wide the terminal is now, or None where there is none."""
    out = sys.stdout if stream is None else stream
    try:
        return os.get_terminal_size(out.fileno()).columns or None
    except (OSError, ValueError, AttributeError):
        return None
