"""A command line is read by the table of its options."""

import pytest

from backstay.faces.options import CallError, Option, nearest, read

TABLE = (Option("json"), Option("today", "DAY"), Option("knowledge", "FOLDER"), Option("help"))


@pytest.mark.parametrize(
    "line, words, values",
    [
        (["my back hurts"], ("my back hurts",), {}),
        (["my", "back"], ("my", "back"), {}),
        (["--json", "x"], ("x",), {"json": []}),
        (["x", "--today", "2026-01-01"], ("x",), {"today": ["2026-01-01"]}),
        (["--today=2026-01-01", "x"], ("x",), {"today": ["2026-01-01"]}),
        (["--knowledge", "a", "--knowledge", "b"], (), {"knowledge": ["a", "b"]}),
        (["--", "--json"], ("--json",), {}),
        (["- 3x10 bird dogs"], ("- 3x10 bird dogs",), {}),
        (["--no pain today"], ("--no pain today",), {}),
        (["-"], ("-",), {}),
        (["-h"], (), {"help": []}),
    ],
)
def test_a_call_is_read(line: list[str], words: tuple[str, ...], values: dict[str, list[str]]) -> None:
    call = read(line, TABLE)
    assert (call.words, call.values) == (words, values)


@pytest.mark.parametrize(
    "line, message, near",
    [
        (["--jsn"], "call-unknown-option", "json"),
        (["-x"], "call-unknown-option", ""),
        (["--xyzzy"], "call-unknown-option", ""),
        (["--json=1"], "call-needless-value", ""),
        (["--today"], "call-missing-value", ""),
    ],
)
def test_a_call_that_makes_no_sense_is_named(line: list[str], message: str, near: str) -> None:
    with pytest.raises(CallError) as error:
        read(line, TABLE)
    assert error.value.message == message
    assert error.value.values.get("near", "") == near


def test_the_nearest_name_is_offered_only_when_near() -> None:
    assert nearest("undrstand", ["ask", "understand"]) == "understand"
    assert nearest("zzz", ["ask", "understand"]) == ""
