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


def bearing(frame: Frame, table: solver.Table, _mix: Floats) -> Effects:
    """Forces on the frame at every support, N: upwards (that is, down on the bearing) and to the right; where fasteners hold a piece down, the
    shear in it on both sides of the bearing."""
    found = {"down": table.reactions[:, :, 1], "sideways": table.reactions[:, :, 0]}
    return found | _shear_beside(frame, table) if any(_held_by_fasteners(each) for each in frame.settled.design.supports) else found


def _held_by_fasteners(support: Support) -> bool:
    return support.held_down_by is not None and support.held_down_by.fasteners is not None


def _shear_beside(frame: Frame, table: solver.Table) -> Effects:
    """V in N just before and just beyond every bearing, in the piece that sits on it; nought where it ends, or where no piece does."""
    before, after = (np.zeros((len(table), len(frame.settled.seat_members))) for _ in range(2))
    for place, (support, index) in enumerate(zip(frame.settled.design.supports, frame.settled.seat_members, strict=True)):
        if index is not None and _held_by_fasteners(support):
            stations, bay = frame.response.layout.slices[index], frame.settled.design.members[index].nodes.index(support.node)
            bays = frame.response.layout.bay[stations]
            if bay > 0:
                before[:, place] = table.v[:, stations.start + int(np.flatnonzero(bays == bay - 1)[-1])]
            if bay <= bays[-1]:
                after[:, place] = table.v[:, stations.start + int(np.flatnonzero(bays == bay)[0])]
    return {"v_before": before, "v_after": after}


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
