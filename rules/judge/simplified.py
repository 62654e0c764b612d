"""The simplified analysis of trusses made of triangles: pinned at the nodes for axial forces, beams on firm nodes for moments.

One analysis gives both: with pieces that hardly bend compared with how they stretch, nodes stay where the triangles hold them. Moments
over inner nodes are lessened afterwards, for nodes that give and joints that hold a little; what an overhang hangs on is not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.answers import Answers, combined_of, mixed
from rules.judge.framed import Frame
from rules.judge.geometry import Geometry, Line
from rules.judge.profile import profile_givens
from rules.library.choosing import Selection
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]

FIRM = 1e-4
"""Share of their stiffness in bending that pieces keep; moments are then within 1e-5 of those on nodes that do not move."""
HOLDS, LESSENED, INCREASED = "simplified_analysis_holds", "node_moment_reduction", "axial_increase"
"""What is asked of the code: whether its conditions are met, how much moment over a node goes, by how much axial forces grow."""
NOT_MET = (
    "The simplified analysis was asked for and not all of its conditions are met or known (see the findings of simplified-analysis): "
    "take the general one (codes.parameters.analysis)."
)


def firm(built: solver.Frame) -> solver.Frame:
    """The frame with pieces that hardly bend compared with how they stretch, and do not slide; bearings stand under their nodes."""
    pieces = tuple(replace(piece, ei=piece.ei * FIRM, ga=math.inf) for piece in built.pieces)
    return replace(built, pieces=pieces, supports=tuple(replace(support, offset=(0.0, 0.0)) for support in built.supports))


def simplified(frame: Frame, base: CombinationSet) -> Answers:
    """The combinations by this analysis; nothing but a question where its conditions are not met."""
    assert frame.firm is not None
    if not conditions_met(frame.selection, frame):
        combined = combined_of(frame, frame.response, base.factors)
        return Answers(combined, mixed(frame, base.factors), frame.response, combined.lifted, ask=NOT_MET)
    combined, cases = combined_of(frame, frame.firm, base.factors), frame.firm
    eased = [lessened(table, frame.geometry, _number(frame.selection, LESSENED)) for table in (combined, cases)]
    grown = [_grown(table, 1.0 + _number(frame.selection, INCREASED)) for table in eased]
    answers = Answers(eased[0], mixed(frame, base.factors), eased[1], combined.lifted)
    return replace(answers, joints=replace(answers, table=grown[0], cases=grown[1]))


def conditions_met(selection: Selection, frame: Frame) -> bool:
    """Whether the code's conditions for it hold, all of them, and are known to."""
    evidence = selection.evidence(profile_givens(frame))
    return bool(np.all(evidence[HOLDS])) and evidence.gap(HOLDS) is False


def _number(selection: Selection, name: str) -> float:
    number = selection.values[name].number
    assert isinstance(number, float)
    return number


def lessened(table: solver.Table, geometry: Geometry, share: float) -> solver.Table:
    """A share of the moment over every inner node less; between nodes moments and shear follow, so that each bay stays in balance."""
    layout = table.layout
    first, last = layout.edges
    near, far = (share * np.array(each) for each in zip(*node_ends(geometry.lines), strict=True))
    lengths = np.array([bay for line in geometry.lines for bay in line.bays])
    a, b = near * table.m[:, first], far * table.m[:, last]
    slope = ((b - a) / lengths)[:, layout.number]
    return table.with_forces(table.n, table.v - slope, table.m - a[:, layout.number] - slope * layout.inside)


def node_ends(lines: Sequence[Line]) -> Iterator[tuple[float, float]]:
    """Of every bay, whether (1 or 0) its ends lie over nodes whose moment may change hands: inner ones with a held bay on either side."""
    for line in lines:
        held = (False, *line.held, False)
        for k in range(1, len(held) - 1):
            yield float(held[k] and held[k - 1]), float(held[k] and held[k + 1])


def _grown(table: solver.Table, factor: float) -> solver.Table:
    return table.with_forces(factor * table.n, table.v, table.m)
