"""The forces a set of combinations is judged from, by the analysis that was chosen, and how its roving loads stand if that is settled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.arranging import Arrangement
from rules.judge.framed import Frame
from rules.subject.faults import DesignRefused, Fault
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Answers:
    """table: the combinations, without what roves; mix: (rows, cases) the cases in each; cases: all cases, for what roves.

    arranged: how its rows come from the combinations, where each was solved by itself; None where effects may be added. lifted:
    (combinations, supports). joints: the same where joints are judged, if that differs. lost: the combination in which no balance was
    found. ask: why there are no forces, and what to do; empty when there are.
    """

    table: solver.Table
    mix: Floats
    cases: solver.Table
    lifted: NDArray[np.bool_]
    arranged: Arrangement | None = None
    joints: Answers | None = None
    lost: int | None = None
    ask: str = ""


def of_the_frame(frame: Frame, base: CombinationSet) -> Answers:
    """First order, as the frame stands."""
    combined = combined_of(frame, frame.response, base.factors)
    return Answers(combined, mixed(frame, base.factors), frame.response, combined.lifted)


def combined_of(frame: Frame, response: solver.Response, factors: Floats) -> solver.Combined:
    """Combine the cases that have a place; unknown factors (NaN) count as nought here and are blanked afterwards."""
    combined = response.combine(mixed(frame, factors))
    if frame.alternatives and combined.lifted.any():
        hint = "Give the load one action for each place instead, or hold the bearing down."
        detail = "A bearing that can only push lifts off, and then a load that may stand anywhere cannot simply be added."
        raise DesignRefused((Fault("/supports", "roving-load-on-lifting-bearing", detail, hint=hint),))
    return combined


def mixed(frame: Frame, factors: Floats) -> Floats:
    """(K, rows of the response) factors of the cases that have a place; nought for the others and for what is unknown."""
    mix = np.zeros((len(factors), len(frame.response)))
    np.copyto(mix[:, : factors.shape[1]], factors, where=~np.isnan(factors))
    return mix
