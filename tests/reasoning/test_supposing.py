"""Supposing runs again only what an answer can reach, and finds what a whole run with the answer finds."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backstay.knowledge.facts import Fact
from backstay.reasoning.answers import answers, possible
from backstay.reasoning.engine import conclude
from backstay.reasoning.supposing import Suppositions
from reasoning import wild
from reasoning.test_least_model import stratified
from reasoning.test_order import told
from reasoning.worlds import base_of, facts_of, rule, when

RULES = (
    rule("muddy", when(soil="wet"), conclude=[("tools", "spade")]),
    rule("usual-soil", assume=[("soil", "dry")]),
    rule("watered", when(soil="dry"), unless=when(season="winter"), conclude=[("tools", "can")]),
    rule("tall", when(height="at-least 3")),
    rule("many-tools", when(tools="count at-least 2")),
    rule("aside", when(pests="snails")),
)


def test_what_is_supposed_silences_and_fires_rules() -> None:
    base = base_of(RULES)
    (dry, wet) = Suppositions(base, conclude(base, ())).of(possible(base, "soil"))
    assert (dry.value, *dry.silenced, *dry.fired) == ("dry",)
    assert (wet.value, *wet.silenced, *wet.fired) == ("wet", "watered", "muddy")
    assert wet.changed == {"soil", "tools"}
    assert wet.findings.values("tools") == ("spade",)


def test_a_supposed_figure_stands_for_its_stretch() -> None:
    base = base_of(RULES)
    low, high = Suppositions(base, conclude(base, ())).of(possible(base, "height"))
    assert (low.value, *low.fired, high.value, *high.fired) == (2, 3, "tall")


def test_a_count_is_taken_anew() -> None:
    base = base_of((*RULES, rule("rake", when(pests="snails"), conclude=[("tools", "rake")])))
    (snails,) = Suppositions(base, conclude(base, facts_of(("soil", "dry")))).of(possible(base, "pests"))
    assert snails.fired == {"aside", "rake", "many-tools"}


@pytest.mark.parametrize("attribute, parts", [("yield", ("yield.east", "yield.west")), ("height", ("height",))])
def test_a_map_is_answered_by_its_parts(attribute: str, parts: tuple[str, ...]) -> None:
    rules = [rule(f"r-{part}", ("number", part, "at-least", 3.0)) for part in parts]
    base = base_of(rules)
    assert possible(base, attribute) == tuple((part, value) for part in parts for value in answers(base, part))


def test_nothing_is_supposed_without_answers() -> None:
    base = base_of(RULES)
    assert Suppositions(base, conclude(base, ())).of(()) == ()


@given(st.integers(0, 10**9))
@settings(max_examples=200, deadline=None)
def test_it_is_as_if_all_was_run(seed: int) -> None:
    chance = Random(seed)
    base = base_of(stratified(chance), wild.measures(chance), wild.WILD)
    said = facts_of(*wild.case(chance))
    before = conclude(base, said)
    suppositions = Suppositions(base, before)
    for attribute in wild.WILD:
        if attribute in before.said:
            continue
        for one in suppositions.of(possible(base, attribute)):
            whole = conclude(base, (*said, Fact(one.attribute, one.value)))
            assert told(one.findings) == told(whole)
            assert one.fired == set(whole.fired) - set(before.fired)
            assert one.silenced == set(before.fired) - set(whole.fired)
            names = {holding.attribute for found in (before, whole) for holding in found.holdings()}
            assert one.changed >= {name for name in names if before.values(name) != whole.values(name)}
