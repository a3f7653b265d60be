"""Idle: rules that can never fire, rules that do nothing another does not do, exercises that nobody can be given.

never holds      the condition contradicts itself, or asks for figures that nothing can be: an error
never known      the condition holds only with facts that no phrase, question or rule can make: a warning
covered          wherever the rule fires another one fires that does the same: a warning
always out       an exercise that is out in every phase, or that some rule forbids whatever is known: an error
never needed     an exercise that trains nothing any rule needs: a warning
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from backstay.knowledge.base import Node
from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.linking import Rule
from backstay.knowledge.problems import WARNING, listing
from backstay.knowledge.rulebook import WRITTEN, Rulebook
from backstay.knowledge.slots import COMPOSED, SOUNDS
from backstay.knowledge.trees import NEVER, leaves, simplify

ADDING = frozenset({"need", "need-each", "favour", "avoid"})  # two of these come to more than one
MOST_OTHERS = 100  # rules that do the same; where there are more, nobody copied one by mistake
NAMED = ("exercise", "equipment", "muscle")
ANY = None


def check_idle(book: Rulebook, whole: bool) -> None:
    """Note every rule and exercise that is there for nothing; what nothing says or needs where all could be read."""
    dead = set(_never(book))
    for item in book.gathered.of("exercise"):
        _always_out(book, item)
    if whole:
        _never_known(book, dead)
        _never_needed(book)
    _covered(book, dead)


def _never(book: Rulebook) -> Iterator[str]:
    for id_, condition in book.conditions.items():
        if book.logic.together(condition) is not None:
            continue
        yield id_
        what = f"the condition of `{id_}` can never hold: it asks for what excludes each other."
        follow = "Look at figures that overlap nowhere, at two values of one thing, and at what `unless` takes back."
        place = ("when",) if book.rules[id_].parsed.when != ("all", ()) else ("unless",)
        book.note(id_, "rule-never-fires", what, follow, path=place)


class _Sayable:
    """Which facts somebody can say or be asked for, and which ones rules give from there."""

    def __init__(self, gathered: Gathered, rules: Mapping[str, Rule], measured: Iterable[str]) -> None:
        self.atoms: set[tuple[str, str | float | None]] = {(name, ANY) for name in measured}
        for head in ("phrase", "idea", "together", "want", "trigger"):
            for item in gathered.of(head):
                for name, values in item.model.says.items():
                    self._add(name, values if isinstance(values, list) else [values])
        for item in gathered.of("want"):
            self.atoms.add(("want", item.model.want))
        for item in gathered.of("question"):
            self._add(item.model.asks, item.model.answers or ["{}"])
        for head in NAMED:
            self.atoms.update((head, id_) for id_ in gathered.ids(head))
        waiting = dict(rules)
        while True:
            firing = [id_ for id_, rule in waiting.items() if self.within(rule.parsed.when) != NEVER]
            for id_ in firing:
                parsed = waiting.pop(id_).parsed
                self.atoms.update((*parsed.concludes, *parsed.assumes))
            if not firing:
                break

    def _add(self, name: str, values: list[object]) -> None:
        for value in values:
            filled = "{" in name or (isinstance(value, str) and value.startswith("{"))
            self.atoms.add((name.partition(".{")[0], ANY if filled else value))  # type: ignore[arg-type]

    def within(self, node: Node) -> Node:
        """The condition with all that nobody can make true taken for never."""
        kind = node[0]
        if kind in ("all", "any", "some"):
            return simplify((*node[:-1], tuple(self.within(child) for child in node[-1])))
        if kind == "not" or self.can(node):
            return node
        return NEVER

    def can(self, test: Node) -> bool:
        """Whether a test can come to hold."""
        name: str = test[1]
        head = name.partition(".")[0]
        if (
            head in COMPOSED
            or (test[0] == "is" and (name, test[2]) in SOUNDS)
            or (name, ANY) in self.atoms
            or (head, ANY) in self.atoms
        ):
            return True
        if test[0] == "is":
            return (name, test[2]) in self.atoms
        return any(known == name for known, _ in self.atoms)


def _never_known(book: Rulebook, dead: set[str]) -> None:
    measured = [name for name, attribute in book.attributes.items() if attribute.measure]
    sayable = _Sayable(book.gathered, book.rules, measured)
    for id_, rule in book.rules.items():
        if id_ in dead or rule.info.room not in (*WRITTEN, "question", "exercise"):
            continue
        if sayable.within(rule.parsed.when) != NEVER:
            continue
        missing = sorted({_test(leaf) for leaf, way in leaves(rule.parsed.when) if not way and not sayable.can(leaf)})
        what = f"nothing says or concludes {listing(missing, 4)}, so `{id_}` never fires."
        follow = "Write a phrase or a question for it, or a rule that concludes it."
        book.note(id_, "never-said", what, follow, WARNING, path=("when",))
        dead.add(id_)


def _test(leaf: Node) -> str:
    return f"`{leaf[1]}: {leaf[2]}`" if leaf[0] == "is" else f"`{leaf[1]}`"


def _does(rule: Rule) -> frozenset[tuple[object, ...]]:
    """What a rule does, exercise by exercise."""
    done: set[tuple[object, ...]] = {("conclude", *fact) for fact in rule.parsed.concludes}
    done.update(("assume", *fact) for fact in rule.parsed.assumes)
    for effect in rule.parsed.effects:
        if len(effect) > 1 and isinstance(effect[1], tuple) and effect[0] != "limit":
            done.update((effect[0], one, *effect[2:]) for one in effect[1])
        else:
            done.add(effect)
    return frozenset(done)


def _covered(book: Rulebook, dead: set[str]) -> None:
    does = {id_: _does(rule) for id_, rule in book.rules.items() if id_ not in dead}
    doing: dict[tuple[object, ...], set[str]] = {}
    for id_, done in does.items():
        for one in done:
            doing.setdefault(one, set()).add(id_)
    covered: set[str] = set()
    for id_ in reversed(tuple(does)):
        if book.rules[id_].info.room not in WRITTEN or not does[id_]:
            continue
        others = sorted(set.intersection(*(doing[one] for one in does[id_])) - {id_} - covered)
        for other in others if len(others) <= MOST_OTHERS else ():
            if _covers(book, id_, other, {str(one[0]) for one in does[id_]}):
                covered.add(id_)
                what = f"wherever `{id_}` fires {book.shown(other)} fires too and does the same."
                follow = "Take one away, or say what this one adds."
                book.note(id_, "rule-covered", what, follow, WARNING)
                break


def _covers(book: Rulebook, id_: str, other: str, kinds: set[str]) -> bool:
    if book.over(id_, other) or book.over(other, id_) or book.layer(other) > book.layer(id_):
        return False
    if book.rules[id_].info.room == "screening" != book.rules[other].info.room:
        return False  # what a folder of a club's may take away covers no screening
    if not book.logic.implies(book.conditions[id_], book.conditions[other]):
        return False
    # Points add up: more of them for a narrower condition is meant, for the same condition it is a copy.
    return not kinds & ADDING or book.logic.implies(book.conditions[other], book.conditions[id_])


def _always_out(book: Rulebook, item: Item) -> None:
    phases = item.model.phases
    if phases and book.gathered.ids("phase") <= {phase for phase, fit in phases.items() if fit == "out"}:
        item.cursor.at("phases").error(
            "exercise-always-out", f"`{item.id}` is out in every phase.", "Let it fit one of them, or take it away."
        )
        return
    forbidding = [
        id_
        for id_, rule in book.rules.items()
        if any(effect[0] == "forbid" and item.id in effect[1] for effect in rule.parsed.effects)
    ]
    if _leaves_room(book, forbidding):
        return
    always = forbidding
    for id_ in forbidding:  # the few that leave no case between them, made rules given up first
        without = [other for other in always if other != id_]
        if not _leaves_room(book, without):
            always = without
    book.note(
        always[-1],
        "exercise-always-out",
        f"`{item.id}` is forbidden whatever is known: by {listing([book.shown(id_) for id_ in always], 3)}.",
        "Let the rule hold only where something is known, or take the exercise away.",
        path=("then", "forbid"),
    )


def _leaves_room(book: Rulebook, forbidding: Sequence[str]) -> bool:
    """Whether there is a case in which none of these rules fires."""
    return book.logic.together(*(("not", book.conditions[id_]) for id_ in forbidding)) is not None


def _never_needed(book: Rulebook) -> None:
    needed: set[str] = set()
    for rule in book.rules.values():
        for effect in rule.parsed.effects:
            if effect[0] == "need":
                needed.add(effect[1])
            elif effect[0] == "need-each":
                needed.update(book.attributes[effect[1]].values)
    for item in book.gathered.of("exercise"):
        if needed.isdisjoint(item.model.trains):
            what = f"no rule needs what `{item.id}` trains, so it is never chosen."
            follow = "Let it train a quality that a rule needs, or write such a rule."
            item.cursor.at("trains").error("exercise-not-needed", what, follow, WARNING)
