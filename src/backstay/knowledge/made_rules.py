"""Made rules: what exercise and equipment files state, as ordinary rules with an id, so that why knows one mechanism.

    X/refused    forbids X where the asker avoids it
    X/phase-P    phases: {P: out} forbids X in that phase, spare avoids it by 1
    X/ways       forbids X unless all the kit of some way is at hand; not made where a way needs nothing
    X/way-N      names the N-th way when its kit is at hand
    X/dose-for-N chooses a dose by name
    X/level-L    what levels: {L: …} says: fits, spare, out, or effects
    X/caution-N  a caution

    kit/E/said         E is at hand when it is said to be there, unless it is refused
    kit/E/usual        the same in a usual gym, for usual equipment, unless it or everything is lacking or it is refused
    kit/E/serves-as-F  F is at hand when E is

Their reasons are messages (made-refused, made-phase-out, made-phase-spare, made-ways, made-way, made-dose-for,
made-level, made-kit-said, made-kit-usual, made-kit-serves-as), but for cautions, which give their own.
"""

from __future__ import annotations

from backstay.knowledge.base import Node
from backstay.knowledge.conditions import ALWAYS
from backstay.knowledge.effects import Effects, Then
from backstay.knowledge.exercise_format import ExerciseEntry
from backstay.knowledge.format import EquipmentEntry
from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.linking import Rule, conditions_of, rule, sources_of
from backstay.knowledge.names import Names
from backstay.knowledge.problems import nearest
from backstay.knowledge.reading import Cursor

KIT_ATTRIBUTES = ("at-hand", "has", "lacks", "kit", "avoids")


