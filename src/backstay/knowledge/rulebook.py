"""Rulebook: all rules of a base as checks look at them: whole conditions, the folders they come from, their places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from backstay.knowledge.base import Attribute, Node
from backstay.knowledge.gathering import Gathered
from backstay.knowledge.linking import Rule
from backstay.knowledge.problems import ERROR, Problem, listing
from backstay.knowledge.rooms import Room, figure_in
from backstay.knowledge.satisfying import Case, Logic
from backstay.knowledge.trees import simplify

WRITTEN = ("rules", "screening")


class Rulebook:
    """The rules by id, in the order in which they are blamed: of two that clash, the later one is."""

    def __init__(self, gathered: Gathered, attributes: Mapping[str, Attribute], rules: Mapping[str, Rule]) -> None:
        self.gathered = gathered
        self.attributes = attributes
        self.logic = Logic(attributes)
        self.written = gathered.items.get("rule", {})
        self.rules = {id_: rules[id_] for id_ in sorted(rules, key=lambda id_: self._order(id_, rules[id_]))}
        self.conditions = {id_: condition_of(rule) for id_, rule in self.rules.items()}

    def _order(self, id_: str, rule: Rule) -> tuple[int, bool, tuple[str, int, int], str]:
        return self.layer(id_), id_ in self.written, rule.info.place, id_

    def layer(self, id_: str) -> int:
        """The folder a rule comes from; 0 is the built-in one."""
        item = self.written.get(id_)
        if item is not None:
            return item.layer
        head, _, tail = id_.partition("/")
        table = {"kit": "equipment", "question": "question"}.get(head, "exercise")
        item = self.gathered.items.get(table, {}).get(head if table == "exercise" else tail.partition("/")[0])
        return 0 if item is None else item.layer

    def over(self, one: str, other: str) -> bool:
        """Whether the first rule stands over the second."""
        return other in self.rules[one].info.over

    def shown(self, id_: str) -> str:
        """A rule and where it stands."""
        file, line, _ = self.rules[id_].info.place
        return f"`{id_}` ({file}:{line})"

    def note(
        self, id_: str, code: str, what: str, follow: str, severity: str = ERROR, path: tuple[str | int, ...] = ()
    ) -> None:
        """Note a problem at a part of a written rule, or at a made rule as a whole."""
        item = self.written.get(id_)
        file, line, column = self.rules[id_].info.place
        if item is not None and path:
            line, column = item.cursor.marks.place_of_key(path)
        self.gathered.notes.append(Problem(file, line, column, code, what, follow, severity))


def condition_of(rule: Rule) -> Node:
    """When a rule fires, `unless` included."""
    parsed = rule.parsed
    if parsed.unless is None:
        return simplify(parsed.when)
    return simplify(("all", (parsed.when, ("not", parsed.unless))))


def told(case: Case, attributes: Mapping[str, Attribute]) -> str:
    """A case in words, as what is known in it: `pain` = present, `age` = 15."""
    parts = [f"`{name}` {_shown(case[name], attributes[name])}" for name in sorted(case) if case[name].known]
    return listing(parts, 5) if parts else "nothing is known"


def _shown(room: Room, attribute: Attribute) -> str:
    if attribute.kind == "number":
        figure = figure_in(room)
        return f"= {figure:g}" if figure is not None else "is known"
    least = int(room.low) + room.low_open if attribute.kind == "many" else 0
    if room.held:
        more = f" and {least - len(room.held)} more" if least > len(room.held) else ""
        return f"= {' and '.join(sorted(map(str, room.held)))}{more}"
    return f"has {least} values" if least > 1 else "is known"


def pairs(ids: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Every two of some rules, the one to blame last."""
    every = list(dict.fromkeys(ids))
    for place, later in enumerate(every):
        for earlier in every[:place]:
            yield earlier, later
