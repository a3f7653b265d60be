"""Slots: kinds of what forms and phrases name that compiling and reading treat in a way of their own."""

from __future__ import annotations

FIGURES = frozenset(
    {
        "number", "number 2", "score", "duration", "time", "weight", "kilos", "length", "date", "day", "weekday",
        "weekdays",
        "times", "sets", "percent", "ordinal", "year", "unknown-word",
    }
)  # fmt: skip
"""Slots that language fills by computing, not by matching words."""

MARKS = frozenset({"equipment", "side", "frame", "person", "state", "weekday", "sexes", "movement", "load"})
"""Attributes of phrases that say nothing by themselves: what stands round them decides."""

TOOLS = frozenset({"exercise", "lift", "equipment", "variation"})
"""Names that no other phrase may cut into."""

SAFETY = frozenset({"sign", "doubt", "hurting"})
"""What togethers may say that no idiom talks away: phrases that say nothing do not silence the ideas of these."""

COMPOSED = frozenset(
    {"avoids", "best", "day-load", "done", "eased-by", "has", "kit", "lacks", "limit", "provoked-by", "test"}
)
"""Attributes whose facts language puts together itself, from names, movements, days and figures."""

GUEST, VITAL = "guest", "vital"
"""How phrases stand: those of a folder laid over silence none that screening looks at."""

SOUNDS = frozenset({("sign", "sounds-urgent"), ("sign", "sounds-emergency")})
"""Facts that no phrase says: what a message as a whole sounds like."""
