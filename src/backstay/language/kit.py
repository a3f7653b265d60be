"""Kit: for each run of equipment or exercises named, whether it is there, missing or refused.

A run is a list of names with only fillers, commas and figures between. What frames it (have, no, broken, hate, is all I
have) stands before or behind it; of several frames missing beats refused beats there. Equipment without a frame is
only part of the picture (`when the bar leaves the floor`) and no fact.
"""

from __future__ import annotations

from backstay.language.cleaning import NONE, SENTENCE
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention
from backstay.language.quantities import WEIGHTS
from backstay.language.runs import ARTICLES, FILLERS, MOST_ADJECTIVES, Run, inside_other, kitlike, machine_of, runs
from backstay.language.scope import DENIED, PAST

WISHED = frozenset({
    "something", "anything", "one", "exercise", "exercises", "stuff", "move", "things", "else", "looks", "look",
})  # fmt: skip
HAVING = frozenset({"got", "have", "has", "had", "own", "with", "do", "did", "need", "want"})
OWNING = HAVING | {"is", "are", "just", "only", "and", "there", "maybe"}
"""What stands before a likeness that is wished for: something like a plank."""


MACHINES = frozenset({"hyper", "hyperextension"})
REPLACED = frozenset({("instead", "of"), ("rather", "than"), ("place", "of"), ("stead", "of"), ("bored", "of")})
"""What stands before an exercise that something else is asked for: it is named, neither refused nor missing."""
OPENERS = frozenset(
    {"give", "what", "which", "how", "any", "can", "need", "please", "suggest", "show", "i", "we", "got"}
)
GROUP = frozenset(
    {"kids", "athletes", "lifters", "girls", "boys", "people", "juniors", "women", "men", "of", "us", "here"}
)


def settle_kit(draft: Draft) -> None:
    """Add has, lacks and avoids; note the exercises that are named and wanted."""
    scene = draft.scene
    named = [one for one in scene.mentions if one.kind == "phrase" and one.says_any("equipment", "exercise")]
    named = [one for one in named if not inside_other(one, scene.mentions)]
    lacking = {note.value for note in draft.of("lacks")}
    things = {(one.start, one.end) for one in named if one.says_any("equipment")}
    # what is a thing and an exercise by one name (ab wheel) is the thing in a list of things, else the exercise
    moves = {(one.start, one.end) for one in scene.mentions if one.says_any("movement")}
    if draft.want in ("state", "recommend"):  # fine walking: a movement of the day, not the exercise of this name
        named = [one for one in named if one.says_any("equipment") or (one.start, one.end) not in moves]
    named = [one for one in named if not _greets(draft, one) and not _likeness(draft, one)]
    doubles = [one for one in named if one.value("exercise") and (one.start, one.end) in things]
    named = [one for one in named if one not in doubles]
    framed: set[int] = set()
    for run in runs(draft, named):
        frame, only = _frame(draft, run)
        if frame:
            framed |= {one.start for one in run.named}
        for one in run.named:
            if one.scope & ~DENIED and not (frame == "lacks" and not one.scope & ~(DENIED | PAST)):
                if one.value("exercise"):
                    _exercise(draft, one, "asked")
                continue
            equipment = one.value("equipment")
            if equipment is not None:
                if frame in ("lacks", "refuses", "has"):
                    attribute = {"lacks": "lacks", "refuses": "avoids", "has": "has"}[frame]
                    if not (attribute == "has" and equipment in lacking):
                        draft.say(attribute, equipment, one.start, one.end)
            else:
                _exercise(draft, one, frame)
        if only and frame == "has" and any(one.value("equipment") for one in run.named):
            draft.say("kit", "complete", run.start, run.end)
    for one in doubles:
        if one.start not in framed and not one.scope:
            _exercise(draft, one, "")
    if draft.has("has"):  # no weights, but rings and a mat: not nothing at all
        draft.drop([note for note in draft.of("lacks") if note.value == "everything"])


def _greets(draft: Draft, one: Mention) -> bool:
    """Whether `good morning` opens a message that goes on about something else."""
    words = draft.scene.words
    if one.start or words.words[: one.end] not in (["good", "morning"], ["goodmorning"]) or one.end >= len(words):
        return False
    if words.breaks[one.end] == NONE or any(slot == "sets" for slot, _, _ in draft.scene.figures[one.end] or ()):
        return False
    return any(
        other.start >= one.end and other.says_any("area", "lift", "exercise", "muscle", "pain", "age", "sensation")
        for other in draft.scene.mentions
    )


