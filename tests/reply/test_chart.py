"""Charts: the bars say what the figures say, and nothing leaves the frame."""

from math import isclose
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as some

from backstay.reply.chart import BOTTOM, HEIGHT, STEPS, TICKS, TOP, WIDTH, Bar, chart, tick_step

SVG = "{http://www.w3.org/2000/svg}"
figures = some.floats(0, 100_000)


@given(some.lists(figures, min_size=1, max_size=60))
def test_bars_are_as_high_as_their_figures(values: list[float]) -> None:
    drawn = ElementTree.fromstring(chart([Bar("x", value) for value in values], "a & b <c>", "meet <1>"))
    bars = [one for one in drawn.iter(f"{SVG}rect") if one.get("class") == "bar"]
    assert len(bars) == len(values)
    top = tick_step(max(values)) * TICKS
    for bar, value in zip(bars, values, strict=True):
        height = float(bar.get("height") or 0)
        assert isclose(height, (HEIGHT - TOP - BOTTOM) * value / top, abs_tol=0.06)
        assert isclose(float(bar.get("y") or 0) + height, HEIGHT - BOTTOM, abs_tol=0.11)
        assert 0 <= float(bar.get("x") or 0) <= WIDTH
    (mark,) = [one for one in drawn.iter(f"{SVG}line") if one.get("class") == "mark"]
    last = bars[-1]
    assert float(mark.get("x1") or 0) >= float(last.get("x") or 0) + float(last.get("width") or 0) - 0.1
    title = drawn.find(f"{SVG}title")
    assert title is not None
    assert title.text == "a & b <c>"


@given(figures)
def test_ticks_are_round_and_hold_the_largest_figure(most: float) -> None:
    step = tick_step(most)
    assert step * TICKS >= most
    while step > max(STEPS):
        step /= 10
    assert any(isclose(step, one) for one in STEPS)
