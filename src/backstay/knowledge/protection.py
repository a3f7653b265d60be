"""Protection: an overlay may add to the screening and never weaken it, not even by a detour.

What screening looks at is followed back through all built-in rules: facts whose presence helps a screening rule to
fire, and facts whose presence keeps one from firing. An overlay may not
  - conclude or assume a fact that keeps a screening rule from firing
  - replace a built-in rule or measure that screening stands on, a message or question it shows, or a phrase that reads
    facts it looks at; nor any idea, trigger or pair of ideas, since every phrase may be built on these
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from backstay.knowledge.base import Attribute, Node, ParsedRule
from backstay.knowledge.conditions import condition
from backstay.knowledge.gathering import Gathered, Item
from backstay.knowledge.linking import Rule
from backstay.knowledge.names import Names
from backstay.knowledge.reading import Cursor

# Sentences of an answer without exercises that stand in no file of the screening's.
OF_STOPS = frozenset(
    {"first-question", "question-words", "question-figures", "no-exercise-now", "not-sure", "yes", "no", "conflict",
     "cannot-read-message", "message-too-long", "answer-pain-present", "answer-pain-absent", "read-back",
     "read-back-other"}
)  # fmt: skip

Atom = tuple[str, str | float | None]
"""(attribute, value); a value of None stands for any."""


class Ground:
    """What the screening stands on: `helping` and `hindering` facts."""

    def __init__(self, attributes: dict[str, Attribute]) -> None:
        self.attributes = attributes
        self.helping: set[Atom] = set()
        self.hindering: set[Atom] = set()

    def attribute_names(self) -> set[str]:
        """All attributes of which anything is looked at."""
        return {name for name, _ in self.helping | self.hindering}

    def follow(self, screening: Iterable[ParsedRule], others: Iterable[ParsedRule]) -> None:
        """Take in the conditions of screening rules, and of the rules that give what they look at."""
        giving = [*screening, *others]
        for rule in screening:
            self._take(rule, helps=True)
        size = -1
        while size != len(self.helping) + len(self.hindering):
            size = len(self.helping) + len(self.hindering)
            for rule in giving:
                atoms = [*rule.concludes, *rule.assumes]
                if any(meets(atom, self.helping) for atom in atoms):
                    self._take(rule, helps=True)
                if any(meets(atom, self.hindering) for atom in atoms):
                    self._take(rule, helps=False)
        # A second value of an attribute that holds one can push out the value that rules gave it.
        given = {name for rule in giving for name, _ in (*rule.concludes, *rule.assumes)}
        for name in self.attribute_names() & given:
            if self.attributes[name].kind in ("one", "number"):
                self.hindering.add((name, None))

    def _take(self, rule: ParsedRule, helps: bool) -> None:
        leaves = list(_leaves(rule.when, helps))
        if rule.unless is not None:
            leaves += _leaves(rule.unless, not helps)
        for atom, good in leaves:
            (self.helping if good else self.hindering).add(atom)


def meets(atom: Atom, atoms: set[Atom]) -> bool:
    """Whether the fact is among these, by its value or as any value."""
    return atom in atoms or (atom[0], None) in atoms


def _leaves(node: Node, good: bool) -> Iterator[tuple[Atom, bool]]:
    kind = node[0]
    if kind in ("all", "any"):
        for below in node[1]:
            yield from _leaves(below, good)
    elif kind == "some":
        for below in node[2]:
            yield from _leaves(below, good)
    elif kind == "not":
        yield from _leaves(node[1], not good)
    elif kind == "is":
        yield (node[1], node[2]), good
    elif kind == "count":
        # More values help `at-least` and hinder `at-most`.
        yield (node[1], None), good == (node[2] in ("at-least", "above"))
    else:
        yield (node[1], None), good


def ground_of(gathered: Gathered, names: Names, rules: dict[str, Rule]) -> Ground:
    """What the built-in screening stands on, by all built-in rules, those too that an overlay takes out."""
    written = gathered.items.get("rule", {})
    replaced = {old.id: old for old, _ in gathered.replaced if old.head == "rule" and old.layer == 0}
    own = [rule.parsed for id_, rule in rules.items() if id_ not in written or written[id_].layer == 0]
    own += [parsed for parsed in (_parsed(old, names) for old in replaced.values()) if parsed is not None]
    ground = Ground(names.attributes)
    ground.follow(_screening(gathered, rules), own)
    return ground


def _screening(gathered: Gathered, rules: dict[str, Rule]) -> list[ParsedRule]:
    written = gathered.items.get("rule", {})
    return [
        rules[id_].parsed
        for id_, item in written.items()
        if item.kind == "screening" and not item.layer and id_ in rules
    ]


def check_protected(gathered: Gathered, names: Names, rules: dict[str, Rule], ground: Ground) -> None:
    """Note what rules of overlays do to the screening, and what they replace of it."""
    written = gathered.items.get("rule", {})
    for item in written.values():
        if item.layer > 0 and item.id in rules:
            _check_added(item, rules[item.id].parsed, ground)
    screening = _screening(gathered, rules)
    shown = {effect[1] for rule in screening for effect in rule.effects if effect[0] in ("notice", "tell", "ask")}
    for old, asked_for in gathered.replaced:
        if _stands_under(old, ground, shown, names):
            asked_for.error(
                "shielded", f"the screening stands on `{asked_for.value}`.", "It can be added to, never replaced."
            )


def _check_added(item: Item, parsed: ParsedRule, ground: Ground) -> None:
    for effect in ("conclude", "assume"):
        given = parsed.concludes if effect == "conclude" else parsed.assumes
        for name in dict.fromkeys(atom[0] for atom in given if meets(atom, ground.hindering)):
            what = f"to {effect} `{name}` can keep a screening rule from firing."
            item.cursor.at("then", effect).key_error(
                name, "screening-weakened", what, "Conclude something of your own."
            )


def _stands_under(old: Item, ground: Ground, shown: set[str], names: Names) -> bool:
    if old.head == "rule":
        parsed = _parsed(old, names)
        atoms = () if parsed is None else (*parsed.concludes, *parsed.assumes)
        return any(meets(atom, ground.helping | ground.hindering) for atom in atoms)
    if old.head == "message":
        return old.id in shown or old.id in OF_STOPS
    if old.head == "question":
        return old.model.asks in shown
    if old.head == "measure":
        return old.id in ground.attribute_names()
    if old.head in ("phrase", "want"):
        looked_at = {name.partition(".")[0] for name in ground.attribute_names()}
        return any(name.partition(".")[0] in looked_at for name in old.model.says)
    return old.head in ("idea", "trigger", "together")


def _parsed(item: Item, names: Names) -> ParsedRule | None:
    """A replaced rule with its conditions and facts; its effects do not matter any more."""
    quiet = Cursor(item.cursor.file, item.cursor.value, item.cursor.marks, [])
    when = condition(quiet.at("when"), names) if quiet.has("when") else ("all", ())
    unless = condition(quiet.at("unless"), names) if quiet.has("unless") else None
    if when is None:
        return None
    then = item.model.then
    facts = {effect: _facts(then.get(effect)) for effect in ("conclude", "assume")}
    return ParsedRule(
        item.id,
        when,
        unless,
        facts["conclude"],
        facts["assume"],
        (),
        (quiet.file, quiet.marks.line, quiet.marks.column),
    )


def _facts(given: object) -> tuple[tuple[str, str | float], ...]:
    if not isinstance(given, dict):
        return ()
    return tuple(
        (name, value) for name, values in given.items() for value in (values if isinstance(values, list) else [values])
    )
