"""How a message is read: what it asks for, and each fact with the words it came from."""

from __future__ import annotations

from backstay.faces import output
from backstay.faces.ask import as_line, day
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.loading import load
from backstay.language.reading import understand
from backstay.reply.layout import Page
from backstay.reply.words import Words, figure, harmless

OPTIONS = (
    Option("json"),
    Option("today", "YYYY-MM-DD"),
    Option("knowledge", "FOLDER"),
    Option("help"),
)


def run(call: Call) -> int:
    """Show what was read."""
    if not call.words:
        raise CallError("call-no-message")
    from datetime import date

    base = load(tuple(call.all("knowledge")))
    reading = understand(base, " ".join(call.words), day(call.value("today")) or date.today())
    facts = [*reading.facts, *reading.records]
    if call.on("json"):
        value = {
            "want": reading.want,
            "facts": [{"fact": fact.attribute, "value": fact.value, "words": fact.words} for fact in facts],
            "taken_back": [{"fact": fact.attribute, "value": fact.value} for fact in reading.retracted],
            "unknown_words": list(reading.unknown),
        }
        output.write(as_line(value))
        return 0
    words = Words(base)
    page = Page()
    page.line(words.say("understand-want", want=reading.want))
    for fact in facts:
        shown = _value(fact.value)
        source = words.say("understand-words", words=harmless(fact.words)) if fact.words else ""
        page.line(
            " ".join((words.say("understand-fact", attribute=fact.attribute, value=shown), source)), "  ", "      "
        )
    if not facts:
        page.line(words.say("understand-none"))
    for fact in reading.retracted:
        page.line(
            words.say("understand-taken-back", attribute=fact.attribute, value=_value(fact.value)), "  ", "      "
        )
    if reading.unknown:
        page.line(words.say("understand-unknown", words=words.join(harmless(word) for word in reading.unknown)))
    output.write(page.text(output.width()))
    return 0


def _value(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name} {_value(inner)}" for name, inner in value.items())
    return figure(value) if isinstance(value, (int, float)) else str(value)
