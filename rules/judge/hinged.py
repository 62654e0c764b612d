"""Whether the frame still stands when every splice within a piece turns freely, EN 1995-1-1 5.4.2: asked of the solver, no forces taken from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

import solver
from rules.judge.framed import Frame
from rules.judge.mechanics import build_frame
from rules.subject.axes import TOLERANCE_MM


def stands_hinged(frame: Frame) -> bool:
    """Whether it stands with a hinge at every splice of the document; True without any."""
    design = frame.settled.design
    if not design.splices:
        return True
    whole = build_frame(design, frame.geometry, frame.settled.materials)
    places = [sorted(each.at_mm for each in design.splices if each.member == member.id) for member in design.members]
    xy, pieces = [tuple(point) for point in frame.geometry.xy.tolist()], list[solver.Piece]()
    for index, piece in enumerate(whole.pieces):
        pieces += _parted(frame, index, piece, places[index], xy)
    held = tuple(replace(support, push_only=False) for support in whole.supports)
    try:
        solver.analyse(solver.Frame(np.array(xy), tuple(pieces), held), [[solver.NodeLoad(0, fx=1.0, fy=1.0)]])
    except solver.SolverFault:
        return False
    return True


def _parted(
    frame: Frame, index: int, piece: solver.Piece, places: Sequence[float], xy: list[tuple[float, float]]
) -> Iterator[solver.Piece]:
    """The piece in parts that are pinned to each other at its splices; new nodes are added to xy, one that is there already is taken."""
    line = frame.geometry.lines[index]
    at = np.concatenate(([0.0], np.cumsum(line.bays)))
    nodes, start, offset = list(piece.nodes), piece.start, piece.start_offset
    for place in places:
        near = int(np.abs(at - place).argmin())
        if abs(at[near] - place) > TOLERANCE_MM:
            xy.append((line.start[0] + place * line.cos, line.start[1] + place * line.sin))
        hinge = piece.nodes[near] if abs(at[near] - place) <= TOLERANCE_MM else len(xy) - 1
        before = [node for node, mm in zip(piece.nodes, at, strict=True) if node in nodes and mm < place - TOLERANCE_MM]
        yield replace(piece, nodes=(*_from(nodes, before), hinge), start=start, end=0.0, start_offset=offset, end_offset=(0.0, 0.0))
        nodes = [hinge, *(node for node, mm in zip(piece.nodes, at, strict=True) if mm > place + TOLERANCE_MM)]
        start, offset = 0.0, (0.0, 0.0)
    yield replace(piece, nodes=tuple(nodes), start=start, start_offset=offset)


def _from(nodes: Sequence[int], before: Sequence[int]) -> list[int]:
    """The first node of what is left of the piece, and those of its own before the splice."""
    return list(dict.fromkeys([nodes[0], *before]))
