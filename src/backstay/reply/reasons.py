"""Why something was given: rules, the facts they stand on, the words those came from."""

from __future__ import annotations

from typing import Any

from backstay.reasoning.why import Ground, Reason
from backstay.reasoning.why import why as reason_of
from backstay.reply import advice
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.topics import cite
from backstay.reply.words import capital, harmless

LAID_OUT = frozenset({"week", "block"})  # plans that limits can hold back


def why(page: Page, material: Material) -> None:
    """Every exercise in question with all its reasons; without any, what it is good for."""
    words = material.words
    if not material.picks and not material.left_out and not material.named:
        page.line(words.say("why-nothing"))
        return
    shown: set[str] = set()
    for pick in material.picks:
        page.line(pick.name)
        _general(page, material, material.base.exercises[pick.exercise])
        for reason in pick.because:
            told(page, material, material.findings, reason.rule, shown)
        page.gap()
    picked = {pick.exercise for pick in material.picks}
    for name in material.named:
        exercise = material.base.exercises.get(name)
        if exercise is not None and name not in picked:
            page.line(capital(exercise.name))
            _general(page, material, exercise)
            page.gap()
    if material.case.goal in LAID_OUT:
        from backstay.reply import binding

        binding.write(page, material)
    advice.left_out(page, material, named_only=True)
    advice.told(page, material)


def _general(page: Page, material: Material, exercise: Any) -> None:
    """What an exercise is good for, whoever asks."""
    known = {**material.base.qualities, **material.base.muscles}
    most = max(exercise.trains.values(), default=0)
    trained = [known[one].name for one, points in exercise.trains.items() if points == most and one in known]
    words = material.words
    if trained:
        page.line(words.say("why-general", what=words.join(trained)), "  ", "  ")
    page.line(exercise.carry_over, "  ", "  ")


def told(page: Page, material: Material, findings: Any, rule: str, shown: set[str]) -> None:
    """One rule: what it says, what it stood on in the asker's words, who is cited, and the reasons below it."""
    reason = reason_of(material.base, findings, rule)
    if reason is None or not reason.because:
        return
    if rule in shown:
        page.line(material.words.say("why-again", text=reason.because), "  - ", "    ")
        return
    shown.add(rule)
    _told(page, material, reason, "  ")


def _told(page: Page, material: Material, reason: Reason, before: str) -> None:
    words = material.words
    under = before + "  "
    page.line(reason.because, before + "- ", under)
    said = dict.fromkeys(text for ground in reason.grounds for text in _said(ground))
    if said:
        page.line(words.say("why-from-said", words=words.join(said)), under, under)
    granted = [_named(material, ground) for ground in reason.grounds if ground.standing == "assumed"]
    if granted:
        page.line(words.say("why-from-taken", facts=words.join(granted)), under, under)
    follows = [_named(material, ground) for ground in reason.grounds if ground.standing == "concluded"]
    if follows:
        page.line(words.say("why-from-derived", facts=words.join(follows)), under, under)
    cited = "; ".join(cite(material, source) for source in reason.sources)
    if cited:
        page.line(words.say("why-sources", sources=cited), under, under)
    page.line(words.say("why-rule-id", rule=reason.rule), under, under)
    for deeper in reason.deeper:
        if deeper.again:
            page.line(words.say("why-again", text=deeper.because), under + "- ", under + "  ")
        elif deeper.because:
            _told(page, material, deeper, under)


def _said(ground: Ground) -> list[str]:
    """The asker's words behind a ground, or behind the numbers that it was measured of."""
    if ground.words:
        return ['"' + harmless(ground.words) + '"']
    return [text for operand in ground.of for text in _said(operand)]


def _named(material: Material, ground: Ground) -> str:
    return material.words.fact(ground.attribute, ground.value)
