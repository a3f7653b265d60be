"""The narrow YAML: what is read as what, and what is refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge import reading
from backstay.knowledge.reading import Cursor, Document, read_bytes, read_file


@pytest.fixture(params=["C", "Python"], autouse=True)
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML comes with and without its C parser; both must give the same."""
    loader = getattr(yaml, "CSafeLoader", None) if request.param == "C" else yaml.SafeLoader
    if loader is not None:
        monkeypatch.setattr(reading, "_LOADER", loader)


def read(text: str | bytes) -> Document:
    return read_bytes(text.encode() if isinstance(text, str) else text, "f.yaml")


def codes(text: str | bytes) -> list[tuple[int, int, str]]:
    return [(problem.line, problem.column, problem.code) for problem in read(text).problems]


@pytest.mark.parametrize(
    "written, meant",
    [
        ("no", "no"),
        ("yes", "yes"),
        ("on", "on"),
        ("off", "off"),
        ("True", "True"),
        ("true", True),
        ("false", False),
        ("1:30", "1:30"),
        ("3:1:1", "3:1:1"),
        ("010", "010"),
        ("0o10", "0o10"),
        ("0x1f", "0x1f"),
        ("1e3", "1e3"),
        ("1_000", "1_000"),
        (".5", ".5"),
        ("+5", "+5"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ("2026-05-01", "2026-05-01"),
        ("2026-05-01 10:00:00", "2026-05-01 10:00:00"),
        ("7", 7),
        ("-3", -3),
        ("0", 0),
        ("2.5", 2.5),
        ("-0.25", -0.25),
        ("'7'", "7"),
        ('"true"', "true"),
        ("''", ""),
        ("null and void", "null and void"),
        ("20 kg", "20 kg"),
        ("9999999999999999999", "9999999999999999999"),
    ],
)
def test_a_plain_value_is_what_it_looks_like(written: str, meant: Any) -> None:
    document = read(f"a: {written}\n")
    assert document.problems == ()
    assert document.value == {"a": meant}
    assert type(document.value["a"]) is type(meant)


@pytest.mark.parametrize("key", ["no", "1", "010", "2026-05-01", "true", "1:30"])
def test_keys_are_text(key: str) -> None:
    assert read(f"{key}: x\n").value == {key: "x"}


@pytest.mark.parametrize(
    "text, expected",
    [
        ("a: ~\n", (1, 4, "nothing-there")),
        ("a: null\n", (1, 4, "nothing-there")),
        ("- \n- b\n", (1, 2, "nothing-there")),
        ("a: 1\nb: 2\na: 3\n", (3, 1, "duplicate-key")),
        ("- {a: 1, a: 2}\n", (1, 10, "duplicate-key")),
        ("a: &x 1\n", (1, 4, "anchor")),
        ("a: *x\n", (1, 4, "alias")),
        ("<<: {a: 1}\n", (1, 1, "merge-key")),
        ("a: !thing b\n", (1, 4, "tag")),
        ("a: !!int 3\n", (1, 4, "tag")),
        ("a:\n\tb: 1\n", (2, 1, "tab")),
        ("a:\n  - b\n \t- c\n", (3, 2, "tab")),
        ("? [a]\n: b\n", (1, 3, "key-not-text")),
        ("? ~\n: b\n", (1, 3, "nothing-there")),
        ("a: 1\n\t# b\n", (2, 1, "tab")),
        ("a: 1\n  \t\n", (2, 3, "tab")),
        ("a: 1\n---\nb: 2\n", (2, 1, "several-documents")),
        ("", (0, 0, "file-empty")),
        ("# only this\n", (0, 0, "file-empty")),
        ("a: 1\n".encode("utf-16"), (1, 1, "not-utf-8")),
        ("a: 1\nb: Rückenstrecker\n".encode("latin-1"), (2, 5, "not-utf-8")),
        (b"\x00\x01\x02\xff", (1, 4, "not-utf-8")),
    ],
)
def test_what_is_refused_and_where(text: str | bytes, expected: tuple[int, int, str]) -> None:
    assert codes(text) == [expected]


@pytest.mark.parametrize(
    "text, words",
    [
        ("because: one thing: the back\n", "quotes"),
        ("a: [b, c\n", "not closed"),
        ("a: {b: c\n", "not closed"),
        ("a: @home\n", "quotes"),
        ("a: 'open\n", "closed"),
        ("a: b\n c: d\n", "indentation"),
        ('a: "\\q"\n', "single quotes"),
        ("a: b\x07c\n", "cannot be seen"),
    ],
)
def test_what_is_no_yaml_comes_with_a_hint(text: str, words: str) -> None:
    (problem,) = read(text).problems
    assert problem.code == "yaml"
    assert problem.line >= 1
    assert words in problem.next


def test_a_mark_at_the_beginning_of_the_file_is_passed_over() -> None:
    assert read(b"\xef\xbb\xbfa: 1\n").value == {"a": 1}


def test_windows_line_ends() -> None:
    assert read(b"a: 1\r\nb: 2\r\n").value == {"a": 1, "b": 2}


def test_tabs_inside_a_text_or_a_comment_are_left_alone() -> None:
    assert read('a: "b\tc"\n  \nd: e # an\tother\n').value == {"a": "b\tc", "d": "e"}


def test_a_comma_that_cuts_a_text_is_told_once() -> None:
    assert codes("- {because: It bends, and it hurts, because: no}\n") == [
        (1, 23, "text-cut"),
        (1, 37, "duplicate-key"),
    ]


def test_all_problems_of_a_file_in_one_reading() -> None:
    text = "a: ~\nb: &x 1\nc: *x\nd: !!str 2\na: 1\n"
    assert [code for _, _, code in codes(text)] == ["nothing-there", "anchor", "alias", "tag", "duplicate-key"]


def test_problems_without_end_come_to_an_end() -> None:
    found = read("".join(f"a{i}: ~\n" for i in range(1000))).problems
    assert len(found) == reading.MOST_PROBLEMS + 1
    assert found[-1].code == "too-many-problems"


def test_depth_has_a_bound() -> None:
    assert codes("[" * 30 + "]" * 30) == [(1, reading.MOST_DEPTH + 1, "too-deep")]
    assert codes("[" * 100_000)[0][2] in ("too-deep", "yaml")
    assert codes("".join("  " * i + f"a{i}:\n" for i in range(40)) + "  " * 40 + "b: c\n")[0][2] == "too-deep"


def test_size_and_number_have_a_bound() -> None:
    assert codes(b"#" * (reading.MOST_BYTES + 1)) == [(0, 0, "file-too-big")]


def test_many_values_have_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "MOST_NODES", 50)
    assert codes("[" + "a, " * 60 + "a]\n")[0][2] == "too-many-nodes"


