"""The commands for coaches: new, explain, export, and check with examples, as they are called and as they answer."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from backstay.faces.command import main
from backstay.knowledge.loading import load
from backstay.reference.document import Block, Bullets, Heading, Link, Paragraph, Table
from backstay.reference.html import html
from backstay.reference.markdown import markdown

BASE = load()


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


# --- new -------------------------------------------------------------------------------------------------------------
def test_a_file_is_begun_in_the_club_s_folder(elsewhere: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "exercise", "Sled drag"]) == 0
    said = capsys.readouterr().out
    assert "club/exercises/sled-drag.yaml" in said
    assert "backstay check club" in said
    text = (elsewhere / "club" / "exercises" / "sled-drag.yaml").read_text(encoding="utf-8")
    first, second = text.splitlines()[:2]
    assert first == "# yaml-language-server: $schema=../.schemas/exercises.json"
    assert second.endswith("backstay check club")
    assert (elsewhere / "club" / ".schemas" / "exercises.json").is_file()


def test_inside_a_folder_of_knowledge_that_one_is_meant(elsewhere: Path) -> None:
    (elsewhere / "base.yaml").write_text("format: 1\nname: ours\n", encoding="utf-8")
    assert main(["new", "rule", "ours"]) == 0
    assert (elsewhere / "rules" / "ours.yaml").is_file()


@pytest.mark.parametrize(
    "words, status, said",
    [
        ([], 2, "new what?"),
        (["rule"], 2, "new what?"),
        (["rul", "x"], 2, "Did you mean rule?"),
        (["rule", "../x"], 2, "is no name"),
        (["rule", "a", "b", "c"], 2, "stands in quotes"),
        (["exercise", "bird dog"], 1, "bird-dog is there already"),
    ],
)
def test_a_call_that_cannot_be_is_told_how_to_be(
    capsys: pytest.CaptureFixture[str], words: list[str], status: int, said: str
) -> None:
    assert main(["new", *words]) == status
    assert said in capsys.readouterr().err


def test_the_second_of_a_name_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "rule", "ours"]) == 0
    assert main(["new", "rule", "ours"]) == 1
    assert "nothing is overwritten" in capsys.readouterr().err


# --- explain ---------------------------------------------------------------------------------------------------------
def explained(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main(["explain", "--json", *words]) == 0
    value = json.loads(capsys.readouterr().out)
    assert value["format"] == 1
    entry: dict[str, Any] = value["entries"][0]
    return entry


def test_a_rule_is_explained_from_all_sides(capsys: pytest.CaptureFixture[str]) -> None:
    entry = explained(capsys, "weaker-side-first")
    assert entry["when"] == [[0, "weak-side is known"]]
    assert entry["unless"] == []
    assert entry["over"] == ["away-from-the-turn", "back-leg-first"]
    assert entry["under"] == ["sore-side-last"]
    assert entry["led_to_by"]["weak-side is left"] == ["left-side-weaker"]
    assert entry["place"].startswith("knowledge/rules/sides.yaml:")
    (plainest, *_) = entry["situations"]["plainest"]
    assert plainest["facts"] == [["weak-side", "left"]]
    assert plainest["differs"] == ["doses"]
    assert 0 < entry["situations"]["decides"] <= entry["situations"]["tried"] <= entry["situations"]["fires"]


def test_a_rule_of_screening_decides_a_stop(capsys: pytest.CaptureFixture[str]) -> None:
    entry = explained(capsys, "r12")
    assert entry["room"] == "screening"
    assert [0, "one of these:"] in entry["when"]
    assert entry["effects"] == ["stops all training: to be seen at once"]
    assert all("stop-new" in one["differs"] for one in entry["situations"]["plainest"])
    assert all(one["picks"] == [] != one["without"]["picks"] for one in entry["situations"]["plainest"])


@pytest.mark.parametrize("name", ["bird-dog", "Bird dog", "bird dogs"])
def test_an_exercise_is_found_by_any_of_its_names(capsys: pytest.CaptureFixture[str], name: str) -> None:
    entry = explained(capsys, *name.split())
    assert entry["id"] == "bird-dog"
    assert "bird-dog/refused" in entry["kept_out_by"]
    assert entry["situations"]["decides"] > 0
    assert all("bird-dog" in one["picks"] for one in entry["situations"]["plainest"])


def test_a_source_names_who_cites_it(capsys: pytest.CaptureFixture[str]) -> None:
    entry = explained(capsys, "mcgill-2009-carries")
    assert "weaker-flank-carries-opposite" in entry["cited_by_rules"]
    assert "suitcase-carry" in entry["cited_by_exercises"]


def test_a_message_and_a_code_of_check(capsys: pytest.CaptureFixture[str]) -> None:
    assert "r01" in explained(capsys, "see-clinician")["shown_by"]
    assert explained(capsys, "unknown-rule")["kind"] == "code"


@pytest.mark.parametrize(
    "name, near",
    [("weaker-sid-first", "weaker-side-first"), ("birddgo", "bird-dog"), ("see-clinican", "see-clinician")],
)
def test_the_nearest_name_is_offered(capsys: pytest.CaptureFixture[str], name: str, near: str) -> None:
    assert main(["explain", name]) == 2
    assert f"Did you mean {near}?" in capsys.readouterr().err


@pytest.mark.parametrize(
    "name", ["weaker-side-first", "r12", "bird-dog", "mcgill-2009-carries", "see-clinician", "tab"]
)
def test_every_kind_is_written_for_people(capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert main(["explain", name]) == 0
    text = capsys.readouterr().out
    assert name in text
    assert "{" not in text


def test_every_condition_and_effect_has_words() -> None:
    from backstay.reference.entries import Reference

    reference = Reference(BASE)
    for id_ in reference.rules:
        entry = reference.rule(id_)
        assert all(line.strip() for _, line in (*entry["when"], *entry["unless"]))
        assert len(entry["effects"]) == len(BASE.rules[id_].effects)


# --- export ----------------------------------------------------------------------------------------------------------
class Page(HTMLParser):
    """What a page holds: where it leads, what can be led to, and whether its marks are closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.open: list[str] = []
        self.tags: set[str] = set()
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(str(given["id"]))
        if given.get("href"):
            self.links.append(str(given["href"]))
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


