"""Satisfying: whether conditions can hold together, decided exactly over their trees, with a case that shows it.

What is known of the facts is only what their attributes say: an attribute of one value holds at most one, a number one
figure within the bounds of its unit, one of many values any set of them. Beyond that facts are free: a rule that lets
two of them come only together is not looked at. So "these can meet" may be said of a case that nobody will ever be in;
"these cannot" is never said of one that somebody may be in.

A tree is taken apart into tests that must pass; what is left open for each attribute is kept (rooms.py); what is one
of several is tried one by one, after those that do not fit any more are crossed out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from backstay.knowledge.base import Attribute, Node
from backstay.knowledge.rooms import Room, tightened
from backstay.knowledge.trees import NEVER, simplify

MOST_TRIES = 5_000  # branches; conditions that need more are taken for such as can meet
_TURNED = {"at-least": "below", "below": "at-least", "at-most": "above", "above": "at-most"}

Case = dict[str, Room]
"""What is left open for each attribute that is spoken of."""


class Logic:
    """Decides over the attributes of one base."""

    def __init__(self, attributes: Mapping[str, Attribute]) -> None:
        self.attributes = attributes

    def together(self, *conditions: Node) -> Case | None:
        """A case in which all of these hold, or None where there is none."""
        return _Search(self.attributes).solve([simplify(condition) for condition in conditions], {})

    def implies(self, condition: Node, other: Node) -> bool:
        """Whether the other holds wherever this one does."""
        return self.together(condition, ("not", other)) is None


class _Search:
    def __init__(self, attributes: Mapping[str, Attribute]) -> None:
        self.attributes = attributes
        self.tries = 0

    def solve(self, wanted: Iterable[Node], case: Case) -> Case | None:
        """A case, grown from this one, in which all that is wanted holds."""
        choices: list[tuple[Node, ...]] = []
        if not self._take(wanted, case, choices):
            return None
        settled = False
        while not settled:  # cross out what does not fit any more; what is left alone must hold
            settled, waiting, choices = True, choices, []
            for choice in waiting:
                left = tuple(one for one in choice if self._take([one], dict(case), []))
                if not left:
                    return None
                if len(left) > 1:
                    if not any(self._holds(one, case) for one in left):
                        choices.append(left)
                elif self._take(left, case, choices):
                    settled = False
                else:
                    return None
        self.tries += 1
        if not choices or self.tries > MOST_TRIES:
            return case
        choices.sort(key=len)
        rest = [("any", choice) for choice in choices[1:]]
        for one in choices[0]:
            found = self.solve([one, *rest], dict(case))
            if found is not None:
                return found
        return None

    def _take(self, wanted: Iterable[Node], case: Case, choices: list[tuple[Node, ...]]) -> bool:
        """Take in what must hold, and put what is one of several to the choices; False where it cannot hold."""
        stack = list(wanted)
        while stack:
            node = stack.pop()
            kind = node[0]
            if kind == "not":
                denied = self._denied(node[1], case)
                if denied is not None:
                    stack.append(denied)
                    continue
                node = node[1]  # a test of a value, or of something being known
            elif kind == "all":
                stack += node[1]
                continue
            elif kind == "any":
                if not node[1]:
                    return False
                choices.append(node[1])
                continue
            elif kind == "some":
                stack.append(_some(node[1], node[2]))
                continue
            room = tightened(self.attributes[node[1]], case.get(node[1]), node, passes=kind != "not")
            if room is None:
                return False
            case[node[1]] = room
        return True

    def _denied(self, node: Node, case: Case) -> Node | None:
        """The opposite of a tree without a `not` in front; None where only a test can be turned round."""
        kind = node[0]
        if kind == "not":
            inner: Node = node[1]
            return inner
        if kind in ("all", "any"):
            return "any" if kind == "all" else "all", tuple(("not", child) for child in node[1])
        if kind == "some":
            return "some", len(node[2]) - node[1] + 1, tuple(("not", child) for child in node[2])
        if kind in ("number", "count"):
            # What is not known fails every test.
            turned: Node = (kind, node[1], _TURNED[node[2]], node[3])
            room = case.get(node[1])
            if room is not None and room.known is not None:
                return turned if room.known else ("all", ())
            return "any", (("not", ("known", node[1])), turned)
        return None

    def _holds(self, node: Node, case: Case) -> bool:
        """Whether a test holds in all that is left open; of trees it is not asked."""
        if node[0] in ("all", "any", "some"):
            return False
        return not self._take([("not", node)], dict(case), [])


def _some(least: int, nodes: tuple[Node, ...]) -> Node:
    if least <= 0:
        return "all", ()
    if least > len(nodes):
        return NEVER
    if least == len(nodes):
        return "all", nodes
    if least == 1:
        return "any", nodes
    rest = nodes[1:]
    return "any", (("all", (nodes[0], ("some", least - 1, rest))), ("some", least, rest))
