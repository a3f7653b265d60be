"""Files put in place whole or not at all, with nothing half-written left behind."""

from __future__ import annotations

import contextlib
import os


def put(path: str, text: str) -> None:
    """Write a file, in the place of the one that is there; raises OSError."""
    unfinished = _written(path, text)
    try:
        os.replace(unfinished, path)
    except OSError:
        os.unlink(unfinished)
        raise


def put_new(path: str, text: str) -> None:
    """Write a file where there is none; raises FileExistsError, whatever there is, else OSError."""
    unfinished = _written(path, text)
    try:
        # Of two who write at once one finds the other's: a link is made only where nothing is.
        os.link(unfinished, path)
    except FileExistsError:
        raise
    except OSError:  # no links on this disk: take the name first
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        os.replace(unfinished, path)
        return
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(unfinished)


def _written(path: str, text: str) -> str:
    # A hidden name beside it: no folder of knowledge is read with it, and it can be moved in one step.
    folder, name = os.path.split(os.path.abspath(path))
    unfinished = os.path.join(folder, f".{name}.{os.getpid()}.{os.urandom(4).hex()}")
    descriptor = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with open(descriptor, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
    except BaseException:
        os.unlink(unfinished)
        raise
    return unfinished
