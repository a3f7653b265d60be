"""Compose: a Reply out of a plan. Puts ids into words, reasons beside picks, and the notice where it must stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from backstay.case import ABOUT_EXERCISES, Case, Question
from backstay.knowledge.facts import Fact
from backstay.reply import back, loads
from backstay.reply.grounds import reasons, rests_on, said_words
from backstay.reply.material import Material
from backstay.reply.reply import SEE_CLINICIAN, AskNext, LeftOut, Notice, Reply, Shown, speaks_of_pain
from backstay.reply.text import text
from backstay.reply.understood import understood
from backstay.reply.words import Words

RED_FLAG = "red-flag"
MOST_LEFT_OUT = 5
# Who greets, asks for help or has just been hurt is not asked about the training.
UNASKED = frozenset({"help", "social", "first-aid"})


def compose(
    base: Any,
    reading: Any,
    case: Case,
    findings: Any,
    plan: Any,
    want: str,
    named: Sequence[str],
    width: int | None,
) -> Reply:
    """Make the answer to one message."""
    words = Words(base)
    outcome = plan.outcome
    if not reading.readable and outcome in ("advice", "noted", "out-of-scope"):
        outcome = "not-understood"
    if outcome == "advice" and reading.want == "state" and not case.goal:
        outcome = "noted"  # Nothing was asked, but a complaint is answered all the same.
    said = _understood(base, reading, findings)
    notices = _notices(words, plan.notices, speaks_of_pain(said))
    urgency = plan.urgency
    if notices and urgency == "none" and notices[0].id == SEE_CLINICIAN:
        urgency = "clinician"
    picks = tuple(_shown(base, words, findings, pick) for pick in plan.picks) if outcome in ("advice", "noted") else ()
    left_out = tuple(LeftOut(one.exercise, reasons(base, findings, one.because)) for one in plan.left_out)[
        : MOST_LEFT_OUT + len(named)
    ]
    ask = _ask(base, words, plan) if outcome == "question" or want not in UNASKED else None
    assumed = dict(plan.assumed)
    about = tuple(named) or tuple(pick.exercise for pick in picks) or case.named
    question = None
    if ask is not None:
        silence = _silence(plan, ask.fact)
        question = Question(ask.fact, ask.text, silence)
    told = _told(case, findings, plan, want)
    chosen = tuple(pick.exercise for pick in picks)
    out = case.answered_with(want, about, chosen, (*plan.told, *plan.notices), question)
    material = Material(
        base=base,
        words=words,
        want=want,
        reading=reading,
        case=out,
        findings=findings,
        plan=plan,
        outcome=outcome,
        within=plan.within,
        notices=tuple(notice for notice in notices if _first(base, plan, notice)),
        told=tuple(words.say(one, **_places(words)) for one in told),
        later=tuple(notice for notice in notices if not _first(base, plan, notice) and _new(case, want, notice.id)),
        picks=picks,
        left_out=left_out,
        assumed=assumed,
        ask=ask,
        named=tuple(named),
        stop_words=said_words(findings, plan.because) if outcome == "stop" else (),
    )
    return Reply(
        understood=said,
        outcome=outcome,
        urgency=urgency,
        within=plan.within,
        notices=notices,
        picks=picks,
        left_out=left_out,
        assumed=assumed,
        ask_next=ask,
        case=out.as_json(),
        text=text(material, width),
        extra=_extra(base, words, findings, plan, outcome, out),
    )


def unreadable(base: Any, held: Case, message: str) -> Reply:
    """Make the answer to a message that could not be read: nothing to train, the notice, what must never wait."""
    words = Words(base)
    notices = (Notice(SEE_CLINICIAN, words.say(SEE_CLINICIAN)),)
    said = understood("out-of-scope", (), (), (), (), base.attributes)
    parts = [notices[0].text, words.say(message), words.say("safety-net")]
    return Reply(
        understood=said,
        outcome="not-understood",
        urgency="clinician",
        notices=notices,
        case=held.as_json(),
        text="\n".join(parts),
    )


def _understood(base: Any, reading: Any, findings: Any) -> dict[str, Any]:
    """What this message said, and what was derived; what screening makes of the signs stands with what was said."""
    attributes = base.attributes
    said = list(reading.facts)
    heard = {(fact.attribute, fact.value) for fact in said}
    derived = []
    for holding in findings.holdings("concluded"):
        if holding.attribute == RED_FLAG:
            said.append(Fact(RED_FLAG, holding.value))
        elif (holding.attribute, holding.value) not in heard:
            derived.append((holding.attribute, holding.value))
    return understood(reading.want, said, reading.records, derived, reading.unknown, attributes)


def _notices(words: Words, ids: Iterable[str], pain: bool) -> tuple[Notice, ...]:
    """The notices in words, the one on clinicians first; with pain it is there whoever forgot it."""
    wanted = dict.fromkeys(ids)
    if pain or SEE_CLINICIAN in wanted:
        wanted = dict.fromkeys((SEE_CLINICIAN, *wanted))
    return tuple(Notice(one, words.say(one, **_places(words))) for one in wanted)


def _first(base: Any, plan: Any, notice: Notice) -> bool:
    """Whether a notice stands before the answer: those that safety asks for do, cards stand under it."""
    if notice.id == SEE_CLINICIAN or plan.resolved is None:
        return True
    return any(base.rules[rule].room == "screening" for rule in plan.resolved.notices.get(notice.id, ()))


def _new(case: Case, want: str, message: str) -> bool:
    """Whether a card or caution is worth its place: a question about exercises hears nothing twice."""
    return want not in ABOUT_EXERCISES or message not in case.told


def _told(case: Case, findings: Any, plan: Any, want: str) -> list[str]:
    """What rules tell, what speaks to this very question first."""
    rules = plan.resolved.tells if plan.resolved is not None else {}
    told = [one for one in plan.told if _new(case, want, one)]
    answering = {one for one in told if any(rests_on(findings, rule, "want") for rule in rules.get(one, ()))}
    return sorted(told, key=lambda one: (one not in answering, plan.told.index(one)))


def _places(words: Words) -> dict[str, str]:
    """What any notice may leave open."""
    return {"emergency_number": words.say("emergency-number")}


def _shown(base: Any, words: Words, findings: Any, pick: Any) -> Shown:
    exercise = base.exercises[pick.exercise]
    one_sided = exercise.one_sided or exercise.sides == "alternating"
    dose = pick.dose.figures()
    dose["load"] = loads.told(words, dose["load"], pick.dose.weight, findings.has("units", "pounds"))
    return Shown(
        exercise=pick.exercise,
        name=exercise.name,
        dose=dose,
        minutes=pick.minutes,
        days=tuple(pick.days),
        side_means=exercise.side_means if one_sided and exercise.side_means else None,
        first_side=pick.first_side,
        because=reasons(base, findings, pick.because),
        way=_way(exercise, pick.way),
        back=lambda: back.as_json(base, findings, pick),
    )


def _way(exercise: Any, way: int | None) -> str | None:
    """How it is done with what is there, where that is not the first way of its file."""
    if not way or way > len(exercise.ways) or (way == 1 and len(exercise.ways) == 1):
        return None
    return exercise.ways[way - 1].get("as") or None


def _ask(base: Any, words: Words, plan: Any) -> AskNext | None:
    """The question in words; a plan names the attribute that is asked for."""
    if plan.ask_next is None:
        return None
    question = next((one for one in base.questions.values() if one.asks == plan.ask_next), None)
    if question is None:
        return None
    answers = tuple(words.answer(plan.ask_next, answer) for answer in question.answers)
    return AskNext(plan.ask_next, question.text, answers)


def _silence(plan: Any, fact: str) -> tuple[Fact, ...]:
    """What no answer counts as: a question about a sign that goes unanswered is a yes."""
    return (Fact(fact, "yes"),) if plan.outcome == "question" and plan.because else ()


def _extra(base: Any, words: Words, findings: Any, plan: Any, outcome: str, case: Case) -> dict[str, Any]:
    """What the machine face holds beyond the contract."""
    extra: dict[str, Any] = {"told": [{"id": one, "text": words.say(one, **_places(words))} for one in plan.told]}
    if outcome == "advice":
        extra["week"] = _days(plan.week)
        extra["block"] = []
    if outcome == "advice" and (plan.week or plan.block):
        from backstay.coaching.back_load import week

        extra["proved"] = plan.proved
        extra["binding"] = lambda: _binding(base, findings, "week" if plan.week else "block")
        if plan.week:
            done = [record.value for record in case.records if record.attribute == "done"]
            extra["back_load"] = week(base, findings, plan.picks, plan.week, done).figures()
        for stretch in plan.block:
            extra["block"].append(
                {
                    "phase": stretch.phase,
                    "first": stretch.first.isoformat(),
                    "last": stretch.last.isoformat(),
                    "picks": [_shown(base, words, findings, pick).as_json() for pick in stretch.picks],
                    "week": _days(stretch.week),
                    "value": stretch.value,
                    "bound": stretch.bound,
                    "proved": stretch.proved,
                    "back_load": week(base, findings, stretch.picks, stretch.week).figures(),
                }
            )
    return extra


def _binding(base: Any, findings: Any, want: str) -> list[dict[str, Any]]:
    """What each limit of the plan keeps out."""
    from backstay.coaching.binding import binding

    return [bound.as_json() for bound in binding(base, findings, want)]


def _days(days: Iterable[Any]) -> list[dict[str, Any]]:
    return [
        {"day": day.day, "weekday": day.weekday, "exercises": list(day.exercises), "minutes": day.minutes}
        for day in days
    ]
