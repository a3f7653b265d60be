"""Take the pictures of real screens that the README shows: `python tests/picturing.py`.

Each is what a terminal of that size shows after these keys, drawn as SVG; nothing is retouched. Needs pyte (extra
`bench`), a terminal in memory.
"""

from __future__ import annotations

import os
import sysconfig
import tempfile
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

import pexpect
import pyte

SCRIPT = str(Path(sysconfig.get_path("scripts")) / "backstay")
PICTURES = Path(__file__).parents[1] / "transcripts_demo" / "pictures"
WIDE, HIGH = 8.4, 18.0  # units a character
EDGE = 14
INK, PAPER, FAINT = "#e8ecef", "#16222b", "#8ca0ad"


class Screen(NamedTuple):
    """One picture: its name, the call, the size of the terminal, and what is typed."""

    name: str
    call: list[str]
    columns: int
    rows: int
    typed: tuple[str, ...] = ()


SCREENS = (
    Screen(
        "talk",
        [],
        84,
        44,
        (
            "i turn to my right when i catch a heavy snatch, 8 weeks out, training 6 days\r",
            "no, 5 weeks out, and only 20 minutes\r",
        ),
    ),
    Screen("stop", ["ask", "back went on saturday's deadlifts, cant feel it when i wipe. planks ok?"], 84, 18),
    Screen("why", [], 84, 40, ("back rounds off the floor in the clean, 9 weeks out\r", "why not the good morning\r")),
    Screen(
        "understand", ["understand", "low bak hurts 3-4 out of ten in snach pulls since 2 weeks, no bench here"], 84, 14
    ),
)


def shown(screen: Screen, home: str) -> list[str]:
    """What the terminal shows at the end, line by line."""
    terminal = pyte.Screen(screen.columns, screen.rows)
    stream = pyte.Stream(terminal)
    environment = {**os.environ, "HOME": home, "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1", "PYTHONUTF8": "1"}
    child: Any = pexpect.spawn(
        SCRIPT,
        screen.call,
        env=environment,
        encoding="utf-8",
        timeout=5,
        dimensions=(screen.rows, screen.columns),
    )
    for keys in ("", *screen.typed):
        child.send(keys)
        try:
            while True:
                stream.feed(child.read_nonblocking(4096, timeout=4))
        except (pexpect.TIMEOUT, pexpect.EOF):
            pass
    child.close(force=True)
    lines = [line.rstrip() for line in terminal.display]
    while lines and not lines[-1]:
        lines.pop()
    return lines


def drawn(lines: list[str], columns: int) -> str:
    """The lines as SVG."""
    width, height = 2 * EDGE + columns * WIDE, 2 * EDGE + len(lines) * HIGH
    texts = [
        f'<text x="{EDGE}" y="{EDGE + (row + 0.75) * HIGH:.1f}" textLength="{len(line) * WIDE:.1f}" '
        f'fill="{FAINT if row == len(lines) - 1 and " · " in line else INK}" xml:space="preserve">{escape(line)}</text>'
        for row, line in enumerate(lines)
        if line
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" '
        f'font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="14">'
        f'<rect width="100%" height="100%" rx="6" fill="{PAPER}"/>{"".join(texts)}</svg>\n'
    )


def main() -> None:
    """Take all pictures."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        for screen in SCREENS:
            picture = drawn(shown(screen, home), screen.columns)
            (PICTURES / f"{screen.name}.svg").write_text(picture, encoding="utf-8")


if __name__ == "__main__":
    main()