def test_a_million_aliases_do_no_harm() -> None:
    layers = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    layers += [f"a{i}: &a{i} [" + ", ".join([f"*a{i - 1}"] * 9) + "]" for i in range(1, 30)]
    found = read("\n".join(layers) + "\n")
    assert found.problems[-1].code == "too-many-problems"


def test_a_file_that_cannot_be_opened(tmp_path: Path) -> None:
    (problem,) = read_file(str(tmp_path / "none.yaml"), "none.yaml").problems
    assert (problem.file, problem.code) == ("none.yaml", "file-unreadable")


TEXT = """\
- rule: a
  when: {pain: present, fault: [twists, rounds]}
- rule: b
  then:
    need: {x: 1}
"""


@pytest.mark.parametrize(
    "path, place",
    [
        ((), (1, 1)),
        ((0,), (1, 3)),
        ((0, "rule"), (1, 9)),
        ((0, "when", "fault", 1), (2, 41)),
        ((1, "then", "need", "x"), (5, 15)),
        ((1, "then", "need", "y"), (5, 11)),
        ((1, "nowhere", "else"), (3, 3)),
    ],
)
def test_the_place_of_a_path_or_of_the_nearest_above_it(path: tuple[str | int, ...], place: tuple[int, int]) -> None:
    marks = read(TEXT).marks.find(path)
    assert (marks.line, marks.column) == place


def test_the_place_of_a_key() -> None:
    marks = read(TEXT).marks
    assert marks.place_of_key((0, "when", "fault")) == (2, 25)
    assert marks.place_of_key((0, "when", "falt")) == (2, 9)


def test_columns_count_letters_not_bytes() -> None:
    assert read("- {ä: ü, b: 1}\n").marks.place_of_key((0, "b")) == (1, 10)


def test_a_cursor_says_nothing_where_nothing_was_read() -> None:
    document = read("a:\n")
    cursor = Cursor(document.file, document.value, document.marks, [])
    cursor.at("a").error("x", "y")
    assert cursor.notes == []


PLAIN = st.recursive(
    st.one_of(
        st.booleans(),
        st.integers(-(10**9), 10**9),
        st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"])),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text("abcdefgh-", min_size=1), inner, max_size=4)
    ),
    max_leaves=12,
)


@settings(deadline=None)
@given(PLAIN)
def test_what_a_writer_of_yaml_writes_is_read_back(value: Any) -> None:
    text = yaml.safe_dump([value], allow_unicode=True, width=10_000)
    document = read(text)
    assert document.problems == () or "&" in text
    if document.problems == ():
        assert document.value == [value]


@settings(deadline=None)
@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(raw: bytes) -> None:
    document = read(raw)
    assert document.problems or document.value is not None


@settings(deadline=None)
@given(st.text("ab:-[]{},&*!|>'\"#%@`? \n\t~", max_size=60))
def test_no_text_breaks_the_reader(text: str) -> None:
    document = read(text)
    assert document.problems or document.value is not None
