"""Check: all that is wrong with the knowledge, the built-in one or with a folder laid over it, in one run."""

from __future__ import annotations

from backstay.faces import output
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.checking import check
from backstay.knowledge.problems import ERROR

OPTIONS = (Option("json"), Option("help"))
WORDS = "FOLDER"


def run(call: Call) -> int:
    """Print every problem, one a line; 0 if there is no error among them, else 1."""
    if len(call.words) > 1:
        raise CallError("call-too-many-words", command="check", word=call.words[1])
    if call.words:
        from os.path import isdir

        if not isdir(call.words[0]):
            raise CallError("call-no-folder", folder=call.words[0])
    problems = check(call.words)
    wrong = sum(problem.severity == ERROR for problem in problems)
    if call.on("json"):
        import json

        for problem in problems:
            output.write(json.dumps(problem._asdict()))
        return 1 if wrong else 0
    for problem in problems:
        output.write(str(problem))
    if wrong:
        return 1
    # Only a base that can be used has words for its own state.
    from backstay.knowledge.loading import load
    from backstay.reply.words import Words

    base = load(call.words)
    counts = {"exercises": len(base.exercises), "rules": len(base.rules), "warnings": len(problems)}
    output.write(Words(base).say("check-clean", **counts))
    return 0
