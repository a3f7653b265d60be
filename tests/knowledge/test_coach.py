"""A coach at work: what the program says of a mistake is enough to mend it, by somebody who knows nothing else.

The coach here is a function. It sees the lines that `check` prints, goes to the place they name and does what they say;
it knows no format, no rule and no id. After that the folder must be right.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from backstay import Assistant
from backstay.faces.command import main
from backstay.knowledge.folders import built_in

GOOD = """- rule: long-pulls-need-length
  when: {lift: snatch-pull, sensation: tight}
  then: {need: {hamstring-length: 2}}
  because: Tight in wide pulls.
  source: common-practice
"""
LINE = re.compile(r"(?P<file>\S+\.yaml):(?P<line>\d+):(?P<column>\d+): (?:error|warning): (?P<text>.*)")


def nearest_name(line: str, at: int, told: re.Match[str]) -> str:
    """Write the name that was probably meant over the one that is there."""
    return line[:at] + re.sub(r"^[a-z0-9-]+", told.group(1), line[at:])


def name_of_its_own(line: str, at: int, told: re.Match[str]) -> str:
    return re.sub(r"([a-z0-9-]+)(\W*)$", r"\1-ours\2", line)


def spaces(line: str, at: int, told: re.Match[str]) -> str:
    return line.replace("\t", "  ")


def missing_key(line: str, at: int, told: re.Match[str]) -> str:
    """Write the key under the first one of the entry, with what the guide says is always known."""
    return f"{line}\n{' ' * at}{told.group(1)}: common-practice"


def fewer(line: str, at: int, told: re.Match[str]) -> str:
    """`avoid` instead of `forbid`, as it is told."""
    return line.replace("forbid: everything", "avoid: {for: everything, points: 1}")


# What a line says, and what somebody does who has read it; the first that fits.
DOES: tuple[tuple[str, Callable[[str, int, re.Match[str]], str]], ...] = (
    (r"Did you mean `([^`]+)`\?", nearest_name),
    (r"give it a name of its own", name_of_its_own),
    (r"Use spaces, two a step", spaces),
    (r"`([a-z-]+)` is missing in a rule.*Write it", missing_key),
    (r"`avoid` instead", fewer),
)


def mend(folder: Path, said: str) -> None:
    """Do what the first line says."""
    told = next(filter(None, map(LINE.match, said.splitlines())))
    path = folder.parent / told["file"]
    lines = path.read_text(encoding="utf-8").splitlines()
    number, column = int(told["line"]) - 1, int(told["column"]) - 1
    for words, do in DOES:
        match = re.search(words, told["text"], re.IGNORECASE)
        if match:
            done = [do(line, column, match) for line in lines[number:]]
            at = next(at for at, line in enumerate(done) if line != lines[number + at])
            lines[number + at] = done[at]  # there, or further down in the same entry
            break
    else:
        pytest.fail(f"nothing to go by: {told['text']}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def built_in_rule() -> str:
    """A rule as somebody copies it out of the built-in files, to change it a little."""
    text = (Path(built_in()) / "rules" / "sides.yaml").read_text(encoding="utf-8")
    return next(entry for entry in re.split(r"(?m)^(?=- rule:)", text) if "weak-side-gets-the-work" in entry).replace(
        "one-leg-hinge: 2", "one-leg-hinge: 3"
    )


def good(lift: str) -> str:
    """A rule as it should be, one for each lift."""
    return GOOD.replace("long-pulls", f"tight-{lift}").replace("snatch-pull", lift)


# What coaches do, each in a file of its own.
MISTAKES = {
    "copies a rule": built_in_rule(),
    "mistypes a value": good("snatch-pull").replace("lift: snatch-pull", "lift: snach-pull"),
    "mistypes an attribute": good("clean-pull").replace("sensation", "sensasion"),
    "mistypes a quality": good("clean").replace("hamstring-length", "hamstring-lenght"),
    "mistypes a key": good("jerk").replace("because", "becuase"),
    "mistypes an effect": good("snatch").replace("need:", "neeed:"),
    "uses a tab": good("back-squat").replace("  then", "\tthen"),
    "forgets a source": good("front-squat").replace("  source: common-practice\n", ""),
    "mistypes a source": good("deadlift").replace("common-practice", "common-practise"),
    "forbids all there was": good("push-press").replace("need: {hamstring-length: 2}", "forbid: everything"),
}


def told(capsys: pytest.CaptureFixture[str]) -> dict[str, list[str]]:
    """What `check` says of each file of the club's."""
    found: dict[str, list[str]] = {}
    for line in capsys.readouterr().out.splitlines():
        match = LINE.match(line)
        if match and match["file"].startswith("club/"):
            found.setdefault(match["file"], []).append(line)
    return found


