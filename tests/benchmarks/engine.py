"""How fast the engine concludes: 100, 1,000 and 10,000 rules of which the same few are touched, or a tenth fire.

    python tests/benchmarks/engine.py [--rounds 7] [--sizes 100,1000,10000]

Beside it, where they are installed, CLIPS (C, general purpose; `pip install backstay[bench]`) and clingo: the same
rules, the same case, the same conclusions (checked). Engines take turns inside a round and ratios are taken inside a
round, since absolute times on a shared machine move by a factor of two. Each line: median over the rounds, and range.

    conclude     this engine: facts in, findings out, the premises of every rule that fires at hand
    CLIPS        reset, each fact asserted by a call from Python, run
    CLIPS in C   reset with the case as deffacts, run: no Python in between; each rule asserts its reason as well
    clingo       ground and solve from its program
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from random import Random
from statistics import median
from typing import Any

from backstay.knowledge.base import Attribute, Base, ParsedRule
from backstay.knowledge.facts import Fact
from backstay.knowledge.program import compile_program
from backstay.reasoning.engine import conclude

Atom = tuple[str, str]
FACTS = 20  # said in a case
TOUCHED = 60  # rules that the case touches when few are touched


def rules_of(size: int, tenth: bool) -> list[tuple[str, tuple[Atom, ...], Atom]]:
    """(id, conditions, conclusion) of synthetic rules; a third of the conditions that hold were concluded by others."""
    chance = Random(f"{size} {tenth}")
    rules: list[tuple[str, tuple[Atom, ...], Atom]] = []
    hot = size // 10 if tenth else TOUCHED
    for number in range(size):
        conditions: tuple[Atom, ...]
        if number < hot:
            # Both kinds of hot rules are the same at every size. Half of the few touched miss one condition.
            said = [(f"a{(number * 7 + step * 3) % FACTS}", "v0") for step in range(3)]
            if number >= 3 and number % 3 == 0:
                said[0] = (f"d{(number - 1) % 40}", f"x{number - 1}")
            if not tenth and number % 2:
                said[2] = (f"a{number % FACTS}", "never")
            conditions = tuple(said)
        else:
            conditions = tuple((f"a{chance.randrange(FACTS)}", f"w{chance.randrange(size)}") for _ in range(3))
        rules.append((f"r{number:05}", conditions, (f"d{number % 40}", f"x{number}")))
    return rules


CASE: tuple[Atom, ...] = tuple((f"a{number}", "v0") for number in range(FACTS))


class Ours:
    """This engine."""

    name = "conclude"

    def __init__(self, rules: list[tuple[str, tuple[Atom, ...], Atom]]) -> None:
        parsed = [
            ParsedRule(name, ("all", tuple(("is", *one) for one in conditions)), None, (made,), (), (), ("", 0, 0))
            for name, conditions, made in rules
        ]
        attributes: dict[str, Attribute] = {}
        self.base = Base({"program": compile_program(attributes, (), parsed), "rules": {}})
        self.facts = tuple(Fact(attribute, value, "as said") for attribute, value in CASE)

    def run(self) -> Any:
        """One case, with the premises of every firing."""
        findings = conclude(self.base, self.facts)
        return findings, findings.grounds()

    def conclusions(self) -> set[Atom]:
        """What it concluded."""
        return {(one.attribute, str(one.value)) for one in self.run()[0].holdings("concluded")}


class Clips:
    """CLIPS, each fact asserted by a call."""

    name = "CLIPS"
    inside = False

    def __init__(self, rules: list[tuple[str, tuple[Atom, ...], Atom]]) -> None:
        import clips

        self.env = clips.Environment()
        for name, conditions, made in rules:
            tests = " ".join(f"({attribute} {value})" for attribute, value in conditions)
            reason = f"(assert (because {name} {' '.join(part for one in conditions for part in one)}))"
            self.env.build(f"(defrule {name} {tests} => (assert ({' '.join(made)})) {reason if self.inside else ''})")
        self.case = [f"({attribute} {value})" for attribute, value in CASE]
        if self.inside:
            self.env.build(f"(deffacts said {' '.join(self.case)})")

    def run(self) -> None:
        """One case."""
        self.env.reset()
        if not self.inside:
            for fact in self.case:
                self.env.assert_string(fact)
        self.env.run()

    def conclusions(self) -> set[Atom]:
        """What it concluded."""
        self.run()
        facts = (str(fact).strip("()").split() for fact in self.env.facts())
        return {(words[0], words[1]) for words in facts if words[0].startswith("d") and len(words) == 2}


class ClipsInside(Clips):
    """CLIPS without Python between its facts, with a reason asserted by each rule."""

    name = "CLIPS in C"
    inside = True


class Clingo:
    """Clingo, from its program to its answer set."""

    name = "clingo"

    def __init__(self, rules: list[tuple[str, tuple[Atom, ...], Atom]]) -> None:
        lines = [f"f({attribute},{value})." for attribute, value in CASE]
        for _, conditions, made in rules:
            lines.append(f"f({','.join(made)}) :- {', '.join(f'f({a},{v})' for a, v in conditions)}.")
        self.text = "\n".join(lines)
        self.found: set[Atom] = set()

    def run(self) -> None:
        """One case."""
        import clingo

        control = clingo.Control(["--warn=none"])
        control.add("base", [], self.text)
        control.ground([("base", [])])
        with control.solve(yield_=True) as models:
            for model in models:
                atoms = ((str(one.arguments[0]), str(one.arguments[1])) for one in model.symbols(atoms=True))
                self.found = {atom for atom in atoms if atom[0].startswith("d")}

    def conclusions(self) -> set[Atom]:
        """What it concluded."""
        self.run()
        return self.found


def microseconds(run: Callable[[], Any], least: float = 0.05) -> float:
    """The time of one run, over as many as fill `least` seconds."""
    runs = 1
    while True:
        start = time.perf_counter()
        for _ in range(runs):
            run()
        spent = time.perf_counter() - start
        if spent >= least:
            return spent / runs * 1e6
        runs *= 2


def shown(figures: list[float], unit: str = "") -> str:
    """Median and range."""
    places = 2 if unit == "x" else 1
    return f"{median(figures):.{places}f}{unit} ({min(figures):.{places}f}-{max(figures):.{places}f})"


def engines() -> list[type[Any]]:
    """Ours, and what is installed beside it."""
    found: list[type[Any]] = [Ours]
    for name, kinds in (("clips", [Clips, ClipsInside]), ("clingo", [Clingo])):
        try:
            __import__(name)
        except ImportError:
            print(f"{name} is not installed: left out", file=sys.stderr)
        else:
            found += kinds
    return found


def main() -> None:
    """Run the rounds and print the table."""
    options = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    options.add_argument("--rounds", type=int, default=7)
    options.add_argument("--sizes", default="100,1000,10000")
    chosen = options.parse_args()
    sizes = [int(size) for size in chosen.sizes.split(",")]
    kept: dict[bool, dict[int, list[Any]]] = {}
    for tenth in (False, True):
        print("a tenth of all rules fires" if tenth else f"the same {TOUCHED} rules touched", flush=True)
        made = kept[tenth] = {size: [kind(rules_of(size, tenth)) for kind in engines()] for size in sizes}
        for size, group in made.items():
            wanted = group[0].conclusions()
            for other in group[1:]:
                assert other.conclusions() == wanted, f"{other.name} concludes otherwise at {size} rules"
        times: dict[tuple[int, str], list[float]] = {}
        for _ in range(chosen.rounds):
            for size, group in made.items():
                for engine in group:
                    times.setdefault((size, engine.name), []).append(microseconds(engine.run))
        for (size, name), figures in times.items():
            ratios = [one / other for one, other in zip(times[size, Ours.name], figures, strict=True)]
            growth = [one / other for one, other in zip(figures, times[sizes[0], name], strict=True)]
            line = f"{size:6} rules  {name:11} {shown(figures):28} us  grown {shown(growth, 'x'):20}"
            print(line + (f"  ours is {shown(ratios, 'x')} of it" if name != Ours.name else ""), flush=True)
    os._exit(0)  # CLIPS reports what it leaves behind when it is taken down; there is nothing else to take down


if __name__ == "__main__":
    main()
