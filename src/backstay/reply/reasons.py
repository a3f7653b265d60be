"""Why something was given and something else not: rules, the facts they stand on, the words those came from."""

from __future__ import annotations

from backstay.reply import advice
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.reply import Because
from backstay.reply.topics import cite
from backstay.reply.words import capital


def why(page: Page, material: Material) -> None:
    """Every exercise in question with all its reasons; without any, what it is good for."""
    words = material.words
    if not material.picks and not material.left_out and not material.named:
        page.line(words.say("why-nothing"))
        return
    for pick in material.picks:
        page.line(pick.name)
        for reason in pick.because:
            _reason(page, material, reason)
        page.gap()
    picked = {pick.exercise for pick in material.picks}
    for name in material.named:
        exercise = material.base.exercises.get(name)
        if exercise is None or name in picked:
            continue
        page.line(capital(exercise.name))
        known = {**material.base.qualities, **material.base.muscles}
        most = max(exercise.trains.values(), default=0)
        trained = [known[one].name for one, points in exercise.trains.items() if points == most and one in known]
        if trained:
            page.line(words.say("why-general", exercise=capital(exercise.name), what=words.join(trained)), "  ")
        if exercise.carry_over:
            page.line(exercise.carry_over, "  ")
        page.gap()
    advice.left_out(page, material, named_only=True)
    advice.told(page, material)


def why_not(page: Page, material: Material) -> None:
    """What keeps the named exercises out, or that nothing does."""
    words = material.words
    out = {one.exercise: one for one in material.left_out}
    named = [one for one in material.named if one in material.base.exercises] or [*out]
    if not named:
        page.line(words.say("nothing-named"))
    for name in named:
        shown = capital(words.exercise(name))
        if name in material.case.picks:
            page.line(words.say("why-not-taken", exercise=shown))
        elif name in out and out[name].because:
            page.line(words.say("why-not-out", exercise=shown))
            for reason in out[name].because:
                _reason(page, material, reason)
        else:
            page.line(words.say("why-not-outweighed", exercise=words.exercise(name)))
        page.gap()
    advice.told(page, material)


def _reason(page: Page, material: Material, reason: Because) -> None:
    """One rule: what it says, what it stood on in the asker's words, who is cited, and its id to ask further."""
    words = material.words
    if reason.text:
        page.line(reason.text, "  - ", "    ")
    said = [text for text in reason.words if text]
    if said:
        page.line(words.say("why-from-said", words=words.join(said)), "    ", "    ")
    if reason.taken:
        page.line(words.say("why-from-taken", facts=words.join(reason.taken)), "    ", "    ")
    cited = "; ".join(cite(material, source) for source in reason.sources)
    if cited:
        page.line(words.say("why-sources", sources=cited), "    ", "    ")
    page.line(words.say("why-rule-id", rule=reason.rule), "    ", "    ")
