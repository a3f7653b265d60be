"""Matrix: what is given for each complaint in each part of the season, with and without pain, nothing else told."""

from __future__ import annotations

from typing import Any

from backstay.review.solving import Answer, Given, Solver
from backstay.review.space import PAIN, PHASE, Space


def matrix(solver: Solver, space: Space) -> list[dict[str, Any]]:
    """Return a row for each complaint, nothing in particular first: its answers by phase, and those with pain."""
    rows = []
    hurts = PAIN[0] in solver.base.attributes
    for complaint in (None, *space.complaints):
        told = () if complaint is None else (complaint,)
        cells = []
        for phase in space.phases:
            here = (*told, (PHASE, phase))
            cell = {"phase": phase, "answer": shown(solver.answer(here).answer)}
            if hurts:
                cell["in_pain"] = shown(solver.answer((*here, PAIN)).answer)
            cells.append(cell)
        rows.append({"complaint": list(complaint) if complaint else None, "cells": cells})
    return rows


def shown(answer: Answer) -> dict[str, Any]:
    """Return an answer as plain values."""
    return {
        "outcome": answer.outcome,
        "within": answer.within,
        "picks": [_pick(one) for one in answer.given],
        "notices": list(answer.notices),
    }


def _pick(one: Given) -> dict[str, Any]:
    use, sets, reps, seconds, metres = one.dose[:5]
    return {
        "exercise": one.exercise,
        "use": use,
        "sets": sets,
        "reps": list(reps) if reps else None,
        "seconds": list(seconds) if seconds else None,
        "metres": list(metres) if metres else None,
        "side": one.side,
    }
