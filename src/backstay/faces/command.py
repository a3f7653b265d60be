"""The command line: finds the command, runs it, turns what went wrong into an exit status.

The exit statuses stand in EXITS; the help pages say what each means.
Commands are modules of their own, imported when they are called, so that an answer pays for nothing else.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence

from backstay.faces import output
from backstay.faces.failsafe import GET_SEEN
from backstay.faces.options import CallError, nearest, read

# Command and module; the chat has no name of its own.
COMMANDS = {
    "": "chat",
    "ask": "ask",
    "week": "week",
    "block": "block",
    "card": "card",
    "check": "check",
    "understand": "understand",
    "review": "review",
    "new": "new",
    "schema": "schema",
    "explain": "explain",
    "export": "export",
    "completions": "completions",
    "help": "help",
}
DONE = 0
FAILED = 1
BAD_CALL = 2
INTERRUPTED = 130
EXITS = (DONE, FAILED, BAD_CALL, INTERRUPTED)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one call and return its exit status; a process that was started for one answer ends here."""
    if arguments is not None:
        return _status(list(arguments))
    given = sys.argv[1:]
    once = given[:1] == ["ask"] and "--batch" not in given
    if once:
        # One answer makes no rubbish worth looking for, and leaves nothing that must be taken apart piece by piece.
        gc.disable()
    status = _status(given)
    if once:
        output.leave(status)
    return status


def _status(given: list[str]) -> int:
    output.ready()
    try:
        return _run(given)
    except BrokenPipeError:
        output.silence()
        return DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    except CallError as error:
        from backstay.faces.trouble import bad_call

        bad_call(error)
        return BAD_CALL
    except Exception as error:
        from backstay.faces.trouble import bad_knowledge

        if bad_knowledge(error):
            return FAILED
        # A fault of ours: whoever asked in pain still hears where to go.
        output.complain(GET_SEEN)
        raise


def _run(given: list[str]) -> int:
    if given[:1] == ["--version"]:
        from backstay import __version__

        output.write(f"backstay {__version__}")
        return DONE
    name = given.pop(0) if given and not given[0].startswith("-") else ""
    if name not in COMMANDS:
        raise CallError("call-unknown-command", command=name, near=nearest(name, [one for one in COMMANDS if one]))
    module = module_of(name)
    if "--help" in given or "-h" in given:
        from backstay.faces.help import page

        output.write(page(name, output.width()))
        return DONE
    return int(module.run(read(given, module.OPTIONS)))


def module_of(command: str):  # type: ignore[no-untyped-def]
    """Import one command's module; by hand, since importlib is dearer than all of them."""
    whole = f"backstay.faces.{COMMANDS[command]}"
    __import__(whole)
    return sys.modules[whole]
