"""The walk over the net finds what reading each form by itself would find, and equal parts of the net are kept once."""

from __future__ import annotations

import itertools
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge.automaton import compile_phrases
from backstay.knowledge.forms import Tree, form_tree
from backstay.language.cleaning import COMMA, NONE, SENTENCE, Words, clean
from backstay.language.matching import Automaton, Unpacked

LETTERS = "abc"
Grammar = list[list[str]]


def built(grammar: Grammar) -> Automaton:
    entries = [{"idea": f"idea-{number}", "forms": forms} for number, forms in enumerate(grammar)]
    data, faults = compile_phrases(entries, {})
    assert faults == []
    return Automaton(data)


@st.composite
def grammars(draw: st.DrawFn) -> Grammar:
    """Ideas of a few forms each; a form may use the ideas before it."""
    grammar: Grammar = []
    letter = st.sampled_from(LETTERS)
    for number in range(draw(st.integers(1, 4))):
        word = letter
        if number:
            word = st.one_of(letter, st.sampled_from([f"{{idea-{earlier}}}" for earlier in range(number)]))
        choice = st.lists(word, min_size=1, max_size=3).map(lambda words: f"({'|'.join(words)})")
        maybe = st.lists(word, min_size=1, max_size=2).map(lambda words: f"[{' '.join(words)}]")
        # A comma or a gap stands between two words that may not be left out.
        between = st.sampled_from(["", "", "", ",", "{gap 1}", "{gap 2}"])
        forms = []
        for _ in range(draw(st.integers(1, 3))):
            form = draw(st.one_of(word, choice))
            for _ in range(draw(st.integers(0, 3))):
                form += f" {draw(between)} {draw(st.one_of(word, choice))}" if draw(st.booleans()) else ""
                form += f" {draw(maybe)} {draw(letter)}" if draw(st.booleans()) else ""
            forms.append(f"{draw(maybe)} {form}" if draw(st.booleans()) else form)
        grammar.append(forms)
    return grammar


messages = st.lists(st.sampled_from([*LETTERS, *LETTERS, *LETTERS, "x", ",", "."]), max_size=8).map(" ".join)


def expanded(tree: Tree) -> list[tuple[Any, ...]]:
    """Every run of steps that a form stands for, written out."""
    choices = [
        [run for one in part[1] for run in expanded(one)] if isinstance(part, tuple) and part[0] == "|" else [(part,)]
        for part in tree.parts
    ]
    return [tuple(itertools.chain.from_iterable(runs)) for runs in itertools.product(*choices)]


def ends(words: Words, grammar: Grammar, steps: tuple[Any, ...], at: int, pause: int = SENTENCE) -> set[int]:
    """Where a run of steps that begins at a word can end; `pause` is the longest break that may stand before it."""
    if not steps:
        return {at}
    step, rest = steps[0], steps[1:]
    if step == (",",):
        return ends(words, grammar, rest, at, COMMA)
    if isinstance(step, tuple) and step[0] == "~":
        found: set[int] = set()
        for stop in range(at, at + step[1] + 1):
            if stop >= len(words) or words.breaks[stop] == SENTENCE:
                break
            found |= ends(words, grammar, rest, stop, COMMA)
        return found
    if at >= len(words) or words.breaks[at] > pause:
        return set()
    if isinstance(step, str):
        after = {at + 1} if words.words[at] == step else set()
    else:
        after = {stop for _, stop in read(words, grammar, int(step[1].removeprefix("idea-")), at)}
    return {end for stop in after for end in ends(words, grammar, rest, stop, NONE)}


def read(words: Words, grammar: Grammar, idea: int, at: int) -> set[tuple[int, int]]:
    """(idea, end) for each way to read an idea from a word on."""
    runs = [run for form in grammar[idea] for run in expanded(form_tree(form))]
    return {(idea, end) for run in runs for end in ends(words, grammar, run, at)}


@settings(max_examples=300, deadline=None)
@given(grammars(), messages)
def test_the_walk_finds_what_each_form_by_itself_would(grammar: Grammar, message: str) -> None:
    words = clean(message, {})
    found = built(grammar).spans(words, [None] * (len(words) + 1))
    everywhere = {
        (at, end, entry)
        for at in range(len(words))
        for idea in range(len(grammar))
        for entry, end in read(words, grammar, idea, at)
    }
    assert {(span.start, span.end, span.entry) for span in found} == everywhere


def places(forms: list[str]) -> set[int]:
    """The places of all nodes that can be reached."""
    data, _ = compile_phrases([{"idea": "idea", "forms": forms}], {})
    nodes = Unpacked(data["packed"])
    waiting = list(data["first"].values())
    found: set[int] = set()
    while waiting:
        place = waiting.pop()
        if place not in found:
            found.add(place)
            waiting += [to for label, to in nodes[place].items() if label != ""]
    return found


def test_parts_of_forms_that_end_alike_are_kept_once() -> None:
    start, middle = ("(" + "|".join(two + letter for letter in "abcdefghij") + ")" for two in ("xy", "uv"))
    together = places([f"{start} {middle} [really] end"])
    # one by first letters, and one after each word; written out they would be some hundreds
    assert len(together) == 5
    apart = places([f"{one} {middle} [really] end" for one in start[1:-1].split("|")])
    assert len(apart) == len(together)
