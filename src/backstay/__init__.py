"""Backstay: an offline mentor for the weightlifter's back.

from backstay import Assistant

reply = Assistant().answer("my back rounds when the bar leaves the floor, 6 weeks out")
print(reply.text)
"""

from __future__ import annotations

TYPE_CHECKING = False

if TYPE_CHECKING:
    from backstay.assistant import Assistant
    from backstay.case import Case
    from backstay.reply.reply import Reply

__all__ = ["Assistant", "Case", "Reply", "__version__"]
__version__ = "0.1.0"


def __getattr__(name: str) -> object:
    # Rooms are opened when they are asked for: the console script and `--version` need none of them.
    if name == "Assistant":
        from backstay.assistant import Assistant

        return Assistant
    if name == "Case":
        from backstay.case import Case

        return Case
    if name == "Reply":
        from backstay.reply.reply import Reply

        return Reply
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
