"""Why something was not given or not found: what is in the way, nearest first, and what would change it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from backstay.coaching.missing import fixed_in
from backstay.reasoning.lacking import IN_THE_WAY, OUT_OF_RANGE
from backstay.reasoning.proof import NOT_CONCLUDED, NOT_SAID, SAID_OTHERWISE
from backstay.reasoning.why_not import Near
from backstay.reasoning.why_not import why_not as why_no_fact
from backstay.reply import advice, reasons
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.words import Words, capital, plain

LACKS: Mapping[str, str] = MappingProxyType(
    {
        SAID_OTHERWISE: "lacks-said-otherwise",
        NOT_SAID: "lacks-not-said",
        NOT_CONCLUDED: "lacks-not-concluded",
        OUT_OF_RANGE: "lacks-out-of-range",
        IN_THE_WAY: "lacks-in-the-way",
    }
)


def why_not(page: Page, material: Material) -> None:
    """Each named exercise: what keeps it out, or what speaks for others; then what would bring it in."""
    words = material.words
    said = {fact.value for fact in material.reading.facts}
    named = any(one.exercise in said for one in material.plan.missing)
    if not named and material.reading.retracted:
        for fact in material.reading.retracted:
            _not_found(page, material, fact)
            page.gap()
        advice.told(page, material)
        return
    # What was only spoken of before and is in the advice is not what is missed.
    missed = [one for one in material.plan.missing if one.exercise in said or one.exercise not in material.case.picks]
    if not missed:
        page.line(words.say("nothing-named"))
    shown: set[str] = set()
    for one in missed:
        if one.exercise in material.case.picks:
            page.line(words.say("why-not-taken", exercise=capital(words.exercise(one.exercise))))
        elif one.given:
            page.line(words.say("why-not-given", exercise=words.exercise(one.exercise)))
        elif one.barriers:
            _kept_out(page, material, one, shown)
        else:
            _not_chosen(page, material, one)
        page.gap()
    advice.told(page, material)


def _kept_out(page: Page, material: Material, one: Any, shown: set[str]) -> None:
    words = material.words
    page.line(words.say("why-not-out", exercise=capital(words.exercise(one.exercise))))
    for barrier in one.barriers:
        reasons.told(page, material, one.findings, barrier.rule, shown)
    if one.change is None:
        page.line(words.say("why-not-stays"))
    else:
        message = "why-not-change" if one.enters else "why-not-allowed"
        page.line(words.say(message, changes=_changes(words, one.change)))


def _not_chosen(page: Page, material: Material, one: Any) -> None:
    words = material.words
    name, needed = words.exercise(one.exercise), words.join(_qualities(material, one.needed))
    if one.minutes is not None:
        page.line(words.say("why-not-too-long", exercise=name, minutes=one.minutes))
    elif one.needed and one.instead:
        done = words.join(words.exercise(other) for other in one.instead)
        page.line(words.say("why-not-covered", exercise=name, needed=needed, instead=done))
    elif one.needed:
        page.line(words.say("why-not-small", exercise=name, needed=needed))
    else:
        trains = material.base.exercises[one.exercise].trains
        most = [quality for quality, points in trains.items() if points == max(trains.values())]
        page.line(words.say("why-not-uncalled", exercise=name, trained=words.join(_qualities(material, most))))
    if one.change is not None:
        page.line(words.say("why-not-change", changes=_changes(words, one.change)))
    elif not one.near:
        page.line(words.say("why-not-nothing"))
    else:
        page.line(words.say("why-not-would-speak"))
    for near in one.near:
        _nearly(page, words, near, "why-not-change")


def _not_found(page: Page, material: Material, asked: Any) -> None:
    """A fact that does not hold: the rules that come nearest to it, or what holds instead."""
    words = material.words
    fact = words.fact(asked.attribute, asked.value)
    fixed = fixed_in(material.base, material.findings)
    found = why_no_fact(material.base, material.findings, asked.attribute, asked.value, fixed)
    if found is None:
        page.line(words.say("why-not-holds", fact=fact))
        return
    instead = [words.fact(asked.attribute, value) for value in material.findings.values(asked.attribute)]
    page.line(words.say("why-not-instead" if instead else "why-not-found", fact=fact, facts=words.join(instead)))
    if not found.rules and asked.attribute not in fixed:
        page.line(words.say("why-not-only-said"))
    for near in found.near:
        _nearly(page, words, near, "why-not-follows")
    if found.rules and found.change is not None:
        page.line(words.say("why-not-follows", changes=_changes(words, found.change)))


def _nearly(page: Page, words: Words, near: Near, change: str) -> None:
    """One rule that would have done it: what it says, what it lacks, and what would change that."""
    page.line(near.because, "  - ", "    ")
    for failed in near.failed:
        page.line(_lacking(words, failed), "    ", "    ")
    if near.change is not None:
        page.line(words.say(change, changes=_changes(words, near.change)), "    ", "    ")


def _lacking(words: Words, failed: Any) -> str:
    facts = words.join(words.fact(held.attribute, held.value) for held in failed.facts)
    return words.say(LACKS[failed.kind], facts=facts, wanted=_test(words, failed.test))


def _test(words: Words, test: Any) -> str:
    """A test of one attribute in words: a fact, with a bound where it has one."""
    kind, attribute = test[0], test[1]
    if kind == "is":
        return words.fact(attribute, test[2])
    if kind == "known":
        return words.say("bound-known", what=plain(attribute))
    return words.fact(attribute, words.say(f"bound-{test[2]}", figure=words.span(test[3])))


def _changes(words: Words, change: Any) -> str:
    """What to say and what to take back, as what would have to be so."""
    said = [_said(words, attribute, value) for attribute, value in change.say]
    gone = [words.say("change-without", fact=words.fact(*atom)) for atom in change.take_back]
    return words.join(said + gone)


def _said(words: Words, attribute: str, value: Any) -> str:
    message = f"change-{attribute}"
    if words.has(message):
        return words.say(message, value=words.value(attribute, value))
    return words.fact(attribute, value)


def _qualities(material: Material, names: Any) -> list[str]:
    known = {**material.base.qualities, **material.base.muscles}
    return [known[one].name if one in known else plain(one) for one in names]
