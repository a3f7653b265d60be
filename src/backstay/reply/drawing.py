"""Drawing: the figure of an exercise as SVG, from the same posture that gives its load on the spine.

Start and end stand side by side; the near limbs are dark, the far ones light. No font, style or picture from elsewhere
is needed. Limbs are lines of their own, named by class, so that angles and lengths can be read back.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from types import MappingProxyType
from typing import Any

from backstay.reply.skeleton import FOOT_HEIGHT, HEAD_RADIUS, SIDES, Point, Skeleton, skeleton

SCALE = 220  # units a body height
MARGIN = 0.09
APART = 0.16
NEAR = "#1d3b4f"
FAR = "#9db4c0"
THING = "#b5651d"
GROUND = "#6b6b6b"
WIDTHS = MappingProxyType(
    {"trunk": 0.062, "head": 0.03, "arm": 0.030, "forearm": 0.026, "thigh": 0.046, "shank": 0.034, "foot": 0.026}
)
DISC = 0.130  # half of 450 mm at 1.72 m
SMALL_DISC = 0.075
PAD_HEIGHT = 0.05


class _Sheet:
    """Shapes in body heights, with the room they take."""

    def __init__(self) -> None:
        self.shapes: list[str] = []
        self.low = [0.0, 0.0]
        self.high = [0.0, 0.0]
        self._empty = True

    def room(self, point: Point, around: float = 0.0) -> None:
        for axis in (0, 1):
            low, high = point[axis] - around, point[axis] + around
            self.low[axis] = low if self._empty else min(self.low[axis], low)
            self.high[axis] = high if self._empty else max(self.high[axis], high)
        self._empty = False

    def line(self, name: str, start: Point, end: Point, width: float, colour: str) -> None:
        self.room(start, width / 2)
        self.room(end, width / 2)
        self.shapes.append(
            f'<line class="{name}" x1="{_x(start)}" y1="{_y(start)}" x2="{_x(end)}" y2="{_y(end)}" '
            f'stroke="{colour}" stroke-width="{_n(width)}" stroke-linecap="round"/>'
        )

    def circle(self, name: str, at: Point, radius: float, colour: str, hollow: bool = False) -> None:
        self.room(at, radius + 0.01)
        fill = f'fill="none" stroke="{colour}" stroke-width="{_n(0.02)}"' if hollow else f'fill="{colour}"'
        self.shapes.append(f'<circle class="{name}" cx="{_x(at)}" cy="{_y(at)}" r="{_n(radius)}" {fill}/>')


def drawing(posture: Mapping[str, Any], title: str, captions: Sequence[str] = ()) -> str:
    """Return the SVG of a posture; `title` is what a screen reader says, `captions` stand under the poses."""
    view = posture.get("view", "side")
    bodies = [skeleton(pose, view) for pose in posture["poses"]]
    still = posture.get("still", "ankle")
    props = posture.get("props", ())
    # Both poses are put on one height by the joint that stays where it is.
    bodies = [body.moved(0, -body.joint(still)[1]) for body in bodies]
    floor = min(_lowest(body) for body in bodies)
    sheet = _Sheet()
    offset = 0.0
    middles = []
    for body in bodies:
        pose = _Sheet()
        _pose(pose, body.moved(-_leftmost(body), 0), props, floor)
        shift = offset - pose.low[0]
        middles.append(shift + (pose.low[0] + pose.high[0]) / 2)
        sheet.shapes.append(f'<g transform="translate({_n(shift)} 0)">{"".join(pose.shapes)}</g>')
        sheet.room((pose.low[0] + shift, pose.low[1]))
        sheet.room((pose.high[0] + shift, pose.high[1]))
        offset = pose.high[0] + shift + APART
    if "floor" in props:
        ends = (sheet.low[0] - MARGIN / 2, floor), (sheet.high[0] + MARGIN / 2, floor)
        sheet.line("floor", *ends, 0.008, GROUND)
    return _document(sheet, title, list(zip(middles, captions, strict=False)))


def _pose(sheet: _Sheet, body: Skeleton, props: Sequence[str], floor: float) -> None:
    for prop in props:
        draw = BEHIND.get(prop)
        if draw is not None:
            draw(sheet, body, floor)
    for side in reversed(SIDES):
        for bone in body.bones:
            if bone.side == side and bone.name != "head":
                colour = NEAR if side == "near" else FAR
                sheet.line(f"{bone.name} {side}", bone.start, bone.end, WIDTHS[bone.name], colour)
    sheet.line("neck near", body.joint("shoulder"), body.joint("head"), WIDTHS["head"], NEAR)
    sheet.circle("head", body.joint("head"), HEAD_RADIUS, NEAR)
    for prop in props:
        draw = BEFORE.get(prop)
        if draw is not None:
            draw(sheet, body, floor)


def _lowest(body: Skeleton) -> float:
    lowest = min(min(bone.start[1], bone.end[1]) for bone in body.bones)
    ankles = min(body.joint("ankle", side)[1] for side in SIDES)
    return min(lowest - 0.02, ankles - FOOT_HEIGHT)


def _leftmost(body: Skeleton) -> float:
    return min(min(bone.start[0], bone.end[0]) for bone in body.bones)


def _between(body: Skeleton, share: float, off: float = 0.0) -> Point:
    """A point along the trunk from the hip (0) to the shoulder (1), `off` it towards the belly."""
    hip, shoulder = body.joint("hip"), body.joint("shoulder")
    along = shoulder[0] - hip[0], shoulder[1] - hip[1]
    length = (along[0] ** 2 + along[1] ** 2) ** 0.5
    belly = along[1] / length, -along[0] / length
    return hip[0] + along[0] * share + belly[0] * off, hip[1] + along[1] * share + belly[1] * off


def _bench(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    """A bench under what lies on it: trunk, or the seat."""
    hip, shoulder = body.joint("hip"), body.joint("shoulder")
    lying = abs(shoulder[1] - hip[1]) < 0.15
    left = min(hip[0], shoulder[0] if lying else hip[0] - 0.12) - 0.06
    right = max(hip[0], shoulder[0] if lying else hip[0] + 0.12) + 0.06
    top = (min(hip[1], shoulder[1]) if lying else hip[1]) - 0.055
    _board(sheet, left, right, top, floor)


def _box(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    """A box under the higher of the two feet."""
    foot = max((body.joint("ankle", side) for side in SIDES), key=lambda point: point[1])
    _board(sheet, foot[0] - 0.08, foot[0] + 0.16, foot[1] - FOOT_HEIGHT - 0.012, floor)


def _support(at: Any) -> Any:
    """A bench under one part of the body."""

    def draw(sheet: _Sheet, body: Skeleton, floor: float) -> None:
        point = at(body)
        _board(sheet, point[0] - 0.09, point[0] + 0.09, point[1] - 0.055, floor)

    return draw


def _board(sheet: _Sheet, left: float, right: float, top: float, floor: float) -> None:
    sheet.line("thing", (left, top), (right, top), 0.03, GROUND)
    if top - floor > 0.06:
        for x in (left + 0.03, right - 0.03):
            sheet.line("thing", (x, top - 0.02), (x, floor), 0.012, GROUND)


def _pad(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    """The pad that the front of the hips lies on, on its post."""
    hip, knee = body.joint("hip"), body.joint("knee")
    below = hip[1] - 0.07
    sheet.line("thing", (hip[0], below), (hip[0], min(floor, below) - 0.1), 0.014, GROUND)
    sheet.line("thing", (hip[0] + (knee[0] - hip[0]) * 0.4, below), (hip[0], below), PAD_HEIGHT, GROUND)


def _ball(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    """A big ball under the feet."""
    ankle = body.joint("ankle")
    radius = max((ankle[1] - 0.03 - floor) / 2, 0.05)
    sheet.circle("thing", (ankle[0], floor + radius), radius, THING, hollow=True)


def _wall(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    x = min(min(bone.start[0], bone.end[0]) for bone in body.bones) - 0.06
    sheet.line("thing", (x, floor), (x, floor + 0.9), 0.02, GROUND)


def _overhead_bar(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    hand = body.joint("hand")
    sheet.circle("thing", hand, 0.022, GROUND)
    sheet.line("thing", (hand[0] - 0.2, hand[1] + 0.005), (hand[0] + 0.2, hand[1] + 0.005), 0.016, GROUND)


def _rack(sheet: _Sheet, body: Skeleton, floor: float) -> None:
    hand = body.joint("hand")
    sheet.line("thing", (hand[0] + 0.05, floor), (hand[0] + 0.05, hand[1] + 0.25), 0.02, GROUND)


def _bar(at: Any) -> Any:
    def draw(sheet: _Sheet, body: Skeleton, floor: float) -> None:
        point = at(body)
        sheet.circle("disc", point, DISC, THING, hollow=True)
        sheet.circle("bar", point, 0.018, THING)

    return draw


def _weight(at: Any, radius: float = 0.045) -> Any:
    def draw(sheet: _Sheet, body: Skeleton, floor: float) -> None:
        for point in at(body):
            sheet.circle("weight", point, radius, THING)

    return draw


def _cable(height: float, behind: bool = False) -> Any:
    """A cable or band from the hand to where it is fixed: so high above the floor, in front or behind."""

    def draw(sheet: _Sheet, body: Skeleton, floor: float) -> None:
        hand = body.joint("hand")
        ankle = body.joint("ankle")
        fixed = (ankle[0] + (-0.45 if behind else 0.75), floor + height)
        sheet.line("thing", hand, fixed, 0.010, THING)
        sheet.line("thing", (fixed[0], floor), (fixed[0], fixed[1] + 0.05), 0.018, GROUND)

    return draw


# What stands behind the body, and what stands before it.
BEHIND = MappingProxyType(
    {
        "bench": _bench,
        "bench-under-shoulders": _support(lambda body: body.joint("shoulder")),
        "bench-under-elbows": _support(lambda body: body.joint("elbow")),
        "bench-under-hand": _support(lambda body: body.joint("hand", "far")),
        "box": _box,
        "pad": _pad,
        "ball": _ball,
        "wall": _wall,
        "overhead-bar": _overhead_bar,
        "rack": _rack,
    }
)
BEFORE = MappingProxyType(
    {
        "bar-in-hands": _bar(lambda body: body.joint("hand")),
        "bar-on-back": _bar(lambda body: _between(body, 0.95, -0.055)),
        "bar-at-chest": _bar(lambda body: _between(body, 0.98, 0.055)),
        "bar-on-hips": _bar(lambda body: _between(body, -0.05, 0.075)),
        "weight-in-hand": _weight(lambda body: [body.joint("hand")]),
        "weights-in-hands": _weight(lambda body: [body.joint("hand", "far"), body.joint("hand")]),
        "weight-at-chest": _weight(lambda body: [_between(body, 0.72, 0.06)], SMALL_DISC),
        "weight-at-ankles": _weight(lambda body: [body.joint("ankle")], SMALL_DISC),
        "wheel": _weight(lambda body: [body.joint("hand")], 0.06),
        "cable-high": _cable(1.0),
        "cable-middle": _cable(0.72),
        "cable-low": _cable(0.04),
        "cable-behind": _cable(0.10, behind=True),
    }
)


def _document(sheet: _Sheet, title: str, captions: Sequence[tuple[float, str]]) -> str:
    left, right = sheet.low[0] - MARGIN, sheet.high[0] + MARGIN
    bottom = sheet.low[1] - MARGIN - (0.12 if captions else 0)
    top = sheet.high[1] + MARGIN
    texts = [
        f'<text x="{_n(middle)}" y="{_n(-bottom - 0.05)}" font-size="{_n(0.11)}" text-anchor="middle" '
        f'font-family="sans-serif" fill="{NEAR}">{escape(caption)}</text>'
        for middle, caption in captions
    ]
    box = f"{_n(left)} {_n(-top)} {_n(right - left)} {_n(top - bottom)}"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img"><title>{escape(title)}</title>'
    return "".join([head, *sheet.shapes, *texts, "</svg>"])


def _x(point: Point) -> str:
    return _n(point[0])


def _y(point: Point) -> str:
    """The picture's y grows downwards."""
    return _n(-point[1])


def _n(length: float) -> str:
    return f"{length * SCALE:.2f}".rstrip("0").rstrip(".")
