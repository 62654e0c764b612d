"""Natural frequencies of the frame, and its stiffness under one kilonewton: information for the engineer, no judgement."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

import solver
from rules.judge.framed import Frame
from rules.judge.mechanics import build_frame
from rules.judge.span import station_x
from rules.subject.design import FLOOR_TYPES

WALKED_ON = ("joist", "top-chord")


def vibration_part(frame: Frame) -> dict[str, Any] | None:
    """The three lowest frequencies in Hz with the mass of the pieces and of permanent load; None where nothing has mass."""
    gravity = frame.selection.values.get("gravity")
    g = float(gravity.number) if gravity is not None and isinstance(gravity.number, (int, float)) else None
    built = build_frame(frame.settled.design, frame.geometry, frame.settled.materials)
    heavy = replace(built, pieces=tuple(_loaded(frame, index, piece, g) for index, piece in enumerate(built.pieces)))
    if not any(piece.mass > 0.0 for piece in heavy.pieces):
        return None
    found = solver.natural_modes(heavy, count=3)
    return {
        "frequencies_hz": found.frequencies.tolist(),
        "mass": "pieces, and permanent load along them" if g is not None else "pieces only",
        "one_kilonewton": _one_kilonewton(frame, built),
    }


def _loaded(frame: Frame, index: int, piece: solver.Piece, g: float | None) -> solver.Piece:
    """The piece with the permanent line loads it carries spread evenly along it as mass."""
    if g is None:
        return piece
    permanent = [i for i, each in enumerate(frame.settled.actions) if each.action.nature == "permanent"]
    down = sum(
        -(load.qy[0] + load.qy[1]) / 2.0 * (load.end - load.start)
        for i in permanent
        for load in frame.cases[i]
        if isinstance(load, solver.LineLoad) and load.piece == index
    )
    length = frame.geometry.lines[index].length
    own = piece.mass * g * length if frame.settled.design.self_weight else 0.0
    return replace(piece, mass=piece.mass + max(down - own, 0.0) / (g * length))


def _one_kilonewton(frame: Frame, built: solver.Frame) -> dict[str, Any] | None:
    """Movement under 1 kN at the middle of the piece that is walked on; None for anything but a floor."""
    design = frame.settled.design
    walked = [i for i, member in enumerate(design.members) if member.role in WALKED_ON]
    if design.component_type not in FLOOR_TYPES or not walked:
        return None
    piece = max(walked, key=lambda i: frame.geometry.lines[i].length)
    held = [frame.geometry.xy[frame.geometry.at[support.node], 0] for support in design.supports if "y" in support.holds]
    middle = (min(held) + max(held)) / 2.0
    places = frame.response.layout.slices[piece]
    at = float(frame.response.layout.at[places][int(np.argmin(np.abs(station_x(frame)[places] - middle)))])
    answer = solver.analyse(built, [[solver.PointLoad(piece, at, fy=-1000.0)]])
    return {"member": design.members[piece].id, "at_mm": at, "deflection_mm": float(-answer.uy[0, answer.layout.slices[piece]].min())}