def test_what_is_said_is_enough_to_mend_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    rules = tmp_path / "club" / "rules"
    rules.mkdir(parents=True)
    names = {mistake: f"club/rules/{mistake.replace(' ', '-')}.yaml" for mistake in MISTAKES}
    for mistake, text in MISTAKES.items():
        (tmp_path / names[mistake]).write_text(text, encoding="utf-8")

    # All mistakes are told in one run, each once; whom a rule leaves without exercises when the rest can be read.
    assert main(["check", "club"]) == 1
    said = told(capsys)
    last = names.pop("forbids all there was")
    assert {file: len(lines) for file, lines in said.items()} == dict.fromkeys(names.values(), 1)
    for lines in said.values():
        mend(tmp_path / "club", lines[0])

    assert main(["check", "club"]) == 0
    said = told(capsys)
    assert list(said) == [last]
    mend(tmp_path / "club", said[last][0])

    assert main(["check", "club"]) == 0
    assert told(capsys) == {}


def bucket_walk() -> str:
    """An exercise of a club's, made of a built-in one; it trains what turning lifters need."""
    text = (Path(built_in()) / "exercises" / "suitcase-carry.yaml").read_text(encoding="utf-8")
    for pattern, new in (
        (r"^exercise: .*?^also:.*?^trains: .*?^family: .*?$", ""),
        (r"^ways:\n.*?^stress: .*?$", "ways: [{with: []}]\nstress: low"),
        (r"metres: \[15, 30\]", "metres: [21, 33]"),
        (r"^ +load-from:\n.*?(?=^ +effort)", ""),
        (r"^easier: .*?^soreness-card", "easier: []\nharder: []\nswaps: [suitcase-carry]\nsoreness-card"),
    ):
        text, count = re.subn(f"(?ms){pattern}", new, text)
        assert count, pattern
    head = "exercise: bucket-walk\nname: Bucket walk\nalso: [bucket walks]\nfamily: bucket\n"
    return (
        head + "trains: {one-leg-hinge: 3, resist-rotation: 3, extension-hold: 3, hip-drive: 3}\n" + text.strip() + "\n"
    )


PHRASE = """- phrase: corkscrews
  says: {fault: twists}
  forms: ["(i|he|she) (corkscrew|corkscrews|go like a corkscrew)"]
"""
TURNS = "i turn right in the snatch catch, 9 weeks out, what should i do?"


def test_an_exercise_file_alone_is_understood_chosen_dosed_and_explained(tmp_path: Path) -> None:
    file = tmp_path / "club" / "exercises" / "bucket-walk.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(bucket_walk(), encoding="utf-8")
    assert main(["check", str(tmp_path / "club")]) == 0
    assistant, before = Assistant([str(tmp_path / "club")]), Assistant()

    chosen = assistant.answer(TURNS)
    picks = {pick.exercise: pick for pick in chosen.picks}
    assert "bucket-walk" in picks
    assert "bucket-walk" not in {pick.exercise for pick in before.answer(TURNS).picks}
    assert "twist-starts-in-the-pull" in [reason.rule for reason in picks["bucket-walk"].because]
    assert picks["bucket-walk"].first_side == "left"

    dosed = assistant.answer("how many sets and metres of bucket walks, 10 weeks out?")
    assert [pick.exercise for pick in dosed.picks] == ["bucket-walk"]
    assert "3 x 21 to 33 m" in " ".join(dosed.text.split())
    assert "Stand tall, ribs over pelvis." in assistant.answer("how do i do a bucket walk?").text
    assert "bar that turns" in " ".join(assistant.answer("why bucket walks?", case=chosen.case).text.split())
    assert "eaking" in assistant.answer("why no bucket walks? the meet is in a week").text
    swapped = assistant.answer("no suitcase carries for me, what instead? 10 weeks out")
    assert "suitcase-carry" not in {pick.exercise for pick in swapped.picks}
    assert assistant.answer("no bucket walks please, " + TURNS).picks
    assert "bucket-walk" not in {pick.exercise for pick in assistant.answer("no bucket walks please, " + TURNS).picks}


def test_a_phrase_file_alone_is_understood(tmp_path: Path) -> None:
    file = tmp_path / "club" / "phrases" / "ours.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(PHRASE, encoding="utf-8")
    assistant, before = Assistant([str(tmp_path / "club")]), Assistant()
    message = "i corkscrew in the snatch, 9 weeks out, what should i do?"
    assert before.answer(message).understood["facts"].get("fault") is None
    assert assistant.answer(message).understood["facts"]["fault"] == ["twists"]
    assert assistant.answer("i never corkscrew in the snatch").understood["facts"].get("fault") is None
    said = before.answer(message.replace("corkscrew", "twist"))
    assert [pick.exercise for pick in assistant.answer(message).picks] == [pick.exercise for pick in said.picks]
