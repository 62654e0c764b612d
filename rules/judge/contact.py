"""What one plate holds of one piece: effective area, its middle and moduli, and how far the plate reaches."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rules.judge.links import Link
from rules.judge.outlines import Body, Cut, Point
from rules.judge.polar import polar_modulus

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Contact:
    """What one plate at one place holds of one piece, mm: effective area, its middle, its polar modulus exactly and by the code's short
    form; bite: how far the plate reaches over the piece from its joint line; extents of the effective area from the axis, to the left
    and to the right of the grain, and along it; across: depth of the piece under the plate, margins included. NaN: no effective area."""

    area: float
    middle: Point
    exact: float
    short: float
    bite: float
    left: float
    right: float
    along: float
    across: float


NO_CONTACT = Contact(math.nan, (math.nan, math.nan), *[math.nan] * 7)


@dataclass(frozen=True, slots=True)
class Timber:
    """One piece under a plate: its outline, what of it is within the margins, and the joint lines it hangs on, their normals towards it."""

    body: Body
    whole: shapely.Polygon
    effective: shapely.Polygon
    lines: tuple[Cut, ...]


def timber(bodies: Sequence[Body], i: int, margins: tuple[float, float], links: Sequence[Link]) -> Timber:
    """Of one body of a joint. margins: at edges, and along the grain at ends, mm."""
    lines = tuple(_seen(link, i) for link in links if link.cut is not None and i in (link.bodies[0], link.other))
    return Timber(bodies[i], bodies[i].outline(), bodies[i].outline(*margins), lines)


def contact(piece: Timber, plate: shapely.Polygon) -> Contact:
    """What the plate holds of the piece."""
    shape = plate.intersection(piece.effective)
    if shape.area <= 0.0:
        return NO_CONTACT
    corners, under = shapely.get_coordinates(shape)[:-1], shapely.get_coordinates(plate.intersection(piece.whole))
    middle = (shape.centroid.x, shape.centroid.y)
    ahead, beside = _along_and_across(piece.body, corners)
    return Contact(
        shape.area, middle, polar_modulus(corners, middle), _short_form(shape.area, corners), _bite(piece, under),
        float(beside.max()), float(-beside.min()), float(np.ptp(ahead)), float(np.ptp(_along_and_across(piece.body, under)[1])),
    )  # fmt: skip


def _along_and_across(body: Body, corners: Floats) -> tuple[Floats, Floats]:
    """Places of corners along the grain and to the left of it, mm from the joint's place on the axis."""
    (c, s), (x, y) = body.grain, (corners - np.asarray(body.origin)).T
    return x * c + y * s, y * c - x * s


def _short_form(area: float, corners: Floats) -> float:
    """A_ef d/4 with d of a rectangle as high as the area is square to its longest side (8.48), (8.49)."""
    edges = np.roll(corners, -1, axis=0) - corners
    longest = int(np.hypot(*edges.T).argmax())
    along = edges[longest] / np.hypot(*edges[longest])
    height = np.ptp(corners[:, 1] * along[0] - corners[:, 0] * along[1])
    return float(area * np.hypot(area / height, height) / 4.0)


def _bite(piece: Timber, under: Floats) -> float:
    """How far what is under the plate reaches over the piece from the nearest joint line it hangs on; NaN without any."""
    return min((cut.reach(under) for cut in piece.lines), default=math.nan)


def _seen(link: Link, i: int) -> Cut:
    """The joint line with its normal pointing to body i."""
    assert link.cut is not None
    (a, b), own = link.cut.inward, link.bodies[0] == i
    return link.cut if own else Cut(link.cut.point, (-a, -b))
