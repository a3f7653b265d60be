"""Fit the tendencies of wants to the labelled messages: `python tests/benchmarks/fit_tendencies.py [SET.yaml ...]`.

Writes knowledge/phrases/tendencies.yaml from the project's own labelled messages and from any further sets named.
With `--without NAME` the tables whose file name holds NAME are left out, scored afterwards, and nothing is written.
A linear model with one weight for each want and feature (softmax, steps scaled by their history, small weights
dropped); run it after the phrases have changed much, then the language tests.
"""

from __future__ import annotations

import argparse
import datetime
import json
import math
import random
from pathlib import Path
from typing import Any

import yaml

from backstay.knowledge.loading import load
from backstay.language.matching import Automaton
from backstay.language.reading import understand
from backstay.language.scene import take_apart
from backstay.language.tendencies import features
from backstay.language.wants import seen

ROOT = Path(__file__).resolve().parents[2]
TABLES = ROOT / "tests" / "language"
WHERE = ROOT / "knowledge" / "phrases" / "tendencies.yaml"
TODAY = datetime.date(2026, 11, 25)
ROUNDS, STEP, PULL, LEAST, RARE = 20, 0.35, 1e-3, 0.15, 2
HEAD = """# How much each word, family and shape speaks for a want: fitted to the labelled messages of the tests by
# tests/benchmarks/fit_tendencies.py. Not written by hand; to teach a want, add labelled messages and fit again.
"""
Row = tuple[str, datetime.date, str]


def tables(extra: list[str]) -> dict[str, list[Row]]:
    """The labelled messages by file, each once; not those of batches that nothing has been learned from yet."""
    log = yaml.safe_load((TABLES / "first-contact.yaml").read_text(encoding="utf-8"))
    unlearned = {batch["batch"] for batch in log if not batch["learned"]}
    paths = [
        *sorted(TABLES.glob("wants-*.yaml")),
        *sorted((TABLES / "messages").glob("*.yaml")),
        *(path for path in sorted((TABLES / "first-contact").glob("understand-*.yaml")) if path.stem not in unlearned),
        *map(Path, extra),
    ]
    known: set[str] = set()
    found: dict[str, list[Row]] = {}
    for path in paths:
        rows = found.setdefault(path.name, [])
        for case in yaml.safe_load(path.read_text(encoding="utf-8")):
            say = case.get("say") or case.get("text")
            want = (case.get("expect") or case).get("want")
            if say and want and say not in known:
                known.add(say)
                rows.append((say, datetime.date.fromisoformat(str(case.get("today", TODAY))), want))
    return found


def fitted(examples: list[tuple[list[str], str]], wants: list[str]) -> dict[str, dict[str, float]]:
    """The weights: feature -> want -> weight."""
    counts: dict[str, int] = {}
    for names, _ in examples:
        for name in names:
            counts[name] = counts.get(name, 0) + 1
    place = {name: number for number, name in enumerate(name for name, times in counts.items() if times >= RARE)}
    kinds = range(len(wants))
    weights = [[0.0] * len(wants) for _ in place]
    history = [[1e-6] * len(wants) for _ in place]
    rows = [([place[name] for name in names if name in place], wants.index(want)) for names, want in examples]
    chance = random.Random(7)
    for turn in range(ROUNDS):
        chance.shuffle(rows)
        step = STEP / (1 + turn / 12)
        for row, right in rows:
            sums = [sum(weights[at][kind] for at in row) for kind in kinds]
            top = max(sums)
            powers = [math.exp(one - top) for one in sums]
            whole = sum(powers)
            for kind in kinds:
                slope = powers[kind] / whole - (kind == right)
                if abs(slope) < 1e-4:
                    continue
                for at in row:
                    push = slope + PULL * weights[at][kind]
                    history[at][kind] += push * push
                    weights[at][kind] -= step * push / math.sqrt(history[at][kind] + 1)
    return {
        name: {want: round(weights[at][kind], 2) for kind, want in enumerate(wants) if abs(weights[at][kind]) >= LEAST}
        for name, at in place.items()
    }


def main() -> None:
    """Fit, and write or score."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("sets", nargs="*")
    arguments.add_argument("--without", action="append", default=[])
    options = arguments.parse_args()
    base = load()
    net = Automaton(base.automaton)
    found = tables(options.sets)

    def features_of(say: str, day: datetime.date) -> list[str]:
        scene = take_apart(net, say, day)
        return sorted(features(scene, seen(scene)))

    held = {name: rows for name, rows in found.items() if any(part in name for part in options.without)}
    rows = [row for name, every in found.items() if name not in held for row in every]
    wants = sorted({want for _, _, want in rows})
    weights = fitted([(features_of(say, day), want) for say, day, want in rows], wants)
    print(len(rows), "messages", len(weights), "features", sum(map(len, weights.values())), "weights")
    if held:
        tendencies = {name: tuple(every.items()) for name, every in weights.items()}
        base.automaton["tendencies"] = tendencies
        for name, every in held.items():
            alone = both = 0
            for say, day, want in every:
                sums: dict[str, float] = {}
                for feature in features_of(say, day):
                    for one, weight in tendencies.get(feature, ()):
                        sums[one] = sums.get(one, 0.0) + weight
                alone += max(sums, key=lambda one: sums[one], default="") == want
                both += understand(base, say, day).want == want
            print(f"{name}: alone {alone / len(every):.3f}, with cues and leans {both / len(every):.3f}")
        return
    write(weights, wants)


def write(weights: dict[str, dict[str, float]], wants: list[str]) -> None:
    """One entry for each want, with its features in three lists."""
    lines = [HEAD.rstrip()]
    for want in wants:
        own: dict[str, list[tuple[str, Any]]] = {"seen": [], "word": [], "last": []}
        for name, every in weights.items():
            if want in every:
                kind, _, rest = name.partition(" ")
                own[kind].append((rest, every[want]))
        lines.append(f"- tendency: {want}")
        for kind, title in (("seen", "seen"), ("word", "words"), ("last", "last")):
            lines.append(f"  {title}: {{")
            line = "   "
            for rest, weight in sorted(own[kind]):
                piece = f" {json.dumps(rest, ensure_ascii=False)}: {weight:g},"
                if len(line) + len(piece) > 118:
                    lines.append(line)
                    line = "   "
                line += piece
            lines += [line, "  }"]
    WHERE.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