def test_all_of_it_is_a_page_that_needs_nothing_else(elsewhere: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "--html", "all.html", "--markdown", "all.md"]) == 0
    text = (elsewhere / "all.html").read_text(encoding="utf-8")
    page = Page(text)
    assert page.open == []
    assert len(page.ids) == len(set(page.ids))
    assert {link[0] for link in page.links} == {"#"}
    assert {link[1:] for link in page.links} <= set(page.ids)
    assert not page.tags & {"script", "img", "link", "iframe"}
    assert "http" not in re.sub(r"http-equiv", "", text)
    written = (elsewhere / "all.md").read_text(encoding="utf-8")
    for name in (*(one.name for one in BASE.exercises.values()), *BASE.sources):
        assert name in page.text
        assert name.replace("_", "\\_") in written
    for id_, rule in BASE.rules.items():
        if rule.room in ("rules", "screening"):
            assert f"rule-{id_}" in page.ids
            assert f'<a id="rule-{id_}"></a>' in written
            assert rule.because.split(";")[0] in page.text
    anchors = set(re.findall(r'<a id="([^"]+)">', written))
    assert set(re.findall(r"\]\(#([^)]+)\)", written)) <= anchors


def test_heard_words_are_not_shown(elsewhere: Path) -> None:
    """What people type may name a maker; the page shows names only."""
    assert main(["export", "--markdown", "all.md"]) == 0
    written = (elsewhere / "all.md").read_text(encoding="utf-8")
    heard = {word for one in BASE.equipment.values() for word in one.also if word not in one.name}
    assert "ghd" in heard
    assert not re.search(r"\b(ghd|ghr bench|trx)\b", written, re.IGNORECASE)


def test_a_club_s_own_stands_in_it(elsewhere: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rules = elsewhere / "club" / "rules"
    rules.mkdir(parents=True)
    (rules / "ours.yaml").write_text(
        "- {rule: ours, when: {lift: snatch-pull, sensation: tight}, then: {need: {hamstring-length: 2}},\n"
        '   because: "<b>Tight</b> & *long* pulls | [see](x) `y`", source: common-practice}\n',
        encoding="utf-8",
    )
    assert main(["export", "--knowledge", "club", "--html", "all.html", "--markdown", "all.md"]) == 0
    page = (elsewhere / "all.html").read_text(encoding="utf-8")
    assert "&lt;b&gt;Tight&lt;/b&gt; &amp; *long* pulls | [see](x) `y`" in page
    assert r"\<b\>Tight\</b\> &amp; \*long\* pulls \| \[see\](x) \`y\`" in (elsewhere / "all.md").read_text(
        encoding="utf-8"
    )


def test_a_page_is_put_whole_or_not_at_all(
    elsewhere: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (elsewhere / "all.md").write_text("before", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    assert main(["export", "--markdown", "all.md"]) == 1
    assert "all.md cannot be written" in capsys.readouterr().err
    assert [path.name for path in elsewhere.iterdir()] == ["all.md"]
    assert (elsewhere / "all.md").read_text(encoding="utf-8") == "before"


def test_without_an_option_it_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export"]) == 0
    assert capsys.readouterr().out.startswith("# What Backstay knows\n")
    assert main(["export", "x"]) == 2


NASTY = "<script>alert('1')</script> & \"q\" *a* _b_ [c](d) | `e` \\ # f\n- g \x1b[31mred"


def test_no_text_becomes_a_mark_of_either_page() -> None:
    blocks: list[Block] = [
        Heading(1, NASTY), Heading(2, NASTY, "two"), Paragraph(NASTY, NASTY), Paragraph("# no heading"),
        Paragraph("1. no list"),
        Bullets(((0, NASTY), (1, Link(NASTY, "two")), (1, "- x"), (0, "y")), NASTY), Table((NASTY,), ((NASTY,),)),
    ]  # fmt: skip
    page = Page(html(NASTY, NASTY, blocks))
    assert page.open == []
    assert "script" not in page.tags
    assert page.text.count("<script>alert") == 12
    text = markdown(blocks)
    plain = r"""\<script\>alert('1')\</script\> &amp; "q" \*a\* \_b\_ \[c\](d) \| \`e\` \\ # f - g red"""
    assert text.count(plain) == text.count("alert") == 9
    assert [line for line in text.splitlines() if line.startswith("#")] == [f"# {plain}", f"## {plain}"]
    assert "\n\\# no heading\n" in text
    assert "\n1\\. no list\n" in text
    assert "\n  - \\- x\n" in text
