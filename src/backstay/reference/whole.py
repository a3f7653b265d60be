"""Whole: all of the knowledge as one document: screening, exercises, rules, equipment, season, sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from backstay import __version__
from backstay.knowledge.base import Base, RuleInfo
from backstay.reference.document import Block, Bullets, Heading, Inline, Link, Paragraph, Table, joined
from backstay.reference.entries import Entry, Reference
from backstay.reply import dosage
from backstay.reply.words import capital

SCREENING, RULES = "screening", "rules"


def whole(base: Base) -> list[Block]:
    """Return the document."""
    return list(_Whole(base).blocks())


class _Whole:
    def __init__(self, base: Base) -> None:
        self.base = base
        self.reference = Reference(base)
        self.wording = self.reference.wording
        self.words = self.wording.words

    def blocks(self) -> Iterator[Block]:
        say = self.words.say
        base = self.base
        yield Heading(1, say("export-title"))
        written = [info for info in base.rules.values() if info.room in (SCREENING, RULES)]
        counts = {
            "exercises": len(base.exercises),
            "rules": sum(info.room == RULES for info in written),
            "screening": sum(info.room == SCREENING for info in written),
            "sources": len(base.sources),
        }
        yield Paragraph(say("export-about", version=__version__, **counts))
        yield Paragraph(say("export-caution"))
        yield from self._rules(SCREENING)
        yield from self._exercises()
        yield from self._rules(RULES)
        yield from self._trained()
        yield from self._kit()
        yield from self._season()
        yield from self._sources()

    def _rules(self, room: str) -> Iterator[Block]:
        yield Heading(2, self.words.say(f"export-{room}"), room)
        yield Paragraph(self.words.say(f"export-{room}-about"))
        files: dict[str, list[RuleInfo]] = {}
        for info in self.base.rules.values():
            if info.room == room:
                files.setdefault(info.place[0], []).append(info)
        for file in sorted(files):
            stem = file.rpartition("/")[2].removesuffix(".yaml")
            yield Heading(
                3, capital(stem.replace("-", " ")), f"{room}-{'-'.join(file.removesuffix('.yaml').split('/'))}"
            )
            for info in sorted(files[file], key=lambda info: info.place):
                yield from self._rule(self.reference.rule(info.id))

    def _rule(self, entry: Entry) -> Iterator[Block]:
        say = self.words.say
        yield Heading(4, entry["id"], _rule_anchor(entry["id"]))
        yield Paragraph(entry["because"])
        yield from self._outline("explain-when", entry["when"])
        yield from self._outline("explain-unless", entry["unless"])
        then = [*(say("export-concludes", fact=fact) for fact in entry["concludes"])]
        then += [say("export-assumes", fact=fact) for fact in entry["assumes"]]
        yield from self._outline("explain-does", [(0, line) for line in (*then, *entry["effects"])])
        over = [Link(name, _rule_anchor(name)) if self._written(name) else name for name in entry["over"]]
        if over:
            yield Paragraph(joined(over), say("explain-over"))
        yield self._cited(source["id"] for source in entry["sources"])

    def _written(self, rule: str) -> bool:
        return rule in self.base.rules and self.base.rules[rule].room in (SCREENING, RULES)

    def _exercises(self) -> Iterator[Block]:
        say = self.words.say
        yield Heading(2, say("export-exercises"), "exercises")
        for exercise in sorted(self.base.exercises.values(), key=lambda one: one.name.casefold()):
            yield Heading(3, capital(exercise.name), _exercise_anchor(exercise.exercise))
            yield Paragraph(exercise.carry_over)
            trains = sorted(exercise.trains.items(), key=lambda pair: (-pair[1], pair[0]))
            named = (
                say("trains-at", what=self.wording.quality(one), much=say(f"much-{points}")) for one, points in trains
            )
            yield Paragraph(", ".join(named), say("topic-trains"))
            yield from self._list("topic-set-up", exercise.set_up)
            yield from self._list("topic-do", exercise.cues)
            yield from self._list("topic-mistakes", exercise.mistakes)
            if exercise.side_means:
                yield Paragraph(say("sides-each", means=exercise.side_means), say("topic-sides"))
            yield Paragraph("; ".join(self._ways(exercise)), say("topic-needs"))
            cost = (f"stress-{exercise.stress}", f"speed-{exercise.speed}", f"skill-{exercise.skill}")
            yield Paragraph(", ".join(map(say, cost)), say("topic-stress"))
            yield Paragraph(", ".join(self._fits(exercise)), say("topic-season"))
            yield Table(
                (say("export-dose"), say("export-how-much"), say("export-load"), say("head-sources")),
                self._doses(exercise),
            )
            yield from self._outline("export-cautions", self._cautions(exercise.exercise))
            for topic, names in (("easier", exercise.easier), ("harder", exercise.harder), ("swaps", exercise.swaps)):
                if names:
                    yield Paragraph(joined([self._exercise(name) for name in names]), say(f"explain-{topic}"))
            yield self._cited(exercise.sources)

    def _doses(self, exercise: Any) -> tuple[tuple[Inline, ...], ...]:
        rows = []
        for use, dose in exercise.doses.items():
            text = dosage.from_file(self.words, dose, exercise.one_sided)
            cited = joined([self._source(source) for source in dose.get("source", ())])
            rows.append((capital(self.words.value("use", use)), text, str(dose.get("load") or ""), cited))
        return tuple(rows)

    def _cautions(self, exercise: str) -> list[tuple[int, str]]:
        lines: list[tuple[int, str]] = []
        for name, rule in self.reference.rules.items():
            if name.startswith((f"{exercise}/caution-", f"{exercise}/level-")):
                when = self.wording.condition(rule.when)
                does = self.words.join(self.wording.effect(effect) for effect in rule.effects)
                lines.append((0, self.words.say("export-caution-line", when=when, does=does)))
                if self.base.rules[name].because:
                    lines.append((1, self.base.rules[name].because))
        return lines

    def _ways(self, exercise: Any) -> Iterator[str]:
        for way in exercise.ways:
            kit = self.words.join(self.words.value("has", one) for one in way["with"]) or self.words.say(
                "needs-nothing"
            )
            yield self.words.say("way-written", equipment=kit, way=way["as"]) if way.get("as") else kit

    def _fits(self, exercise: Any) -> Iterator[str]:
        for phase in self.base.phases:
            if phase in exercise.phases:
                fit = self.words.say(f"fits-{exercise.phases[phase]}")
                yield self.words.say("phase-fit", phase=self.words.value("phase", phase), fit=fit)

    def _trained(self) -> Iterator[Block]:
        say = self.words.say
        yield Heading(2, say("export-trained"), "trained")
        rows: list[tuple[Inline, ...]] = []
        known: dict[str, Any] = {**self.base.qualities, **self.base.muscles}
        for name, told in known.items():
            able = [one for one in self.base.exercises.values() if name in one.trains]
            able.sort(key=lambda one: (-one.trains[name], one.exercise))
            rows.append(
                (
                    name,
                    told.name,
                    told.says or ", ".join(getattr(told, "does", ())),
                    joined([self._exercise(one.exercise) for one in able]),
                )
            )
        yield Table((say("explain-id"), say("export-name"), say("export-what"), say("topic-trained-by")), tuple(rows))

    def _kit(self) -> Iterator[Block]:
        say = self.words.say
        yield Heading(2, say("export-kit"), "equipment")
        rows = [
            (one.equipment, one.name, say("yes" if one.usual else "no"), ", ".join(one.serves_as))
            for one in self.base.equipment.values()
        ]
        heads = (say("explain-id"), say("export-name"), say("export-usual"), say("export-serves-as"))
        yield Table(heads, tuple(rows))

    def _season(self) -> Iterator[Block]:
        say = self.words.say
        yield Heading(2, say("export-season"), "season")
        rows = [
            (one.phase, one.name, one.aim, say("export-limit-of", stress=f"{one.stress_limit:g}", items=one.items))
            for one in self.base.phases.values()
        ]
        yield Table((say("explain-id"), say("export-name"), say("export-aim"), say("export-limits")), tuple(rows))

    def _sources(self) -> Iterator[Block]:
        say = self.words.say
        yield Heading(2, say("export-sources"), "sources")
        yield Paragraph(say("export-sources-about"))
        for source in sorted(self.base.sources.values()):
            yield Heading(4, source.source, _source_anchor(source.source))
            yield Paragraph(source.cite)
            yield Paragraph(say("explain-seen-how", sort=source.kind, seen=source.seen), say("explain-seen"))
            yield Paragraph(source.says, say("explain-says"))

    def _outline(self, head: str, lines: Iterable[Any]) -> Iterator[Block]:
        found = tuple((depth, line) for depth, line in lines)
        if found:
            yield Bullets(found, self.words.say(head))

    def _list(self, head: str, lines: Iterable[str]) -> Iterator[Block]:
        yield from self._outline(head, [(0, line) for line in lines])

    def _cited(self, sources: Iterable[str]) -> Paragraph:
        return Paragraph(joined([self._source(source) for source in sources]), self.words.say("head-sources"))

    def _source(self, id_: str) -> Link | str:
        if self.words.has(f"source-{id_}"):
            return self.words.say(f"source-{id_}")
        return Link(id_, _source_anchor(id_)) if id_ in self.base.sources else id_

    def _exercise(self, id_: str) -> Link | str:
        return Link(self.words.exercise(id_), _exercise_anchor(id_)) if id_ in self.base.exercises else id_


def _rule_anchor(rule: str) -> str:
    return f"rule-{rule}"


def _exercise_anchor(exercise: str) -> str:
    return f"exercise-{exercise}"


def _source_anchor(source: str) -> str:
    return f"source-{source}"
