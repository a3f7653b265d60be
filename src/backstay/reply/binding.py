"""What holds a plan back, in sentences."""

from __future__ import annotations

from backstay.coaching.binding import Bound, binding
from backstay.reply.layout import Page
from backstay.reply.material import Material


def write(page: Page, material: Material) -> None:
    """Write what each limit of the plan in question keeps out, where anything."""
    bounds = binding(material.base, material.findings, material.case.goal)
    if not bounds:
        return
    words = material.words
    page.line(words.say("head-binding"))
    binds = [bound for bound in bounds if bound.binds]
    for bound in binds:
        page.line(_line(material, bound), "  - ", "    ")
    if not binds:
        page.line(words.say("binding-nothing"), "  - ", "    ")
    page.gap()


def _line(material: Material, bound: Bound) -> str:
    words, exercises = material.words, material.base.exercises
    wider = bound.limit if bound.wider is not None else f"{bound.limit}-none"
    more = words.say(f"binding-{wider}", more=(bound.wider or bound.now) - bound.now, now=bound.now)
    if not bound.comes:
        return words.say("binding-sets", more=more, count=bound.sets) if bound.sets > 0 else more
    comes = words.join(exercises[name].name for name in bound.comes)
    if not bound.goes:
        return words.say("binding-brings", more=more, comes=comes)
    goes = words.join(exercises[name].name for name in bound.goes)
    return words.say("binding-swaps", more=more, comes=comes, goes=goes)
