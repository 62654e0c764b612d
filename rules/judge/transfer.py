"""What plates have to pass between the pieces at a joint: forces at the sections of the pieces, held in balance over the joint.

A piece needs from the joint what holds the cut ends of its bays; loads that stand on the piece right at the node, and the reaction of a
bearing there, it has already. Node loads and reactions are taken to act on one piece, the carrier, which balances the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.framed import Frame
from rules.judge.outlines import Body
from rules.judge.plated import Plated, number
from rules.judge.shared import ALONE

Floats = NDArray[np.float64]
AT_NODE_MM = 1e-6
"""Loads this near to a node stand on it, as far as the solver is concerned."""


@dataclass(frozen=True, slots=True)
class _Face:
    """One cut end of a bay. sign: 1 where the piece goes on from it, -1 where it comes to it; stations with weights: N and V are
    straight between two stations, M follows its slope (station, on N and V, on M, of V on M)."""

    sign: float
    stations: tuple[tuple[int, float, float, float], ...]


def wrenches(frame: Frame, plated: Plated, table: solver.Table, mix: Floats) -> Floats:
    """(rows, bodies, 3) force in N on each piece by these plates, and moment in N·mm about the joint's origin; they balance.

    mix: (rows, cases) the load cases in every row of the table. A piece gets from them what it and all that hangs on it beyond them need.
    """
    found = np.stack([_needs(frame, table, body, plated) - mix @ _standing(frame, body) for body in plated.everyone], axis=1)
    carrier = _carrier(frame, plated)
    if carrier is not None:
        found[:, carrier] = -np.delete(found, carrier, axis=1).sum(axis=1)
    passed = np.stack([found[:, list(behind)].sum(axis=1) for behind in plated.behind], axis=1)
    return plated.share.of(passed) if plated.share is not ALONE else passed


def _needs(frame: Frame, table: solver.Table, body: Body, plated: Plated) -> Floats:
    """(rows, 3) what holds the body's cut ends."""
    line = frame.geometry.lines[body.member]
    d, n, (x, y) = (line.cos, line.sin), (-line.sin, line.cos), body.origin
    total = np.zeros((len(table), 3))
    for face in _faces(frame, body, plated):
        axial = sum(on * table.n[:, k] for k, on, _, _ in face.stations)
        shear = sum(on * table.v[:, k] for k, on, _, _ in face.stations)
        moment = sum(share * table.m[:, k] + slope * table.v[:, k] for k, _, share, slope in face.stations)
        fx = face.sign * (n[0] * shear - d[0] * axial)
        fy = face.sign * (n[1] * shear - d[1] * axial)
        total += np.stack([fx, fy, -face.sign * moment + x * fy - y * fx], axis=1)
    return total


def _faces(frame: Frame, body: Body, plated: Plated) -> Iterator[_Face]:
    layout, first = frame.response.layout, frame.response.layout.slices[body.member].start
    here = layout.slices[body.member]
    if plated.part == "splices":
        ahead = body.grain[0] * frame.geometry.lines[body.member].cos + body.grain[1] * frame.geometry.lines[body.member].sin > 0.0
        yield _Face(1.0 if ahead else -1.0, _between(layout.at[here], layout.bay[here], body.at, first))
        return
    bays = layout.bay[here]
    node = int(np.argmin(np.abs(np.concatenate(([0.0], np.cumsum(frame.geometry.lines[body.member].bays))) - body.at)))
    if node > 0:
        yield _Face(-1.0, ((first + int(np.flatnonzero(bays == node - 1)[-1]), 1.0, 1.0, 0.0),))
    if node <= bays[-1]:
        yield _Face(1.0, ((first + int(np.flatnonzero(bays == node)[0]), 1.0, 1.0, 0.0),))


def _between(at: Floats, bays: NDArray[np.intp], place: float, first: int) -> tuple[tuple[int, float, float, float], ...]:
    """Stations on both sides of a place within a piece, with Hermite's weights for the moment, whose slope is V."""
    right = int(np.clip(np.searchsorted(at, place, side="right"), 1, len(at) - 1))
    while bays[right] != bays[right - 1] or at[right] - at[right - 1] <= 0.0:
        right -= 1
    left, run = right - 1, float(at[right] - at[right - 1])
    t = (place - float(at[left])) / run
    h00, h10, h01, h11 = (1 + 2 * t) * (1 - t) ** 2, t * (1 - t) ** 2, t * t * (3 - 2 * t), t * t * (t - 1)
    return (first + left, 1 - t, h00, h10 * run), (first + right, t, h01, h11 * run)


def _standing(frame: Frame, body: Body) -> Floats:
    """(cases, 3) forces that loads put on the piece right where the joint is, with their moment about the joint's origin."""
    cases = (*frame.cases, *frame.moving)
    found = np.zeros((len(cases), 3))
    for i, case in enumerate(cases):
        for load in case:
            if isinstance(load, solver.PointLoad) and load.piece == body.member and abs(load.at - body.at) < AT_NODE_MM:
                found[i] += load.fx, load.fy, load.m + body.origin[0] * load.fy - body.origin[1] * load.fx
    return found


def _carrier(frame: Frame, plated: Plated) -> int | None:
    """The body that reactions and node loads act on: what sits on the bearing, else what runs through, else the first chord."""
    if plated.part == "splices":
        return None
    supports = zip(frame.settled.design.supports, frame.settled.seat_members, strict=True)
    seated = next((seat for support, seat in supports if support.node == plated.node), None)
    members = [body.member for body in plated.everyone]
    return members.index(seated) if seated in members else min(range(len(members)), key=lambda i: plated.everyone[i].rank)


def flows(plated: Plated, found: Floats) -> Floats:
    """(rows, links, 3) what each link passes to its near side."""
    listed = [found[:, list(link.bodies)].sum(axis=1) for link in plated.links]
    return np.stack(listed, axis=1) if listed else np.zeros((len(found), 0, 3))


def pressed(frame: Frame, plated: Plated, flow: Floats) -> Floats:
    """(rows, links, 2) the part of each link's force that the pieces press straight into each other; nought without a promise."""
    if not plated.touches:
        return np.zeros((*flow.shape[:2], 2))
    share = number(frame.selection.values, "plate_contact_share")
    normals = np.array([link.cut.inward if link.cut else (math.nan, math.nan) for link in plated.links])
    push = np.maximum((flow[..., :2] * normals).sum(axis=-1), 0.0)
    return np.asarray(share * push[..., None] * normals, dtype=np.float64)


def shear_beside(frame: Frame, body: Body, plated: Plated, table: solver.Table) -> Floats:
    """(rows, 2) shear force in the piece just before and just beyond the joint, N; nought where it ends."""
    found = np.zeros((len(table), 2))
    for face in _faces(frame, body, plated):
        found[:, 0 if face.sign < 0.0 else 1] = sum(on * table.v[:, k] for k, on, _, _ in face.stations)
    return found
