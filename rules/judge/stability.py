"""Elastic buckling of the frame in its plane, for the combinations that press hardest: information for the engineer, no judgement."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

import solver
from rules.judge.framed import Frame
from rules.judge.mechanics import build_frame

TAKES_PART = 0.1
"""Share of the strain energy of a mode from which a piece counts as buckling with it."""
PRESSED = 1.0
"""N, summed over the stations: less is round-off, not compression."""
MODES = 4
MOST_COMBINATIONS = 8
"""Published bound: buckling is told for this many combinations of the ultimate set, those with the greatest compression."""


def buckling_part(frame: Frame) -> list[dict[str, Any]]:
    """Lowest buckling factor, the pieces that buckle, and in-plane effective lengths per bay, first order with mean stiffness.

    A load that may stand anywhere is left out; so is a combination with an unknown factor, and one that presses nothing.
    """
    return [_told(frame, words, each) for words, each in hardest_pressed(frame)]


def hardest_pressed(frame: Frame, *, each_piece: bool = False) -> list[tuple[str, solver.Buckling]]:
    """The combinations of the ultimate set that press hardest, in words, and how the frame buckles under them.

    each_piece: those too that press any one piece hardest, since the whole frame's hardest need not be.
    """
    combinations = frame.settled.sets.get("ultimate")
    if combinations is None:
        return []
    factors = combinations.factors[~np.isnan(combinations.factors).any(axis=1)]
    rows = np.flatnonzero(~np.isnan(combinations.factors).any(axis=1))
    roving = len(frame.response) - factors.shape[1]
    push = -np.minimum(frame.response.combine(np.pad(factors, ((0, 0), (0, roving)))).n, 0.0)
    pressed = push.sum(axis=1)
    first = np.argsort(-pressed, kind="stable")[:MOST_COMBINATIONS].tolist()
    of_pieces = [int(push[:, each].sum(axis=1).argmax()) for each in frame.response.layout.slices] if each_piece else []
    hardest = [k for k in dict.fromkeys([*first, *of_pieces]) if pressed[k] > PRESSED]
    if not hardest:
        return []
    built = build_frame(frame.settled.design, frame.geometry, frame.settled.materials)
    found = solver.buckling(built, frame.cases, factors[hardest], count=MODES)
    return [(combinations.words(int(rows[k])), each) for k, each in zip(hardest, found, strict=True)]


def _told(frame: Frame, combination: str, buckled: solver.Buckling) -> dict[str, Any]:
    members, lines = frame.settled.design.members, frame.geometry.lines
    first = np.cumsum([0, *(len(line.bays) for line in lines)])
    lengths = [buckled.effective_lengths[first[i] : first[i + 1]].tolist() for i in range(len(members))]
    taking_part = [member.id for member, share in zip(members, buckled.shares[0], strict=True) if share >= TAKES_PART]
    return {
        "combination": combination,
        "factor": _finite(buckled.factor),
        "buckles": taking_part,
        "effective_lengths_mm": {
            member.id: [_finite(each) for each in bays]
            for member, bays in zip(members, lengths, strict=True)
            if any(map(math.isfinite, bays))
        },
    }


def _finite(number: float) -> float | None:
    """None where nothing buckles, or the piece takes part in no mode."""
    return float(number) if math.isfinite(number) else None
