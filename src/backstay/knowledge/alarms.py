"""Alarms: the list of what weighs for and against a stop sign in a message, compiled.

A line of words/alarm.txt is a word, a pair of words or a piece of a word (`~hea`), and its two weights in hundredths:
towards a stop, and towards an emergency among stops. Lines that begin with `=` set a figure of the whole: where each
decision lies, and what an empty message weighs. The list is fitted to labelled messages, not written; the built-in one
stands alone.
"""

from __future__ import annotations

from typing import Any

SETTINGS = ("stop", "ask", "now", "surely", "at-stop", "at-now")


def compile_alarm(text: str) -> dict[str, Any]:
    """Return the settings by name and the weights by what they are of; raises ValueError with the line at fault."""
    settings: dict[str, int] = {}
    weights: dict[str, tuple[int, int]] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        name, *figures = line.split("\t")
        try:
            if name.startswith("= "):
                settings[name[2:]] = int(figures[0])
            else:
                weights[name] = (int(figures[0]), int(figures[1]))
        except (ValueError, IndexError):
            raise ValueError(f"line {number}: {line!r}") from None
    if text.strip() and set(settings) != set(SETTINGS):
        raise ValueError(f"settings: {sorted(set(SETTINGS) ^ set(settings))}")
    return {"settings": settings, "weights": weights}