class MadeRules:
    """Makes the rules of exercise and equipment files."""

    def __init__(self, gathered: Gathered, names: Names, effects: Effects) -> None:
        self.gathered = gathered
        self.names = names
        self.effects = effects
        self.texts = {item.id: item.model.text for item in gathered.of("message")}
        self.missing: set[str] = set()
        self.kit = {item.id: item.model.name for item in gathered.of("equipment")}
        self.phases = {item.id: item.model.name for item in gathered.of("phase")}

    def all(self) -> list[Rule]:
        """Every rule made from every exercise and piece of equipment."""
        rules: list[Rule] = []
        for item in self.gathered.of("exercise"):
            rules += self._exercise(item)
        if all(name in self.names.attributes for name in KIT_ATTRIBUTES):
            for item in self.gathered.of("equipment"):
                rules += self._equipment(item)
        return rules

    def _because(self, name: str, cursor: Cursor, **words: str) -> str:
        text = self.texts.get(name)
        if text is None:
            if name not in self.missing and "message" not in self.names.unsure:
                self.missing.add(name)
                follow = "Write it into messages/."
                cursor.error("unknown-message", f"the reason `{name}` of made rules has no message.", follow, "warning")
            return ""
        for word, value in words.items():
            text = text.replace(f"{{{word}}}", value)
        return str(text)

    def _exercise(self, item: Item) -> list[Rule]:
        rules = [*self._refused(item), *self._phases(item), *self._ways(item)]
        return [*rules, *self._dose_for(item), *self._levels(item), *self._cautions(item)]

    def _refused(self, item: Item) -> list[Rule]:
        if "avoids" not in self.names.attributes:
            return []
        model: ExerciseEntry = item.model
        because = self._because("made-refused", item.cursor, exercise=model.name)
        then = Then((), (), (("forbid", (model.exercise,)),))
        when: Node = ("is", "avoids", model.exercise)
        return [self._rule(item, "refused", item.cursor, then, because, when=when, sources=("common-practice",))]

    def _phases(self, item: Item) -> list[Rule]:
        model: ExerciseEntry = item.model
        rules = []
        for phase, fit in model.phases.items():
            at = item.cursor.at("phases")
            if not self.names.check("phase", phase, at, phase) or fit == "fits" or "phase" not in self.names.attributes:
                continue
            because = self._because(f"made-phase-{fit}", at, exercise=model.name, phase=self.phases.get(phase, phase))
            when: Node = ("is", "phase", phase)
            rules.append(
                self._rule(item, f"phase-{phase}", at.at(phase), _fit(fit, model.exercise), because, when=when)
            )
        return rules

    def _ways(self, item: Item) -> list[Rule]:
        model: ExerciseEntry = item.model
        if "at-hand" not in self.names.attributes or not model.ways:
            return []
        rules, nodes, known = [], [], True
        for number, way in enumerate(model.ways, 1):
            at = item.cursor.at("ways", number - 1)
            found = [self.names.check("equipment", kit.value, kit) for kit in at.at("with").items()]
            if not all(found):
                known = False
                continue
            node: Node = ("all", tuple(("is", "at-hand", kit) for kit in way.with_))
            nodes.append(node)
            kit = self._joined([self.kit.get(kit, kit) for kit in way.with_], "made-both")
            because = self._because("made-way" if way.with_ else "made-way-free", at, exercise=model.name, kit=kit)
            then = Then((), (), (("way", model.exercise, number),))
            rules.append(self._rule(item, f"way-{number}", at, then, because, when=node))
        if known and all(way.with_ for way in model.ways):
            at = item.cursor.at("ways")
            ways = [self._joined([self.kit.get(kit, kit) for kit in way.with_], "made-both") for way in model.ways]
            because = self._because("made-ways", at, exercise=model.name, kit=self._joined(ways, "made-either"))
            then = Then((), (), (("forbid", (model.exercise,)),))
            rules.append(self._rule(item, "ways", at, then, because, unless=("any", tuple(nodes))))
        return rules

    def _joined(self, words: list[str], message: str) -> str:
        """Words as a list for people: the message says how two are joined."""
        text = self.texts.get(message, "{first}, {last}")
        whole = words[-1] if words else ""
        for word in reversed(words[:-1]):
            whole = text.replace("{first}", word).replace("{last}", whole)
        return whole

    def _dose_for(self, item: Item) -> list[Rule]:
        model: ExerciseEntry = item.model
        rules = []
        for number, choice in enumerate(model.dose_for, 1):
            at = item.cursor.at("dose-for", number - 1)
            when, unless = conditions_of(at, self.names)
            if choice.use not in model.doses:
                hint = nearest(choice.use, model.doses)
                at.at("use").error("unknown-dose", f"`{model.exercise}` has no dose `{choice.use}`.", hint)
                continue
            if when is None or (choice.unless is not None and unless is None):
                continue
            sources = sources_of(at, "source", self.names) or tuple(model.doses[choice.use].source)
            because = choice.because or self._because(
                "made-dose-for", at, exercise=model.name, use=choice.use.replace("-", " ")
            )
            then = Then((), (), (("dose-use", (model.exercise,), choice.use),))
            rules.append(self._rule(item, f"dose-for-{number}", at, then, because, when, unless, sources))
        return rules

    def _levels(self, item: Item) -> list[Rule]:
        model: ExerciseEntry = item.model
        rules: list[Rule] = []
        levels = self.names.attributes.get("level")
        for level, says in model.levels.items():
            at = item.cursor.at("levels")
            if levels is None or level not in levels.values:
                if levels is not None:
                    at.key_error(level, "unknown-value", f"there is no level `{level}`.", nearest(level, levels.values))
                continue
            if says == "fits":
                continue
            below = at.at(level)
            if isinstance(says, str):
                then = _fit(says, model.exercise)
            else:
                keys = says if set(says) & set(self.effects.readers) else {"dose": says}
                inner = Cursor(below.file, keys, below.marks, below.notes)
                before = len(below.notes)
                then = self.effects.then(inner, own=(model.exercise,))
                if any(note.severity == "error" for note in below.notes[before:]):
                    continue
            because = self._because("made-level", at, exercise=model.name, level=level)
            rules.append(self._rule(item, f"level-{level}", below, then, because, when=("is", "level", level)))
        return rules

    def _cautions(self, item: Item) -> list[Rule]:
        model: ExerciseEntry = item.model
        rules = []
        for number, caution in enumerate(model.cautions, 1):
            at = item.cursor.at("cautions", number - 1)
            before = len(at.notes)
            when, unless = conditions_of(at, self.names)
            then = self.effects.then(at.at("then"), own=(model.exercise,))
            sources = sources_of(at, "source", self.names)
            if caution.because is None and not {effect[0] for effect in then.effects} <= {"notice", "tell"}:
                at.error("missing-key", "`because` is missing in this caution.", "Say why, in one line.")
            if any(note.severity == "error" for note in at.notes[before:]):
                continue
            because = caution.because or " ".join(self.texts.get(effect[1], "") for effect in then.effects)
            rules.append(self._rule(item, f"caution-{number}", at, then, because, when or ALWAYS, unless, sources))
        return rules

    def _rule(
        self,
        item: Item,
        tail: str,
        cursor: Cursor,
        then: Then,
        because: str,
        when: Node = ALWAYS,
        unless: Node | None = None,
        sources: tuple[str, ...] = (),
    ) -> Rule:
        sources = sources or tuple(item.model.sources)
        return rule(f"{item.id}/{tail}", cursor, "exercise", then, because, sources, when, unless)

    def _equipment(self, item: Item) -> list[Rule]:
        model: EquipmentEntry = item.model
        kit, cursor = model.equipment, item.cursor
        at_hand = Then((("at-hand", kit),), (), ())
        source = ("common-practice",)
        refused: Node = ("is", "avoids", kit)
        because = self._because("made-kit-said", cursor, kit=model.name)
        said = rule(f"kit/{kit}/said", cursor, "kit", at_hand, because, source, ("is", "has", kit), refused)
        rules = [said]
        if model.usual:
            because = self._because("made-kit-usual", cursor, kit=model.name)
            gone: Node = ("any", (("is", "lacks", kit), ("is", "lacks", "everything"), refused))
            when: Node = ("is", "kit", "usual")
            rules.append(rule(f"kit/{kit}/usual", cursor, "kit", at_hand, because, source, when, gone))
        for other in cursor.at("serves-as").items() if model.serves_as else ():
            if self.names.check("equipment", other.value, other):
                name = self.kit.get(other.value, other.value)
                because = self._because("made-kit-serves-as", cursor, kit=model.name, other=name)
                then = Then((("at-hand", other.value),), (), ())
                id_ = f"kit/{kit}/serves-as-{other.value}"
                rules.append(rule(id_, cursor, "kit", then, because, source, ("is", "at-hand", kit)))
        return rules


def _fit(fit: str, exercise: str) -> Then:
    effect = ("forbid", (exercise,)) if fit == "out" else ("avoid", (exercise,), 1)
    return Then((), (), (effect,))
