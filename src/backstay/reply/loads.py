"""A load in words: "60 to 85 % of the clean; for you 66 to 93 kg on the men's bar of 20 kg, on each side …"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from backstay.reply.words import Words

POUNDS_A_KILOGRAM = 1 / 0.45359237


def told(words: Words, written: str, load: Any, pounds: bool) -> str:
    """The load as its file writes it, with the figures of this asker behind it, where they say more."""
    if load is None or load.as_written:
        return written
    text = written.rstrip(".")
    if load.kg is None:
        if load.bar:
            return words.say("load-below-bar", load=text, kg=weight(load.most))
        return words.say("load-below-lightest", load=text, iron=words.value("has", load.kit), kg=weight(load.most))
    return words.say("load-for-you", load=text, figure=_figure(words, load, pounds))


def weight(kg: float) -> str:
    """Write a weight to the hundredth, without needless decimals."""
    return f"{int(kg * 100 + 1e-6) / 100:g}"


def _figure(words: Words, load: Any, pounds: bool) -> str:
    low, high = load.kg
    text = words.say("load-kg", kg=_span(words, weight(low), weight(high)))
    if pounds:
        # Down to whole pounds, as the kilograms are rounded down.
        text = words.say("load-pounds", load=text, pounds=_span(words, *(_pounds(one) for one in load.kg)))
    if load.each_hand:
        text = words.say("load-each-hand", load=text)
    if not load.bar:
        return text
    bar = words.value("bar", load.bar)
    if high == load.bar_kg:
        return words.say("load-empty-bar", load=text, bar=bar)
    text = words.say("load-on-bar", load=text, bar=bar, kg=weight(load.bar_kg), discs=_sides(words, load.sides))
    return words.say("load-collars", load=text) if load.collar else text


def _pounds(kg: float) -> str:
    return str(int(kg * POUNDS_A_KILOGRAM + 1e-6))


def _sides(words: Words, sides: Sequence[Sequence[float]]) -> str:
    """The discs on one side, from the lower end to the upper."""
    low, high = (_discs(words, side) for side in sides)
    return low if low == high else words.say("load-discs-span", low=low, high=high)


def _discs(words: Words, side: Sequence[float]) -> str:
    text = ""
    for disc in side:
        text = words.say("load-disc-and-disc", first=text, second=weight(disc)) if text else weight(disc)
    return text or words.say("load-no-discs")


def _span(words: Words, low: str, high: str) -> str:
    return low if low == high else words.say("span", low=low, high=high)
