"""Clashes: rules that can hold together and say what cannot stand together (laws 3 and 6).

    two values   two rules conclude, or two assume, different values of an attribute that holds one
    two doses    two rules choose different doses by name for the same exercise

Whether they can meet is decided over their conditions, never tried out. `over` settles a clash; where a value is
concluded, what stands over must also be the more cautious one, for that is what leads at run time.
"""

from __future__ import annotations

from collections.abc import Sequence

from backstay.knowledge.problems import listing
from backstay.knowledge.rulebook import Rulebook, pairs, told
from backstay.knowledge.trees import caution

MOST_RIVALS = 250


def check_clashes(book: Rulebook) -> None:
    """Note every clash, at the later of the two rules."""
    for effect in ("conclude", "assume"):
        _check_values(book, effect)
    _check_doses(book)


def _facts(book: Rulebook, id_: str, effect: str) -> tuple[tuple[str, str | float], ...]:
    parsed = book.rules[id_].parsed
    return parsed.concludes if effect == "conclude" else parsed.assumes


def _check_values(book: Rulebook, effect: str) -> None:
    claims: dict[str, dict[str, str | float]] = {}
    for id_ in book.rules:
        for name, value in _facts(book, id_, effect):
            if book.attributes[name].kind in ("one", "number"):
                claims.setdefault(name, {})[id_] = value
    for name, values in claims.items():
        if len(values) > MOST_RIVALS:
            _too_many(book, list(values), f"`{name}`")
        elif len(set(values.values())) > 1:
            for earlier, later in pairs(values):
                if values[earlier] != values[later]:
                    _check_two(book, effect, name, earlier, later, (values[earlier], values[later]))


def _too_many(book: Rulebook, rules: list[str], what: str) -> None:
    text = f"{len(rules)} rules decide on {what}; {MOST_RIVALS} can be kept apart."
    book.note(rules[-1], "too-many-rivals", text, "Let some of them conclude a step between.")


def _check_two(book: Rulebook, effect: str, name: str, earlier: str, later: str, values: Sequence[str | float]) -> None:
    settled = book.over(earlier, later) or book.over(later, earlier)
    if settled:
        first, last = (
            caution(book.attributes[name].cautious, values[0]),
            caution(book.attributes[name].cautious, values[1]),
        )
        if (first < last) == book.over(earlier, later):
            return
    case = book.logic.together(book.conditions[earlier], book.conditions[later])
    if case is None:
        return
    if settled:
        upper = later if book.over(later, earlier) else earlier
        book.note(
            upper,
            "over-less-cautious",
            f"it stands over a rule that gives `{name}` a more cautious value, and the more cautious one leads.",
            "Let the more cautious rule stand over this one, or part their conditions.",
            path=("over",),
        )
        return
    verb = f"{effect}s"
    what = (
        f"it {verb} `{name}: {values[1]}` and {book.shown(earlier)} {verb} `{values[0]}`; "
        f"both hold where {told(case, book.attributes)}."
    )
    follow = "Part them by `unless`, or name one under the other's `over`."
    book.note(later, "rules-contradict", what, follow, path=("then", effect, name))


def _check_doses(book: Rulebook) -> None:
    uses: dict[str, dict[str, str]] = {}
    for id_, rule in book.rules.items():
        for effect in rule.parsed.effects:
            if effect[0] == "dose-use":
                for exercise in effect[1]:
                    uses.setdefault(exercise, {})[id_] = effect[2]
    clashing: dict[tuple[str, str], list[str]] = {}
    for exercise, names in uses.items():
        if len(names) > MOST_RIVALS:
            _too_many(book, list(names), f"the dose of `{exercise}`")
            continue
        for pair in pairs(names):
            if names[pair[0]] != names[pair[1]]:
                clashing.setdefault(pair, []).append(exercise)
    for (earlier, later), exercises in clashing.items():
        if book.over(earlier, later) or book.over(later, earlier):
            continue
        case = book.logic.together(book.conditions[earlier], book.conditions[later])
        if case is not None:
            names = uses[exercises[0]]
            what = (
                f"it chooses the dose `{names[later]}` of {listing(exercises, 3)} and {book.shown(earlier)} "
                f"`{names[earlier]}`; both hold where {told(case, book.attributes)}."
            )
            follow = "Part them by `unless`, or let a rule stand `over` the other."
            book.note(later, "doses-contradict", what, follow, path=("then", "dose"))
