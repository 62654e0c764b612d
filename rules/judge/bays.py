"""Givens of the bays of pieces that run through nodes, as the lengths of the simplified analysis ask after them."""

from __future__ import annotations

import numpy as np

from rules.judge.framed import Frame
from rules.judge.geometry import Line
from rules.judge.properties import named
from rules.library.given import Given
from rules.subject.frame import Member

END_MM = 1e-6


def bay_givens(frame: Frame) -> dict[str, Given]:
    """Of every station: whether its bay's length is the code's to say, whether it is the last of its piece, what lies at its node."""
    layout, lines, members = frame.response.layout, frame.geometry.lines, frame.settled.design.members
    lengths = np.array([bay for line in lines for bay in line.bays])
    outer = np.array([k in (0, len(line.bays) - 1) for line in lines for k in range(len(line.bays))])
    runs = np.array([each for member, line in zip(members, lines, strict=True) for each in _runs_through(member, line)])
    number = layout.number
    before, after = layout.inside < END_MM, layout.inside > lengths[number] - END_MM
    near = np.where(before, number - 1, np.where(after, number + 1, number)).clip(0, len(lengths) - 1)
    at_node = (before | after) & runs[number] & runs[near] & (layout.piece == layout.mesh.piece[near])
    return named(
        Given("runs_through", "through", "", "a bay of a piece that runs over inner nodes, its length left to the code", runs[number]),
        Given("is_outer_bay", "outer", "", "the first or last bay of its piece", outer[number]),
        Given("is_over_node", "over a node", "", "where the piece runs over a node", at_node & (near != number)),
        Given("greater_bay", "l_max", "mm", "the longer of the bays that meet here", np.maximum(lengths[number], lengths[near])),
    )


def _runs_through(member: Member, line: Line) -> list[bool]:
    """Of every bay. A piece with a length stated, with a stiff end or hung on by an overhang keeps the lengths it has."""
    own = member.restraints.in_plane_mm is None and member.start == member.end == "pinned" and all(line.held)
    return [own and len(line.bays) > 1] * len(line.bays)
