"""Loads: laws as a table, and what holds for any figure, any set of discs and any bar."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import combinations_with_replacement
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from backstay.assistant import Assistant
from backstay.coaching import iron
from backstay.coaching.dose import fix_dose
from backstay.coaching.effects import resolve
from backstay.coaching.load import Load, with_loads
from backstay.coaching.picks import Pick
from backstay.knowledge.base import Iron
from backstay.reply.loads import told, weight
from backstay.reply.words import Words

from .builders import Findings, base, exercise, rule

TABLE = yaml.safe_load((Path(__file__).parent / "loads.yaml").read_text(encoding="utf-8"))
DISCS = (25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 2.0, 1.5, 1.0, 0.5)
OF_THE_CLEAN = ({"with": ("barbell",), "of": "best.clean", "percent": (60, 85)},)


def _iron(name: str, of: str, part: str, *kg: float, usual: bool = False) -> Iron:
    return Iron(name, name, of, part, kg, usual, ("common-practice",), "")


IRON = {
    one.iron: one
    for one in (
        _iron("collar", "barbell", "collar", 2.5),
        _iron("discs", "plates", "disc", *DISCS),
        _iron("dumbbells", "dumbbells", "single", *(2.5 * step for step in range(1, 21))),
        _iron("kettlebells", "kettlebells", "single", *(4.0 * step for step in range(1, 13))),
        _iron("mens-bar", "barbell", "bar", 20.0, usual=True),
        _iron("womens-bar", "barbell", "bar", 15.0),
    )
}


def load_of(law: dict[str, Any]) -> Load | None:
    ways = law.get("ways", [["barbell", "plates"]])
    kit = {one for way in ways for one in way} - set(law.get("lacks", ()))
    dose = {"load-from": law.get("from", OF_THE_CLEAN)}
    of = exercise("a", ways=tuple({"with": tuple(way)} for way in ways), dose=dose)
    effects = [(name, ("dose", ("a",), *change)) for name, change in law.get("changes", {}).items()]
    facts = {"at-hand": sorted(kit), **law.get("facts", {})}
    made = base([of], [rule(name) for name, _ in effects])
    made.iron = IRON
    resolved = resolve(made, Findings(effects))
    fixed = fix_dose(of, resolved)
    assert fixed is not None
    pick = Pick("a", fixed, fixed.minutes, (), None, law.get("way", 1), ())
    (after,) = with_loads(made, Findings(effects, facts), resolved, [pick])
    if after.dose.weight is not None:
        assert set(after.dose.weight.rules) <= set(after.because)
    return after.dose.weight


def _plain(value: Any) -> Any:
    return [_plain(one) for one in value] if isinstance(value, (list, tuple)) else value


@pytest.mark.parametrize("law", TABLE, ids=lambda law: law["law"])
def test_law(law: dict[str, Any]) -> None:
    load = load_of(law)
    if law["gives"] is None:
        assert load is None
    else:
        assert load is not None
        given = load._asdict()
        assert {name: _plain(given[name]) for name in law["gives"]} == {
            name: pytest.approx(figure) if name == "most" else figure for name, figure in law["gives"].items()
        }


SETS_OF_DISCS = st.sets(st.sampled_from([0.25, 0.5, 1, 1.25, 1.5, 2, 2.5, 3.75, 5, 7, 10, 15, 20, 25]), max_size=6)
QUARTERS = st.integers(0, 240).map(lambda quarters: quarters / 4)


@given(SETS_OF_DISCS, QUARTERS)
def test_discs_on_a_side_weigh_what_was_asked_or_no_discs_do(discs: set[float], kg: float) -> None:
    side = iron.side(sorted(discs), kg)
    if side is not None:
        assert sum(map(Fraction, side)) == Fraction(kg)
        assert set(side) <= discs
        assert list(side) == sorted(side, reverse=True)
        assert iron.most_on_side(sorted(discs), kg) == kg
    else:
        assert iron.most_on_side(sorted(discs), kg) < kg


@given(SETS_OF_DISCS, st.integers(0, 80).map(lambda quarters: quarters / 4))
def test_the_fewest_discs_are_taken_and_the_heaviest_first(discs: set[float], kg: float) -> None:
    every = [
        tuple(sorted(some, reverse=True))
        for count in range(5)
        for some in combinations_with_replacement(sorted(discs), count)
        if sum(some) == kg
    ]
    side = iron.side(sorted(discs), kg)
    if every:
        fewest = min(map(len, every))
        assert side == max(some for some in every if len(some) == fewest)
    else:
        assert side is None or len(side) > 4


@given(st.sampled_from([10.0, 15.0, 20.0]), SETS_OF_DISCS, st.floats(0, 150), st.sampled_from([0.0, 2.5]))
def test_a_bar_carries_no_more_than_asked_and_nothing_between(
    bar: float, discs: set[float], kg: float, collar: float
) -> None:
    made = iron.on_bar(bar, sorted(discs), kg, collar)
    if made is None:
        assert kg < bar + 2 * collar
        return
    assert bar + 2 * collar <= made <= kg + 0.001
    side = (made - bar) / 2 - collar
    assert iron.side(sorted(discs), side) is not None
    above = side + 0.25
    while bar + 2 * (above + collar) <= kg:
        assert iron.side(sorted(discs), above) is None
        above += 0.25


SHARES = st.tuples(st.integers(1, 120), st.integers(1, 120)).map(sorted)
BESTS = st.floats(10, 250)
ALL_WAYS = {"barbell": ["barbell", "plates"], "dumbbells": ["dumbbells"], "kettlebells": ["kettlebells"]}


def _asked(kit: str, best: float, share: list[int], reach: float = 1, times: float = 1) -> Load:
    changes = {"one": ["reach", "at-most", reach], "two": ["load", "times", times]}
    entry = {"with": (kit,), "of": "best.clean", "percent": tuple(share)}
    load = load_of({"ways": [ALL_WAYS[kit]], "from": (entry,), "facts": {"best.clean": best}, "changes": changes})
    assert load is not None
    return load


@given(st.sampled_from(sorted(ALL_WAYS)), BESTS, SHARES, st.sampled_from([0, 0.5, 1]), st.sampled_from([0.5, 0.6, 1]))
def test_no_load_is_above_its_upper_end_and_iron_makes_it(
    kit: str, best: float, share: list[int], reach: float, times: float
) -> None:
    load = _asked(kit, best, share, reach, times)
    top = best * times * (share[0] + (share[1] - share[0]) * reach) / 100
    assert load.most == pytest.approx(top)
    if load.kg is None:
        assert top < min(IRON["womens-bar"].kg if kit == "barbell" else IRON[kit].kg)
        return
    low, high = load.kg
    assert 0 < low <= high <= top + 0.001
    if load.bar:
        for end, side in zip(load.kg, load.sides, strict=True):
            assert IRON[load.bar].kg[0] + 2 * sum(side) == end
            assert set(side) <= set(DISCS)
    else:
        assert {low, high} <= set(IRON[kit].kg)


@given(st.sampled_from(sorted(ALL_WAYS)), st.lists(BESTS, min_size=2, max_size=2).map(sorted), SHARES)
def test_a_better_best_never_means_less(kit: str, bests: list[float], share: list[int]) -> None:
    less, more = (_asked(kit, best, share).kg for best in bests)
    if less is not None:
        assert more is not None
        assert less[0] <= more[0]
        assert less[1] <= more[1]


@given(BESTS, SHARES, st.sampled_from([0, 0.5]), st.sampled_from([0.5, 0.6]))
def test_care_never_means_more(best: float, share: list[int], reach: float, times: float) -> None:
    usual = _asked("barbell", best, share).kg
    careful = _asked("barbell", best, share, reach, times).kg
    if careful is not None:
        assert usual is not None
        assert careful[0] <= usual[0]
        assert careful[1] <= usual[1]


@pytest.mark.parametrize("kg, shown", [(66.0, "66"), (2.5, "2.5"), (1.25, "1.25"), (13.6, "13.6"), (0.5, "0.5")])
def test_weights_are_written_to_the_hundredth(kg: float, shown: str) -> None:
    assert weight(kg) == shown


def test_a_load_below_all_iron_is_told_in_words() -> None:
    words = Words(Assistant().base)
    bare = Load("barbell", None, 13.6, bar="womens-bar")
    assert "13.6 kg" in told(words, "The empty bar first.", bare, pounds=False)
    assert "empty bar" in told(words, "Light.", bare, pounds=False)
    assert "kettlebells" in told(words, "Light.", Load("kettlebells", None, 3), pounds=False)
    assert told(words, "Light.", None, pounds=False) == "Light."


ANSWERS = (
    ("sets and reps for Romanian deadlifts, my best clean is 110 kg, eight weeks out", (66, 93), "66 to 93 kg"),
    ("dose of Romanian deadlifts in pounds, my best clean is 110 kg, eight weeks out", (66, 93), "145 to 205 lb"),
    ("I am 17, suitcase carry, how many sets, I weigh 70 kg, eight weeks out", (10, 10), "10 kg"),
)


@lru_cache(maxsize=1)
def assistant() -> Assistant:
    return Assistant()


@pytest.mark.parametrize("message, kg, shown", ANSWERS)
def test_an_answer_shows_the_load(message: str, kg: tuple[float, float], shown: str) -> None:
    reply = assistant().answer(message)
    dose = reply.as_json()["picks"][0]["dose"]
    assert dose["load_kg"] == list(kg)
    assert shown in dose["load"]
    assert shown in " ".join(reply.text.split())


def test_an_answer_shows_with_how_many_repetitions_to_begin() -> None:
    reply = assistant().answer("how many sets and reps of back extensions for endurance")
    dose = reply.as_json()["picks"][0]["dose"]
    assert dose["reps"] == [30, 50]
    assert dose["first_sessions"] == {"sessions": 2, "reps": [15, 25]}
    assert "first 2 sessions 15 to 25 a set" in " ".join(reply.text.split())
