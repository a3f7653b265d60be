"""Dominance: candidates that another is never worse than.

If B stands in a menu and A does not, and A gains no less of any need, is preferred no less, costs no more and comes
first where all is equal, then A in B's place makes a menu that comes before. So no menu with B and without A need be
looked at; where both are of one family, none with B at all. The change may fail only where another of A's family stands
in the menu, so across families only an A that is single in its own counts.
"""

from __future__ import annotations

from backstay.coaching.problem import UNLIMITED, Problem


def compare_pairs(problem: Problem, alive: int) -> tuple[list[int], int]:
    """Return for each candidate the mask of those not worth a look once it is left out, and the mask of those never.

    Only candidates whose fields are set in `alive` are compared.
    """
    field, families, needs = problem.columns.field, problem.families, problem.needs
    size = len(problem.candidates)
    # Gains as packed figures with one spare bit above each: a subtraction that leaves all spare bits set took nothing
    # that was not there.
    bits = max(needs).bit_length() + 1
    spare = sum(1 << (bits * quality + bits - 1) for quality in range(len(needs)))
    gains = [sum(min(gain, needs[quality]) << (bits * quality) for quality, gain in own) for own in problem.gains]
    live = [place for place in range(size) if alive & field[place]]
    gone, under = 0, [0] * size
    for one in live:
        top = gains[one] | spare
        for other in live:
            if one != other and (top - gains[other]) & spare == spare and _no_worse(problem, one, other):
                if families[one] == families[other]:
                    gone |= field[other]
                else:
                    under[one] |= field[other]
    members: dict[int, int] = {}
    for place in live:
        if not gone & field[place]:
            members[families[place]] = members.get(families[place], 0) + 1
    single = [members.get(families[place]) == 1 and not gone & field[place] for place in range(size)]
    return [mask if alone else 0 for mask, alone in zip(under, single, strict=True)], gone


def _no_worse(problem: Problem, one: int, other: int) -> bool:
    """Whether, with gains no less, the one could always stand in the place of the other and come first."""
    if problem.preference[one] < problem.preference[other] or problem.stress[one] > problem.stress[other]:
        return False
    if problem.minutes_limit != UNLIMITED and problem.minutes[one] > problem.minutes[other]:
        return False
    if problem.stress_limit != UNLIMITED and problem.least[one] > problem.least[other]:
        return False
    return (
        problem.preference[one] > problem.preference[other]
        or problem.stress[one] < problem.stress[other]
        or one < other
    )
