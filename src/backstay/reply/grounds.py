"""Grounds: for rules that fired, the lines of reason an answer shows, with the facts at their roots.

A rule without words of its own is skipped. The facts are those that were said or taken for granted at the leaves of the
proof, not the steps between.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from backstay.reply.reply import Because
from backstay.reply.words import figure, harmless


def reasons(base: Any, findings: Any, rules: Iterable[str]) -> tuple[Because, ...]:
    """Return the reasons that these rules are, in their order, each once."""
    found = []
    for rule in dict.fromkeys(rules):
        info = base.rules.get(rule)
        if info is not None and info.because:
            found.append(Because(rule, info.because, tuple(info.sources), _finder(findings, rule)))
    return tuple(found)


def _finder(findings: Any, rule: str) -> Callable[[], tuple[str, ...]]:
    """What looks up the facts at the root of a rule; only the machine face asks for them."""

    def find() -> tuple[str, ...]:
        return tuple(sorted({written(leaf.attribute, leaf.value) for leaf in _leaves(findings.proof(rule))}))

    return find


def written(attribute: str, value: str | float) -> str:
    """A fact as it is written in rules and on the machine face: "fault=twists"."""
    return f"{attribute}={value if isinstance(value, str) else figure(value)}"


def said_words(findings: Any, rules: Iterable[str]) -> tuple[str, ...]:
    """Return the asker's own words at the roots of these rules."""
    found: dict[str, None] = {}
    for rule in rules:
        for leaf in _leaves(findings.proof(rule)):
            if leaf.words:
                found[harmless(leaf.words)] = None
    # Words inside longer words of the same message say nothing more.
    return tuple(text for text in found if not any(text != other and text in other for other in found))


def rests_on(findings: Any, rule: str, attribute: str) -> bool:
    """Whether a rule fired for a fact of this attribute."""
    return any(leaf.attribute == attribute for leaf in _leaves(findings.proof(rule)))


def _leaves(proof: Any) -> Iterator[Any]:
    """What was said, or taken for granted, at the end of each branch of a proof."""
    if proof is None:
        return
    for premise in proof.premises:
        for held in getattr(premise, "facts", ()):
            yield from _roots(held)


def _roots(held: Any) -> Iterator[Any]:
    if held.standing == "assumed" or (held.by is None and not held.of):
        yield held
    for operand in held.of:
        yield from _roots(operand)
    if held.standing == "concluded" and held.by is not None:
        yield from _leaves(held.by)
