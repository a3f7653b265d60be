"""The same exercises laid out: over the days of a week, or over the weeks up to the meet."""

from __future__ import annotations

from types import MappingProxyType

from backstay.reply import advice, back, dosage
from backstay.reply.layout import Page
from backstay.reply.material import Material

BAR, LONGEST_BAR = "#", 12


def week(page: Page, material: Material) -> None:
    """Write the exercises of each training day, then each exercise once in full."""
    words = material.words
    if not material.plan.week:
        advice.picks(page, material)
        return
    by_name = {pick.exercise: pick for pick in material.picks}
    page.line(advice.head(material, "head-week"))
    page.gap()
    for day in material.plan.week:
        items = [by_name[name] for name in day.exercises if name in by_name]
        if not items:
            page.line(words.say("week-rest", day=day.day))
            continue
        page.line(words.say("week-day", day=day.day))
        for pick in items:
            known = material.base.exercises.get(pick.exercise)
            page.line(words.say("dose-of", name=pick.name, dose=dosage.line(words, pick, known)), "  - ", "    ")
    page.gap()
    advice.picks(page, material, "head-each")
    back.week(page, material)
    _proved(page, material)


def block(page: Page, material: Material) -> None:
    """Write each stretch of the season with its dates and exercises."""
    words = material.words
    if not material.plan.block:
        page.line(words.say("block-no-meet"))
        page.gap()
        advice.picks(page, material)
        return
    page.line(advice.head(material, "head-block"))
    page.gap()
    for stretch in material.plan.block:
        phase = words.value("phase", stretch.phase)
        first, last = stretch.first.isoformat(), stretch.last.isoformat()
        page.line(words.say("block-stretch", phase=phase, first=first, last=last))
        for pick in stretch.picks:
            exercise = material.base.exercises[pick.exercise]
            figures = pick.dose.figures()
            dose = dosage.shaped(words, figures, exercise.doses.get(pick.dose.use))
            page.line(words.say("dose-of", name=exercise.name, dose=dose), "  - ", "    ")
        if not stretch.picks:
            page.line(words.say("block-nothing"), "  - ", "    ")
    _load(page, material)
    page.gap()
    _tie(page, material)
    advice.told(page, material)


def _load(page: Page, material: Material) -> None:
    """Write what a week of each stretch loads on the low back, as bars; a screen of any width holds them."""
    from backstay.coaching.back_load import week as added

    words, stretches = material.words, material.plan.block
    loads = [added(material.base, material.findings, one.picks, one.week).seconds for one in stretches]
    most = max(loads)
    if most <= 0 or len(stretches) < 2:
        return
    page.gap()
    page.line(words.say("block-load"))
    for stretch, load in zip(stretches, loads, strict=True):
        phase = words.value("phase", stretch.phase)
        text = words.say("block-load-line", seconds=round(load), phase=phase, first=stretch.first.isoformat())
        page.line(text, f"  {BAR * round(LONGEST_BAR * load / most):<{LONGEST_BAR}} ")
    page.line(words.say("back-accessories-only"))


def _tie(page: Page, material: Material) -> None:
    """Write what it costs that a stretch keeps to those before it, and whether all was searched."""
    words, stretches = material.words, material.plan.block
    gap = sum(stretch.bound - stretch.value for stretch in stretches)
    if gap > 0:
        page.line(words.say("block-tie", gap=gap, bound=sum(stretch.bound for stretch in stretches)))
    elif len(stretches) > 1:
        page.line(words.say("block-tie-free"))
    _proved(page, material)


def _proved(page: Page, material: Material) -> None:
    if not material.plan.proved:
        page.line(material.words.say("plan-not-proved"))


WRITERS = MappingProxyType({"week": week, "block": block})
