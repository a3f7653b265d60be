"""Chart: figures over days or weeks as bars, drawn as SVG that needs no font, style or script from elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import NamedTuple

from backstay.reply.words import figure

WIDTH, HEIGHT = 640, 170
LEFT, RIGHT, TOP, BOTTOM = 46, 60, 12, 26
FULLNESS = 0.68  # of a place, the bar
TICKS = 4
STEPS = (1, 1.5, 2, 2.5, 3, 4, 5, 7.5, 10)
INK, SOFT, LINE, BAR, PART, MARK = "#22303c", "#5b6873", "#d9d4c7", "#1f5f73", "#9db4c0", "#b5651d"


class Bar(NamedTuple):
    """One bar: what stands under it, its figure, and whether it stands for a part only."""

    label: str
    value: float
    part: bool = False


def chart(bars: Sequence[Bar], title: str, mark: str = "") -> str:
    """Return the SVG; `mark` is written at a line after the last bar, as of a meet."""
    step = tick_step(max((bar.value for bar in bars), default=0.0))
    top = step * TICKS
    place = (WIDTH - LEFT - RIGHT) / max(1, len(bars))
    room = HEIGHT - TOP - BOTTOM
    ground = HEIGHT - BOTTOM
    shapes = []
    for tick in range(TICKS + 1):
        y = ground - room * tick / TICKS
        shapes.append(
            f'<line class="tick" x1="{LEFT}" y1="{_n(y)}" x2="{WIDTH - RIGHT}" y2="{_n(y)}" stroke="{LINE}"/>'
        )
        shapes.append(_text(LEFT - 6, y + 4, figure(step * tick), "end", SOFT))
    for number, bar in enumerate(bars):
        height = room * bar.value / top
        x = LEFT + place * (number + (1 - FULLNESS) / 2)
        colour = PART if bar.part else BAR
        shapes.append(
            f'<rect class="bar" x="{_n(x)}" y="{_n(ground - height)}" width="{_n(place * FULLNESS)}" '
            f'height="{_n(height)}" fill="{colour}"/>'
        )
        middle = LEFT + place * (number + 0.5)
        if len(bars) <= 26 or number % 4 == 0:
            shapes.append(_text(middle, ground + 16, bar.label, "middle", INK))
        if len(bars) <= 16:
            shapes.append(_text(middle, ground - height - 3, f"{bar.value:.0f}", "middle", SOFT, 10))
    if mark:
        x = WIDTH - RIGHT
        shapes.append(
            f'<line class="mark" x1="{x}" y1="{TOP}" x2="{x}" y2="{ground}" stroke="{MARK}" stroke-width="3"/>'
        )
        shapes.append(_text(x + 7, TOP + 12, mark, "start", MARK, 13))
    head = f'<svg xmlns="http://www.w3.org/2000/svg" class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img">'
    return f"{head}<title>{escape(title)}</title>{''.join(shapes)}</svg>"


def tick_step(most: float) -> float:
    """Return the round step with which so many ticks hold the largest figure."""
    step = 1.0
    while True:
        for one in STEPS:
            if one * step * TICKS >= most:
                return one * step
        step *= 10


def _line(name: str, start: tuple[float, float], end: tuple[float, float], colour: str, width: int = 1) -> str:
    ends = f'x1="{_n(start[0])}" y1="{_n(start[1])}" x2="{_n(end[0])}" y2="{_n(end[1])}"'
    return f'<line class="{name}" {ends} stroke="{colour}" stroke-width="{width}"/>'


def _text(x: float, y: float, text: str, anchor: str, colour: str, size: int = 11) -> str:
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{size}" font-family="sans-serif" text-anchor="{anchor}" '
        f'fill="{colour}">{escape(text)}</text>'
    )


def _n(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".")
