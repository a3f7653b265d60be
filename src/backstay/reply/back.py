"""Back: the load on the low back in words, as an estimate with its band; in the JSON answer, only when that is made."""

from __future__ import annotations

from typing import Any

from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.words import Words

DONE = "done"


def as_json(base: Any, findings: Any, pick: Any) -> dict[str, Any]:
    """Return the load of one exercise for the JSON answer: the figure and its band, or why there is none."""
    from backstay.coaching.back_load import share

    return share(base, findings, pick).as_json()


def exercise(page: Page, material: Material, name: str, indent: str = "") -> None:
    """Write the load of one exercise of the answer, with the dose and the size of this asker."""
    from backstay.coaching.back_load import share

    words = material.words
    for pick in material.plan.picks:
        if pick.exercise == name:
            made = share(material.base, material.findings, pick)
            if made.spine is not None:
                message = "back-figure-own" if made.kg is None else "back-figure"
                text = words.say(message, figure=_times(made.spine), band=_band(words, made.spine))
                page.line(text, indent, "  ")
            elif made.why_none:
                page.line(words.say("back-none", reason=made.why_none), indent, "  ")


def week(page: Page, material: Material) -> None:
    """Write what the week adds up to, whether the lifts are in it, and what has no figure."""
    from backstay.coaching.back_load import week as added

    words = material.words
    made = added(material.base, material.findings, material.plan.picks, material.plan.week, _done(material))
    if made.seconds <= 0:
        return
    page.gap()
    low, high = made.band
    page.line(words.say("back-week", seconds=round(made.seconds), low=round(low), high=round(high)))
    if made.accessories_only:
        page.line(words.say("back-accessories-only"))
    else:
        page.line(words.say("back-lifts", lifts=_lifts(words, made.lifts)))
    unknown = [words.exercise(share.exercise) for share in made.shares if share.kg is None]
    if unknown:
        page.line(words.say("back-load-unknown", exercises=words.join(unknown)))
    without = [words.exercise(share.exercise) for share in made.shares if share.spine is None]
    without += [words.value("lift", share.exercise) for share in made.lifts if share.spine is None]
    if without:
        page.line(words.say("back-without", exercises=words.join(without)))


def done(page: Page, material: Material) -> None:
    """Write what the lifts that were reported have loaded, those that have a figure."""
    from backstay.coaching.back_load import week as added

    words = material.words
    made = added(material.base, material.findings, (), (), _done(material))
    if not made.accessories_only:
        low, high = (round(one) for one in made.band)
        lifts = _lifts(words, made.lifts)
        page.line(words.say("back-done", seconds=round(made.seconds), low=low, high=high, lifts=lifts))


def _done(material: Material) -> list[Any]:
    return [record.value for record in material.case.records if record.attribute == DONE]


def _lifts(words: Words, lifts: Any) -> str:
    counted = dict.fromkeys(
        words.say("back-lift", lift=words.value("lift", share.exercise), figure=_times(share.spine))
        for share in lifts
        if share.spine is not None
    )
    return words.join(counted)


def _times(spine: Any) -> str:
    return f"{spine.figure:.1f}"


def _band(words: Words, spine: Any) -> str:
    if spine.below == spine.above:
        return words.say("back-band", percent=spine.below)
    return words.say("back-band-uneven", below=spine.below, above=spine.above)
