"""Check: all that is wrong with the knowledge, the built-in one or with folders laid over it, in one run."""

from __future__ import annotations

from collections.abc import Sequence

from backstay.faces import failsafe, output
from backstay.faces.options import Call, CallError, Option
from backstay.knowledge.problems import ERROR, WARNING, Problem

OPTIONS = (Option("json"), Option("annotations"), Option("help"))
WORDS = "FOLDER"


def run(call: Call) -> int:
    """Print every problem, one a line; 0 if there is no error among them, else 1."""
    from os.path import isdir

    from backstay.knowledge.checking import checked

    for name in call.words:
        if not isdir(name):
            raise CallError("call-no-folder", folder=name)
    if call.on("json") and call.on("annotations"):
        raise CallError("call-one-form", one="--json", other="--annotations")
    compiled = checked(call.words)
    problems, kept = compiled.problems, ""
    if not any(problem.severity == ERROR for problem in problems):
        more, kept = _examples(compiled.sections, call.words)
        problems = (*problems, *_leaving_nothing(compiled.sections, call.words), *more)
    if call.on("json"):
        import json

        for problem in problems:
            output.write(json.dumps({**problem._asdict(), "why": problem.why}))
    elif call.on("annotations"):
        for problem in problems:
            output.write(annotation(problem))
    else:
        from backstay.reply.words import harmless

        for problem in problems:
            output.write(harmless(str(problem)))
        for line in filter(None, (*_summary(compiled.sections, compiled.problems, call.words), kept)):
            output.write(line)
    return int(any(problem.severity == ERROR for problem in problems))


def _examples(sections: dict[str, object], folders: Sequence[str]) -> tuple[Sequence[Problem], str]:
    """What is wrong with the answers to the examples of these folders, and a line that says how many hold."""
    from backstay.examples import run_examples
    from backstay.knowledge.base import Base
    from backstay.reply.words import Words

    base = Base(sections)
    run = run_examples(base, folders)
    words = Words(base)
    if run.problems:
        return run.problems, words.say("check-examples-fail", count=run.read, problems=len(run.problems))
    return (), words.say("check-examples", count=run.read) if run.read else ""


def _leaving_nothing(sections: dict[str, object], folders: Sequence[str]) -> list[Problem]:
    """A warning for each rule of these folders that takes the last exercise from somebody."""
    from backstay.knowledge.base import Base
    from backstay.knowledge.folders import BUILT_IN
    from backstay.reference.deciding import emptied
    from backstay.reference.wording import Wording

    base = Base(sections)
    own = [name for name, rule in base.rules.items() if rule.room == "rules" and not rule.place[0].startswith(BUILT_IN)]
    wording = Wording(base)
    say = wording.words.say
    notes = []
    for name, one in emptied(base, own) if folders and own else ():
        facts = wording.words.join(wording.fact(*atom) for atom in one.situation) or say("explain-nothing-told")
        before = wording.exercises(given.exercise for given in one.without.given) if one.without else ""
        what = say("check-leaves-nothing", rule=name, facts=facts, before=before)
        notes.append(Problem(*base.rules[name].place, "leaves-nothing", what, say("check-leaves-mend"), WARNING))
    return notes


def annotation(problem: Problem) -> str:
    """One problem as the services that run checks on a change read it: a command on a line of the log."""
    parts = [("file", problem.file), ("line", problem.line), ("col", problem.column), ("title", problem.code)]
    given = ",".join(f"{name}={_escaped(str(value), ':,')}" for name, value in parts if value)
    return f"::{problem.severity} {given}::{_escaped(problem.told)}"


def _escaped(text: str, further: str = "") -> str:
    for sign in "%\r\n" + further:
        text = text.replace(sign, f"%{ord(sign):02X}")
    return text


def _summary(sections: dict[str, object], problems: Sequence[Problem], folders: Sequence[str]) -> list[str]:
    from os.path import normpath

    from backstay.knowledge.base import Base
    from backstay.knowledge.folders import BUILT_IN
    from backstay.reply.words import Words

    base = Base(sections)
    words = Words(base)
    wrong = [problem for problem in problems if problem.severity == ERROR]
    if not all(map(words.has, ("check-clean", "check-refused"))):
        return [failsafe.REFUSED] if wrong else []  # the messages themselves are broken
    if not wrong:
        counts = {"exercises": len(base.exercises), "rules": len(base.rules), "warnings": len(problems)}
        return [words.say("check-clean", **counts)]
    lines = []
    for folder in (BUILT_IN, *map(normpath, folders)):
        own = [problem for problem in wrong if problem.file == folder or problem.file.startswith(f"{folder}/")]
        if own:
            files = len({problem.file for problem in own})
            lines.append(words.say("check-refused", folder=folder, errors=len(own), files=files))
    return lines
