"""What a person is told when a call or the knowledge is wrong; only imported then."""

from __future__ import annotations

from backstay.faces import failsafe, output
from backstay.faces.options import CallError


def bad_call(error: CallError) -> None:
    """Say what was wrong with a call, and what to write instead."""
    from backstay.knowledge.loading import load
    from backstay.reply.words import Words

    words = Words(load())
    values = {name: str(value) for name, value in error.values.items()}
    if "fault" in values:
        values["what"] = words.say(f"case-fault-{values['fault']}")
    near = values.get("near")
    if near:
        values["near"] = words.say("call-near", near=near)
    output.complain("backstay: " + " ".join(words.say(error.message, **values).split()))


def bad_knowledge(error: Exception) -> bool:
    """Say what is wrong with the knowledge; False if the error is of another kind."""
    from backstay.knowledge.problems import KnowledgeError

    if not isinstance(error, KnowledgeError):
        return False
    output.complain(failsafe.CANNOT_ADVISE)
    for problem in error.problems:
        output.complain(str(problem))
    output.complain(failsafe.GET_SEEN)
    return True
