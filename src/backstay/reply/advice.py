"""The list of what to do: one exercise after the other, each with its dose, day, side and one line of reason."""

from __future__ import annotations

from collections.abc import Container, Iterable

from backstay.reply import dosage
from backstay.reply.layout import Page
from backstay.reply.material import Material
from backstay.reply.reply import Because, Shown
from backstay.reply.words import capital, lowered

# What a head tells of the asker, as far as it is known.
HEAD_FACTS = ("phase", "weeks-to-meet", "today-is-day")
# Effects that decide whether an exercise is there; others decide how much, when, and which side.
WHY_AT_ALL = frozenset({"need", "need-each", "need-like", "favour", "forbid"})


def picks(page: Page, material: Material, title: str = "") -> None:
    """Write all exercises of the answer, then what was left out."""
    words = material.words
    if not material.picks:
        nothing(page, material)
        return
    page.line(words.say(title) if title else head(material, "head-swap" if material.want == "swap" else "head-advice"))
    page.gap()
    shown: set[str] = set()
    for number, pick in enumerate(material.picks, 1):
        exercise(page, material, pick, words.say("pick-number", number=number), shown=shown)
    if not title and len(material.picks) > 1 and all(pick.minutes for pick in material.picks):
        page.line(words.say("all-minutes", minutes=words.span(sum(pick.minutes or 0 for pick in material.picks))))
    told(page, material)
    left_out(page, material)


def nothing(page: Page, material: Material) -> None:
    """Say that nothing is given, and why the exercises that were named are not."""
    told(page, material)
    left_out(page, material)
    if not material.told and not material.left_out:
        page.line(material.words.say("nothing-fits"))


def head(material: Material, message: str) -> str:
    """The first line of an advice: for whom, and which part of the season it is for."""
    words = material.words
    if message == "head-advice" and material.findings.has("about", "other"):
        message = "head-advice-other"
    facts = [
        words.fact(name, material.findings.values(name)[0]) for name in HEAD_FACTS if material.findings.values(name)
    ]
    title = words.say(message)
    return words.say("head-with", head=title, facts=", ".join(facts)) if facts else title


def exercise(
    page: Page, material: Material, pick: Shown, mark: str, name: bool = True, shown: set[str] | None = None
) -> None:
    """Write one exercise: name, dose and side, load, day and time, one reason, if it can be one not `shown` yet."""
    words = material.words
    known = material.base.exercises.get(pick.exercise)
    rest = " " * (len(mark) + 1)
    if name:
        title = words.say("pick-way", name=pick.name, way=lowered(pick.way)) if pick.way else pick.name
        page.line(title, mark + " ", rest)
    page.line(capital(dosage.line(words, pick, known)), rest, rest)
    day = dosage.when(words, pick, training_days(material))
    for text in (dosage.load(words, pick.dose), dosage.effort(words, pick.dose), day):
        page.line(capital(text), rest, rest)
    reason = leading(material, pick.because, shown or ())
    if reason:
        if shown is not None:
            shown.add(reason.rule)
        page.line(words.say("why-line", text=reason.text), rest, rest)
    page.gap()


def leading(material: Material, because: Iterable[Because], before: Container[str] = ()) -> Because | None:
    """The reason that is shown where there is room for one: why this is needed or kept out, if it can be a new one."""

    def rank(reason: Because) -> tuple[bool, bool]:
        kinds = {effect[0] for effect in material.base.rules[reason.rule].effects}
        return kinds.isdisjoint(WHY_AT_ALL), reason.rule in before

    told = sorted((reason for reason in because if reason.text), key=rank)
    return told[0] if told else None


def training_days(material: Material) -> float | None:
    """How many days a week are trained, where it is known."""
    number: float | None = material.findings.number("training-days")
    return number


def told(page: Page, material: Material) -> None:
    """Cautions and cards that rules bring along."""
    if material.told:
        page.gap()
    for text in material.told:
        page.line(text, "! ", "  ")


def left_out(page: Page, material: Material, named_only: bool = False) -> None:
    """Say what was left out and what kept it out, the named ones first; the rest is for `why not`."""
    words = material.words
    asked = [one for one in material.left_out if one.exercise in material.named]
    shown = asked or ([] if named_only else list(material.left_out[:2]))
    if shown:
        page.gap()
    for one in shown:
        reason = leading(material, one.because)
        name = capital(words.exercise(one.exercise))
        if reason is not None and reason.text.startswith(name):
            page.line(words.say("left-out", text=reason.text))
        elif reason is None:
            page.line(words.say("why-not-outweighed", exercise=words.exercise(one.exercise)))
        else:
            page.line(words.say("why-not-kept-out", exercise=name, text=reason.text))
