"""The answer as a person reads it: the caution first, then what to do, how much, when, which side first; reasons short.

A stop begins with the act it calls for and holds nothing else to do. What stands here is order, not wording: all words
are messages of the knowledge.
"""

from __future__ import annotations

from collections.abc import Callable

from backstay.reply import advice
from backstay.reply.held import held
from backstay.reply.layout import Page
from backstay.reply.material import Material

Writer = Callable[[Page, Material], None]

CARD = "soreness-or-pain"  # which an answer on telling them apart begins with
TOPICS = frozenset({"dose", "how-to", "compare", "muscles", "timing"})
PLANS = frozenset({"week", "block"})
READ_BACK = frozenset({"recommend", "swap", "week", "block", "state", "lift-today", "hand-over"})
TALK = frozenset({"log", "state", "help", "social", "first-aid", "tell-apart", "lift-today", "hand-over"})


def text(material: Material, width: int | None = None) -> str:
    """Write the whole answer at a width of the screen."""
    page = Page()
    if material.outcome == "stop":
        _stop(page, material)
    else:
        _notices(page, material)
        _understood(page, material)
        if material.outcome == "refer":
            _refer(page, material)
        elif material.outcome == "question":
            _question(page, material)
        elif material.outcome == "not-understood":
            page.line(material.words.say("not-understood"))
        elif material.outcome == "out-of-scope":
            page.line(material.words.say("out-of-scope"))
        else:
            _writer(material.want)(page, material)
            _ending(page, material)
    return page.text(width)


def _writer(want: str) -> Writer:
    """Who writes the middle of an answer; most answers are lists of exercises and open no other module."""
    if want in TOPICS:
        from backstay.reply import topics

        return topics.WRITERS[want]
    if want in TALK:
        from backstay.reply import talk

        return talk.WRITERS[want]
    if want in PLANS:
        from backstay.reply import plans

        return plans.WRITERS[want]
    if want == "why":
        from backstay.reply import reasons

        return reasons.why
    if want == "why-not":
        from backstay.reply import why_not

        return why_not.why_not
    return advice.picks


def _stop(page: Page, material: Material) -> None:
    words = material.words
    other = "-other" if material.findings.has("about", "other") else ""
    page.line(words.say(f"stop-{material.within}{other}", emergency_number=words.say("emergency-number")))
    page.gap()
    _notices(page, material)
    _told(page, material)
    if material.stop_words:
        page.gap()
        page.line(words.say("stop-said", words=" … ".join(material.stop_words)))
    page.gap()
    page.line(words.say("stop-refused"))


def _refer(page: Page, material: Material) -> None:
    page.line(material.words.say(f"refer-{material.within}"))
    _told(page, material)


def _question(page: Page, material: Material) -> None:
    if material.ask is not None:
        page.line(material.words.say("first-question", question=_asked(material)))
        page.line(material.words.say("no-exercise-now"))
    _told(page, material)


def _notices(page: Page, material: Material) -> None:
    for notice in material.notices:
        page.line(notice.text)
    page.gap()


def _understood(page: Page, material: Material) -> None:
    """Show how the message was read where much hangs on it: with pain, and where several things were said at once."""
    noted_anyway = material.outcome == "noted" and not material.picks
    if material.want not in READ_BACK or noted_anyway or material.outcome in ("not-understood", "out-of-scope"):
        return
    facts = material.reading.facts
    shown = held(material.words, material.base.attributes, facts)
    if len(shown) > 1 or any(fact.attribute == "pain" for fact in facts):
        whose = "read-back-other" if material.findings.has("about", "other") else "read-back"
        page.line(material.words.say(whose, facts=", ".join(shown)))
        page.gap()


def _told(page: Page, material: Material) -> None:
    for text in material.told:
        page.gap()
        page.line(text)


def _ending(page: Page, material: Material) -> None:
    """What was taken for granted, what was not read, and the one question."""
    words = material.words
    page.gap()
    for notice in material.later:
        if notice.id != CARD or material.want != "tell-apart":
            page.line(notice.text, "! ", "  ")
    page.gap()
    shown = [words.fact(*one) for one in material.assumed.items() if words.names_assumption(*one)]
    if shown and material.picks:
        page.line(words.say("took-for-granted", facts=words.join(sorted(shown, key=len))))
    for conflict in material.findings.conflicts:
        # Of two pieces of work that were reported each has figures of its own.
        whole = material.base.attributes.get(conflict.attribute.partition(".")[0])
        if conflict.standing != "assumed" and (whole is None or whole.kind != "records"):
            values = [words.fact(conflict.attribute, value) for value in (conflict.leads, *conflict.others)]
            page.line(words.say("conflict", facts=words.join(values), led=values[0]))
    if material.reading.unknown:
        page.line(words.say("not-read", words=words.join(material.reading.unknown)))
    if material.ask is not None:
        page.gap()
        page.line(words.say("one-question", question=_asked(material)))


def _asked(material: Material) -> str:
    """The question with its answers; one that is closed names them itself."""
    ask = material.ask
    assert ask is not None
    described = material.base.attributes.get(ask.fact)
    closed = described is not None and {"yes", "no"} <= set(described.values)
    if closed:
        return str(ask.text)
    return material.words.question(ask.text, ask.answers, described is not None and described.kind == "number")