def _likeness(draft: Draft, one: Mention) -> bool:
    """Whether it is but a likeness: I arch like a proud pigeon, stiff as a plank."""
    text = draft.scene.words.words
    at = one.start
    while at > 0 and one.start - at < MOST_ADJECTIVES and text[at - 1] not in ARTICLES:
        at -= 1
    before = text[max(0, at - 3) : at]
    if before[-1:] not in (["a"], ["an"]) or before[-2:-1] not in (["like"], ["as"]):
        return False
    return not before[:-2] or before[-3] not in WISHED | (OWNING if one.value("equipment") else HAVING)


def _exercise(draft: Draft, one: Mention, frame: str) -> None:
    exercise = one.value("exercise")
    text = draft.scene.words.words
    if tuple(text[max(0, one.start - 2) : one.start]) in REPLACED:
        frame = ""
    machine = machine_of(draft, exercise) if frame in ("lacks", "has") else None
    if machine is not None:
        draft.say(frame, machine, one.start, one.end)
    elif frame == "refuses" and draft.want != "why-not":
        draft.say("avoids", exercise, one.start, one.end)
    elif frame == "dropped" and draft.want not in ("why-not", "why", "log"):
        draft.deny("exercise", exercise, one.start, one.end)
    else:
        draft.say("exercise", exercise, one.start, one.end)


def _for_want_of_a_machine(draft: Draft, run: Run) -> bool:
    """Whether an exercise cannot be done for want of its machine: no reverse hypers, there is no machine."""
    text = draft.scene.words.words
    after = text[run.end : run.end + 8]
    if "machine" not in after or not kitlike(draft, run.named[0]):
        return False
    before = after[: after.index("machine")]
    return bool({"no", "without", "broken", "not"} & set(before))


def _frame(draft: Draft, run: Run) -> tuple[str, bool]:
    """What frames a run, and whether it is all there is."""
    words, triggers = draft.scene.words, draft.scene.triggers
    found: set[str] = set()
    for trigger in triggers:
        if trigger.name not in ("has", "has-start", "lacks", "refuses", "only", "skipped"):
            continue
        reach, within = trigger.extra[1], trigger.extra[2]
        if (
            reach in ("forward", "both")
            and 0 <= run.start - trigger.end <= within
            and _joined(draft, trigger.end, run.start)
        ):
            if trigger.name == "has-start" and words.breaks[trigger.start] == NONE and not _wished_with(draft, run):
                continue
            found.add(trigger.name)
        if (
            reach in ("back", "both")
            and 0 <= trigger.start - run.end <= within
            and _joined(draft, run.end, trigger.start)
        ):
            found.add(trigger.name)
    is_kit = any(one.value("equipment") for one in run.named)
    only = "only" in found
    if run.denied:
        found.add(_denied_by(draft, run))
    if "skipped" in found:
        return "skipped", False
    if is_kit:
        if found & {"lacks"}:
            return "lacks", False
        if "refuses" in found and "no" not in found:
            return "refuses", False
        if "no" in found:
            return ("refuses" if _please(draft, run) else "lacks"), False
        if found & {"has", "only", "has-start"} or _bare_list(draft, run):
            return "has", only
        return "", False
    if "lacks" in found and (_owned(draft, run) or kitlike(draft, run.named[0])):
        return "lacks", False
    if not run.denied and found & {"has", "only"} and kitlike(draft, run.named[0]) and _at_a_gym(draft, run):
        return "has", only
    if found & {"refuses", "no"} and _for_want_of_a_machine(draft, run):
        return "lacks", False
    if found & {"refuses"}:
        return ("" if _for_want_of(draft, run) else "refuses"), False
    if "no" in found:
        missing = _owned(draft, run) or _beside_kit(draft, run) or _one_machine(draft, run)
        return ("lacks" if missing else "refuses"), False
    if "dropped" in found or run.denied:
        return "dropped", False
    return "", False


def _wished_with(draft: Draft, run: Run) -> bool:
    """Whether advice is asked for with these things: what can I do for my lats with a bar and two bands."""
    return draft.want == "recommend" and len(run.named) > 1 and draft.scene.words.breaks[run.end] != NONE


