"""Linear effects of loads, by name: forces along the pieces, movements, bearing forces. One row a load case or combination."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.framed import Frame
from rules.judge.span import span_movement
from rules.subject.frame import Support

Floats = NDArray[np.float64]
Effects = dict[str, Floats]
"""(rows, places) by name; every one is a sum over the cases."""

EffectsOf = Callable[[Frame, solver.Table, Floats], Effects]
"""Of rows of answers, with the load cases mixed in every row: (rows, cases)."""


def forces(_: Frame, table: solver.Table, _mix: Floats) -> Effects:
    """N, V (N) and M (N·mm) at every station."""
    return {"n": table.n, "v": table.v, "m": table.m}


def movements(frame: Frame, table: solver.Table, mix: Floats, *, creeping: bool = False) -> Effects:
    """mm at every station: up, against the line between the supports; and square to the piece, against the line of its bay.

    With what joints slip; creeping: of the part that grows with creep, in which slip counts for its own multiple.
    """
    found = {"w_span": span_movement(frame, table), "w_bay": bay_movement(frame, table)}
    if frame.slip.moved is None:
        return found if not frame.slip.ask else {name: np.full_like(each, np.nan) for name, each in found.items()}
    slipped = {"w_span": span_movement(frame, frame.slip.moved), "w_bay": bay_movement(frame, frame.slip.moved)}
    return {name: each + frame.slip.grown(creeping=creeping) * (mix @ slipped[name]) for name, each in found.items()}


def creeping_movements(frame: Frame, table: solver.Table, mix: Floats) -> Effects:
    """The same of the part of a combination that grows with creep."""
    return movements(frame, table, mix, creeping=True)


def bearing(_: Frame, table: solver.Table, _mix: Floats) -> Effects:
    """Forces on the frame at every support, N: upwards (that is, down on the bearing) and to the right."""
    return {"down": table.reactions[:, :, 1], "sideways": table.reactions[:, :, 0]}


def sliding(frame: Frame, table: solver.Table, _mix: Floats) -> Effects:
    """Sideways movement in mm of every bearing that is free to slide; one place of nought without any."""
    nodes = [frame.geometry.at[support.node] for support in frame.settled.design.supports if slides(support)]
    return {"roller_x": table.displacements[:, nodes, 0] if nodes else np.zeros((len(table), 1))}


def slides(support: Support) -> bool:
    """Whether nothing holds it sideways."""
    return "x" not in support.holds and support.springs.x_kn_per_mm is None


def bay_movement(frame: Frame, table: solver.Table) -> Floats:
    """Movement square to the piece at every station, less the straight line between its bay's two ends."""
    layout, lines = frame.response.layout, frame.geometry.lines
    cos = np.array([line.cos for line in lines])[layout.piece]
    sin = np.array([line.sin for line in lines])[layout.piece]
    across = table.uy * cos - table.ux * sin
    first = np.concatenate([[True], (np.diff(layout.piece) != 0) | (np.diff(layout.bay) != 0)])
    starts = np.flatnonzero(first)
    ends = np.append(starts[1:], len(first)) - 1
    which = np.cumsum(first) - 1
    begin, finish = starts[which], ends[which]
    reach = np.maximum(layout.at[finish] - layout.at[begin], 1e-12)
    share = (layout.at - layout.at[begin]) / reach
    return np.asarray(across - (1.0 - share) * across[:, begin] - share * across[:, finish], dtype=np.float64)
