"""Givens of pieces made of several plies: their nails, and what hangs on a stretch of them as long as they are deep on either side.

What hangs there is summed from the loads themselves, at nine places around every station, with roving loads where they stand nearest, whatever else they do there: the shear
force would not tell, as each station takes those loads where they are worst for it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.arranging import Arrangement
from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.frame import Member, Rectangle
from rules.subject.joints import PlyNailing

Floats = NDArray[np.float64]
NAILS_ASK = "With which nails are the plies joined, of which wire and form, and how far apart? (members.ply_nailing)"
NUMBERS = (
    ("diameter_mm", "nail_diameter", "d", "mm", "diameter of a nail between the plies"),
    ("length_mm", "nail_length", "l", "mm", "length of a nail between the plies"),
    ("spacing_mm", "nail_spacing", "s", "mm", "distance of nails along one row"),
    ("rows", "nail_rows", "rows", "1", "rows of nails across the depth"),
    ("f_u_mpa", "nail_f_u", "f_u", "N/mm²", "tensile strength of the nails' wire"),
)


def ply_givens(frame: Frame) -> dict[str, Given]:
    """Of every station's piece: plies and nails; NaN where they are not stated."""
    members, piece = frame.settled.design.members, frame.response.layout.piece
    nails = [member.ply_nailing for member in members]
    given = named(
        Given("plies", "plies", "1", "plies of the piece", np.array([float(member.plies) for member in members])[piece]),
        Given(
            "nail_form",
            "form",
            "",
            "form of the nails",
            Labels.of([each.form if each else None for each in nails]).spread(piece),
            NAILS_ASK,
        ),
        Given("nail_predrilled", "predrilled", "", "drilled first", np.array([bool(each and each.predrilled) for each in nails])[piece]),
        Given(
            "half_window", "w/2", "mm", "stretch on each side: a depth, or half the distance of nails", np.array(_halves(members))[piece]
        ),
    )
    for field, name, symbol, unit, what in NUMBERS:
        given[name] = Given(name, symbol, unit, what, np.array([_stated(each, field) for each in nails])[piece], NAILS_ASK)
    return given


def _stated(nails: PlyNailing | None, field: str) -> float:
    value = getattr(nails, field) if nails else None
    return math.nan if value is None else float(value)


def _halves(members: Sequence[Member]) -> list[float]:
    depths = [member.section.h_mm if isinstance(member.section, Rectangle) else 0.0 for member in members]
    return [
        max(depth, (member.ply_nailing.spacing_mm if member.ply_nailing else 0.0) / 2.0)
        for depth, member in zip(depths, members, strict=True)
    ]


def window_givens(frame: Frame, arranged: Arrangement, factors: Floats) -> dict[str, Given]:
    """The load that hangs on the stretch around every station, in every combination; nought on pieces of one ply."""
    found: Floats = np.zeros((1, 1))
    if any(member.plies > 1 for member in frame.settled.design.members):
        whole = np.maximum.reduce([_combined(frame, np.nan_to_num(factors), centres) for centres in _centres(frame)])
        found = np.where(np.isnan(factors).any(axis=1, keepdims=True), math.nan, whole)[arranged.rows]
    return named(Given("window_load", "F_w", "N", "load on that stretch of the piece", found, frame.ask))


def _centres(frame: Frame) -> list[Floats]:
    """(stations,) middles of stretches that each station answers for: its own place and four on each way half-way to its neighbours."""
    at, bay = frame.response.layout.at, frame.response.layout.number
    gap = np.where(np.diff(bay) == 0, np.diff(at), 0.0)
    back, on = np.append(0.0, gap) / 2.0, np.append(gap, 0.0) / 2.0
    return [at - share * back if share > 0.0 else at - share * on for share in np.linspace(-1.0, 1.0, PLACES)]


PLACES = 9
"""Odd, so that the station itself is one of them."""


def _combined(frame: Frame, factors: Floats, centres: Floats) -> Floats:
    """(combinations, stations) N: what has a place is added up, what has none stands where there is most of it."""
    fixed = np.stack([_hanging(frame, case, centres) for case in frame.cases])
    found = np.hypot(*(factors @ fixed[:, :, way] for way in (0, 1)))
    for group in frame.alternatives:
        cases = frame.moving[group.rows.start - len(frame.cases) : group.rows.stop - len(frame.cases)]
        sizes = np.stack([np.hypot(*_hanging(frame, case, centres).T) for case in cases])
        found = found + factors[:, [group.action]] * (sizes.max(axis=0) if group.exclusive else sizes.sum(axis=0))
    return np.asarray(found, dtype=np.float64)


def _hanging(frame: Frame, case: solver.Case, centres: Floats) -> Floats:
    """(stations, 2) N of one case on the stretches with these middles, on pieces of several plies."""
    layout, members = frame.response.layout, frame.settled.design.members
    halves = _halves(members)
    found = np.zeros((len(layout.at), 2))
    for load in case:
        if isinstance(load, solver.LineLoad | solver.PointLoad) and members[load.piece].plies > 1:
            places = layout.slices[load.piece]
            at = centres[places]
            found[places] += _within(load, at - halves[load.piece], at + halves[load.piece])
    return found


def _within(load: solver.LineLoad | solver.PointLoad, low: Floats, high: Floats) -> Floats:
    """(stations, 2) what of one load lies between low and high, mm along its piece."""
    if isinstance(load, solver.PointLoad):
        inside = (load.at >= low) & (load.at <= high)
        return np.outer(inside, (load.fx, load.fy))
    first, last = np.clip(low, load.start, load.end), np.clip(high, load.start, load.end)
    middle = ((first + last) / 2.0 - load.start) / max(load.end - load.start, 1e-9)
    mean = np.stack([q[0] + (q[1] - q[0]) * middle for q in (load.qx, load.qy)], axis=1)
    return np.asarray(mean * (last - first)[:, None], dtype=np.float64)