def _denied_by(draft: Draft, run: Run) -> str:
    """Only `no` and its like leave a thing missing or refused; `not` says that it is not this one."""
    text = draft.scene.words.words
    before = [one for one in draft.scene.triggers if one.name == "negation" and one.end <= run.start]
    if not before:
        return "dropped"
    nearest = max(before, key=lambda one: one.end)
    words = set(text[nearest.start : nearest.end])
    return (
        "no" if words & {"no", "without", "zero", "nor", "neither", "minus", "have", "has", "own", "any"} else "dropped"
    )


def _joined(draft: Draft, start: int, end: int) -> bool:
    """Whether nothing between ends the sentence, or is a name of another run."""
    words = draft.scene.words
    if any(words.breaks[at] == SENTENCE for at in range(start, end + 1)):
        return False
    return not any(
        one.kind == "phrase"
        and start <= one.start < end
        and one.says_any("equipment", "exercise", "pain", "sensation", "lift")
        for one in draft.scene.mentions
    )


def _owned(draft: Draft, run: Run) -> bool:
    """Whether it is about what a gym has: at my gym, here, we have no, machine."""
    text = draft.scene.words.words
    before = text[max(0, run.start - 4) : run.start]
    after = text[run.end : run.end + 4]
    return bool(
        {"have", "has", "own", "got", "gym", "club", "missing", "lost", "there", "broken", "broke"} & set(before)
        or {"gym", "club", "here", "machine", "garage", "available", "broken", "broke", "taken"} & set(after)
    )


def _one_machine(draft: Draft, run: Run) -> bool:
    """Whether one machine is named and not the exercise done on it: no reverse hyper; but no hypers please."""
    return draft.scene.words.words[run.end - 1] in MACHINES and not _please(draft, run)


def _beside_kit(draft: Draft, run: Run) -> bool:
    """Whether a machine's name stands in a message that lists what is there: rings and a bench, no reverse hyper."""
    return kitlike(draft, run.named[0]) and (draft.has("has") or draft.has("lacks"))


def _for_want_of(draft: Draft, run: Run) -> bool:
    """Whether it cannot be done because a thing is missing: `can not do step ups, no box`."""
    if "can" not in draft.scene.words.words[max(0, run.start - 4) : run.start]:
        return False
    return any(
        one.value("equipment")
        and one.scope & DENIED
        and 0 <= one.start - run.end <= 4
        and _joined(draft, run.end, one.start)
        for one in draft.scene.mentions
    )


def _at_a_gym(draft: Draft, run: Run) -> bool:
    after = draft.scene.words.words[run.end : run.end + 4]
    return bool({"gym", "club", "here", "machine", "garage", "available", "station"} & set(after))


def _please(draft: Draft, run: Run) -> bool:
    text = draft.scene.words.words
    after = text[run.end : run.end + 4]
    return bool({"please", "thanks"} & set(after)) or after[:2] == ["for", "me"]


def _in_list(word: str) -> bool:
    return word in FILLERS or word in WEIGHTS or word[0].isdigit()


def _among_pieces(draft: Draft, run: Run) -> bool:
    """Whether the piece right before a thing with its article tells the time at hand: ten minutes, a mat."""
    words = draft.scene.words
    start = run.start
    while start and words.breaks[start] == NONE and words.words[start - 1] in FILLERS:
        start -= 1
    near = any(note.end == start for note in draft.of("minutes", "training-days")) and words.breaks[start] != SENTENCE
    return near and start < run.start


def _bare_list(draft: Draft, run: Run) -> bool:
    """Whether the run is a list of two or more that fills its stretch between pauses."""
    words = draft.scene.words
    start, end = run.start, run.end
    counted = start > 0 and bool(draft.scene.figures[start - 1]) and words.breaks[start] == NONE  # 2 dumbbells
    if len({one.value("equipment") for one in run.named}) < 2 and not counted and not _among_pieces(draft, run):
        return False
    while start > 0 and words.breaks[start] == NONE and _in_list(words.words[start - 1]):
        start -= 1
    while end < len(words) and words.breaks[end] == NONE and words.words[end] in FILLERS:
        end += 1
    opens = words.breaks[start] != NONE or words.words[start - 1] in GROUP
    return opens and (words.breaks[end] != NONE or words.words[end] in OPENERS)
