"""Facts of the notches and holes of a joist for declared rules: how deep, and how far from the nearest bearing as a share of the span."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from rules.judge.cuts import bearings_along
from rules.judge.framed import Frame
from rules.library.rows import FactValue
from rules.subject.frame import Cut, Rectangle

Row = dict[str, FactValue]


def cut_row(frame: Frame, index: int) -> Row:
    """The facts of one piece; nought where it has no notch or hole."""
    member = frame.settled.design.members[index]
    depth = member.section.h_mm if isinstance(member.section, Rectangle) else math.inf
    notches, holes = member.notches, member.holes
    bearings = sorted(bearings_along(frame, index))
    notch_at, hole_at = ([_share(cut.at_mm, bearings) for cut in cuts] for cuts in (notches, holes))
    return {
        "member.notch_depth_share": max((cut.depth_mm / depth for cut in notches), default=0.0),
        "member.notch_from_share": min(notch_at, default=0.0),
        "member.notch_to_share": max(notch_at, default=0.0),
        "member.notched_below": any(cut.face != "upper" for cut in notches),
        "member.hole_depth_share": max((cut.depth_mm / depth for cut in holes), default=0.0),
        "member.hole_from_share": min(hole_at, default=0.0),
        "member.hole_to_share": max(hole_at, default=0.0),
        "member.hole_off_axis": any(cut.face is not None for cut in holes),
        "member.hole_gap_diameters": _diameters_apart(holes),
        "member.hole_gap_mm": min((b - a for a, b in pairwise(sorted(hole.at_mm for hole in holes))), default=FAR),
        "member.hole_to_notch_mm": min((abs(hole.at_mm - notch.at_mm) for hole in holes for notch in notches), default=FAR),
    }


FAR = 1e6
"""mm, or diameters: between cuts of which there are no two."""


def _share(at: float, bearings: Sequence[float]) -> float:
    """Distance from the nearest bearing over the span it lies in; nought beyond the outer bearings, or where there is no span."""
    for before, after in pairwise(bearings):
        if before <= at <= after and after > before:
            return min(at - before, after - at) / (after - before)
    return 0.0


def _diameters_apart(holes: Sequence[Cut]) -> float:
    """Least distance between the middles of neighbouring holes, in diameters of the larger."""
    ordered = sorted(holes, key=lambda hole: hole.at_mm)
    gaps = ((b.at_mm - a.at_mm) / max(a.depth_mm, b.depth_mm) for a, b in pairwise(ordered))
    return min(gaps, default=FAR)
