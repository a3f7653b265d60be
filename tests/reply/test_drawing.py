"""The figure says what the posture says: every limb has its length and its direction, and nothing leaves the frame."""

import math
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.reply.drawing import BEFORE, BEHIND, SCALE, drawing
from backstay.reply.skeleton import LENGTHS

SVG = "{http://www.w3.org/2000/svg}"
LIMBS = ("trunk", "arm", "forearm", "thigh", "shank")
angles = st.integers(-180, 360)
poses = st.fixed_dictionaries(
    {"trunk": angles, "arm": angles, "thigh": angles},
    optional={
        **dict.fromkeys(("head", "forearm", "shank"), angles),
        **{f"far-{name}": angles for name in ("arm", "forearm", "thigh", "shank")},
    },
)
postures = st.fixed_dictionaries(
    {
        "view": st.sampled_from(["side", "front"]),
        "poses": st.lists(poses, min_size=1, max_size=2),
        "still": st.sampled_from(["ankle", "knee", "hip", "shoulder", "elbow", "hand"]),
        "props": st.lists(st.sampled_from(["floor", *BEHIND, *BEFORE]), unique=True, max_size=4),
    }
)


def groups(svg: str) -> list[ET.Element]:
    """The drawn bodies, start first."""
    return list(ET.fromstring(svg).iter(f"{SVG}g"))


def limb(group: ET.Element, name: str, side: str) -> tuple[float, float]:
    """Length (in body heights) and direction (degrees, 0 up, 90 to the right) of a drawn limb."""
    line = next(one for one in group.iter(f"{SVG}line") if one.get("class") == f"{name} {side}")
    x1, y1, x2, y2 = (float(line.get(key, "nan")) for key in ("x1", "y1", "x2", "y2"))
    return math.hypot(x2 - x1, y2 - y1) / SCALE, math.degrees(math.atan2(x2 - x1, y1 - y2)) % 360


def meant(pose: dict[str, Any], name: str, side: str) -> float:
    """The direction that the posture states, written out once more by its own rules."""
    before = {"forearm": "arm", "shank": "thigh"}
    far = [f"far-{name}", f"far-{before[name]}"] if name in before else [f"far-{name}"]
    near = [name, before[name]] if name in before else [name]
    order = (far if side == "far" else []) + near
    return float(next(pose[one] for one in order if one in pose)) % 360


def apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)


@settings(max_examples=150, deadline=None)
@given(postures)
def test_every_limb_has_its_length_and_direction(posture: dict[str, Any]) -> None:
    for group, pose in zip(groups(drawing(posture, "x")), posture["poses"], strict=True):
        for name in LIMBS:
            for side in ("near", "far") if name != "trunk" else ("near",):
                length, direction = limb(group, name, side)
                assert length == pytest.approx(LENGTHS[name], abs=0.001)
                assert apart(direction, meant(pose, name, side)) < 0.5


def inside(element: ET.Element, shift: float, frame: tuple[float, float, float, float]) -> bool:
    """Whether a shape lies in the frame with its whole width."""
    left, top, right, bottom = frame
    if element.tag == f"{SVG}circle":
        x, y, around = (float(element.get(key, "nan")) for key in ("cx", "cy", "r"))
        points = [(x, y)]
    else:
        points = [(float(element.get(f"x{n}", "nan")), float(element.get(f"y{n}", "nan"))) for n in (1, 2)]
        around = float(element.get("stroke-width", "nan")) / 2
    return all(
        left <= x + shift - around and x + shift + around <= right and top <= y - around and y + around <= bottom
        for x, y in points
    )


@settings(max_examples=150, deadline=None)
@given(postures)
def test_nothing_leaves_the_frame(posture: dict[str, Any]) -> None:
    root = ET.fromstring(drawing(posture, "x", ("start", "end")))
    x, y, wide, high = map(float, root.get("viewBox", "").split())
    frame = (x, y, x + wide, y + high)
    for child in root:
        shift = 0.0
        if child.tag == f"{SVG}g":
            found = re.search(r"translate\(([-\d.]+)", child.get("transform", ""))
            assert found is not None
            shift = float(found.group(1))
        for shape in child.iter():
            if shape.tag in (f"{SVG}line", f"{SVG}circle"):
                assert inside(shape, shift, frame), ET.tostring(shape)


def test_two_poses_do_not_lie_on_each_other() -> None:
    pose = {"trunk": 90, "arm": 90, "thigh": 270, "shank": 270}
    first, second = groups(drawing({"poses": [pose, pose]}, "x"))
    ends = [
        [
            float(line.get(key, "nan")) + float(re.findall(r"[-\d.]+", group.get("transform", ""))[0])
            for key in ("x1", "x2")
        ]
        for group in (first, second)
        for line in group.iter(f"{SVG}line")
    ]
    half = len(ends) // 2
    assert max(max(end) for end in ends[:half]) < min(min(end) for end in ends[half:])


def test_what_is_written_is_escaped() -> None:
    svg = drawing({"poses": [{"trunk": 0, "arm": 180, "thigh": 180}]}, "<b>&", ("a<b",))
    assert ET.fromstring(svg).findtext(f"{SVG}title") == "<b>&"
    assert "<b>" not in svg


@pytest.mark.parametrize("prop", sorted({*BEHIND, *BEFORE}))
def test_each_thing_is_drawn(prop: str) -> None:
    posture = {"poses": [{"trunk": 20, "arm": 180, "thigh": 180}]}
    assert len(drawing({**posture, "props": [prop]}, "x")) > len(drawing(posture, "x"))
