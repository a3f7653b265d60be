"""Answers that are no list of exercises: what was noted or done, cards, today's lifting, help, small talk."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from backstay.reply import advice, back
from backstay.reply.grounds import reasons
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.words import Words, capital

CARD = "soreness-or-pain"
# What a report says of how it felt; the score says that there was pain.
FELT = ("pain-score", "pain-next-day", "sensation", "area")


def state(page: Page, material: Material) -> None:
    """Say what was noted; with exercises if the talk was about them."""
    _noted(page, material)
    if material.picks:
        page.gap()
        advice.picks(page, material)
    else:
        advice.told(page, material)
        if material.reading.facts:
            page.gap()
            page.line(material.words.say("noted-what-now"))


def log(page: Page, material: Material) -> None:
    """Say back what was read as done and how it felt, what the morning and the score mean, and that nothing is kept."""
    words = material.words
    done = [record.value for record in material.reading.records if record.attribute == "done"]
    with_figures = {record.get("exercise") for record in done}
    bare = [name for name in material.named if name not in with_figures]
    if done:
        page.line(words.say("log-read", done="; ".join(_done(words, record) for record in done)))
    back.done(page, material)
    if bare:
        page.line(words.say("log-skipped", exercises=words.join(words.exercise(name) for name in bare)))
    if not done and not bare:
        page.line(words.say("log-nothing-read"))
    felt = [words.fact(fact.attribute, fact.value) for fact in material.reading.facts if fact.attribute in FELT]
    if felt:
        page.line(words.say("log-felt", facts=", ".join(felt)))
    for step in material.plan.steps:
        text = words.say("step-line", exercise=words.exercise(step.exercise), step=words.say(f"step-{step.next}"))
        kept = step.because if step.next in ("out", "less") else ()
        reason = next((one.text for one in reasons(material.base, material.findings, kept)), "")
        page.line(f"{text} {reason}")
    advice.told(page, material)
    page.gap()
    page.line(words.say("log-not-kept"))


def help_page(page: Page, material: Material) -> None:
    """Teach by examples."""
    words = material.words
    page.line(words.say("help"))
    page.gap()
    page.line(words.say("help-say"))
    for line in words.say("help-examples").splitlines():
        page.line(line, "  ", "  ")
    page.gap()
    page.line(words.say("help-keeps"))


def social(page: Page, material: Material) -> None:
    """Greet back."""
    page.line(material.words.say("social-hello"))


def first_aid(page: Page, material: Material) -> None:
    """What to do in the next minutes."""
    page.line(material.words.say("head-first-aid"))
    advice.told(page, material)
    page.gap()
    for line in material.words.say("first-aid-steps").splitlines():
        page.line(line, "- ", "  ")


def tell_apart(page: Page, material: Material) -> None:
    """The card that tells soreness from pain, then what it means for this asker."""
    words = material.words
    page.line(words.say(CARD))
    page.gap()
    if material.findings.has("pain", "present"):
        page.line(words.say("tell-apart-pain"))
    elif material.reading.facts:
        page.line(words.say("tell-apart-no-pain"))
    advice.told(page, material.but(told=tuple(one for one in material.told if one != words.say(CARD))))


def lift_today(page: Page, material: Material) -> None:
    """Whether today's lifting bears it, by the ladder; what may go with it."""
    page.line(material.words.say("head-lift-today"))
    advice.told(page, material)
    if not material.told:
        page.line(material.words.say("lift-today-go"))
    if material.picks:
        page.gap()
        advice.picks(page, material.but(told=()))


def hand_over(page: Page, material: Material) -> None:
    """A page for somebody who was not there: what was told, what is done, what it is not."""
    words = material.words
    page.line(words.say("head-hand-over"))
    page.gap()
    facts = [words.fact(fact.attribute, fact.value) for fact in material.case.facts if fact.attribute != "exercise"]
    if facts:
        page.line(words.say("hand-over-told", facts="; ".join(facts)))
        page.gap()
    if material.picks:
        advice.picks(page, material)
    else:
        advice.told(page, material)
    page.gap()
    if material.findings.has("pain", "present"):
        page.line(words.say("hand-over-ask"))
    page.line(words.say("hand-over-limits"))


def _noted(page: Page, material: Material) -> None:
    words = material.words
    kinds = material.base.attributes
    told = [fact for fact in material.reading.facts if kinds[fact.attribute].shown != "own"]
    facts = dict.fromkeys(words.fact(fact.attribute, fact.value) for fact in told)
    page.line(words.say("noted", facts=", ".join(facts)) if facts else words.say("noted-nothing"))


def _done(words: Words, record: Mapping[str, Any]) -> str:
    """One exercise as it was done."""
    inner = ""
    for name, message in (("reps", "dose-reps"), ("seconds", "dose-seconds"), ("metres", "dose-metres")):
        if record.get(name):
            inner = words.say(message, count=words.span(record[name]))
            break
    if record.get("sets"):
        inner = (
            words.say("log-sets", sets=words.span(record["sets"]), amount=inner)
            if inner
            else words.span(record["sets"])
        )
    if record.get("load"):
        inner = words.say("log-load", dose=inner, load=words.span(record["load"]))
    if record.get("side"):
        inner = words.say("log-side", dose=inner, side=words.value("side", record["side"]))
    name = words.value("lift", str(record.get("exercise", "")))
    return words.say("log-done", exercise=capital(name), dose=inner) if inner else capital(name)


WRITERS = MappingProxyType(
    {
        "log": log,
        "state": state,
        "help": help_page,
        "social": social,
        "first-aid": first_aid,
        "tell-apart": tell_apart,
        "lift-today": lift_today,
        "hand-over": hand_over,
    }
)
