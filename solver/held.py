"""What loads do to bays whose ends cannot move: simple beams whose shares stand on the ends, and the basic forces that their joints hold."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from .brackets import Brackets, bracket
from .elements import Elements
from .frame import Array
from .incidence import against, gather
from .loading import Loading, onto_unknowns
from .mesh import Mesh


class Held(NamedTuple):
    """Bays (B) that cannot move, under load cases (C).

    ``ends`` (6, C, B) what stands on the unknowns. ``local`` (2, C, B) q0 L along and across the bay, ``ramp`` (2, C, B) q1 L², or None.
    ``feet`` (3, C, B) N, V and m1 at the start. ``sources`` (5, C, B), the first of those of N, V and M, see :mod:`solver.bending`, or None where loads are uneven.
    ``bends`` (2, C, B) end moments or, where ``sag`` is None, (2, 1, B) those of a unit force across. ``sag`` (C, B) ∬∫q over the cube of the
    length, of a bay whose start is free, or None: q0 L / 24. ``slide`` (C, B) what point moments leave out of ∫V, or None.
    """

    ends: Array
    local: Array
    ramp: Array | None
    feet: Array
    sources: Array | None
    bends: Array
    sag: Array | None
    slide: Array | None

    @property
    def moments(self) -> Array:
        """(2, C, B) end moments."""
        return self.bends * self.local[1] if self.sag is None else self.bends


def fixed(mesh: Mesh, parts: Elements, loads: Loading) -> Held:
    """What the loads do while all unknowns are held at zero."""
    if loads.ramp is not None or len(loads.brackets):
        return _uneven(mesh, parts, loads)
    (in_x, in_y), even = parts.lays[:, :, None], loads.even
    laid = in_x * even[:, 0]
    laid += in_y * even[:, 1]
    if loads.strain is not None:
        axial = -mesh.ea * loads.strain
        laid[:6] -= parts.shape[0][:, None] * axial
        laid[6] += axial
    return Held(laid[:6], laid[7:10:2], None, laid[6:11:2], laid[6:], parts.numbers[5:7, None], None, None)


# From q0 L along and across, then q1 L² along and across: the shares of the start, along and across, and of the end, both end rotations of the
# simple beam times EI/L², and the sag over L³ were the start free.
WHOLE = np.array(
    (
        (1 / 2, 0.0, 1 / 6, 0.0),
        (0.0, 1 / 2, 0.0, 1 / 6),
        (1 / 2, 0.0, 1 / 3, 0.0),
        (0.0, 1 / 2, 0.0, 1 / 3),
        (0.0, -1 / 24, 0.0, -7 / 360),
        (0.0, 1 / 24, 0.0, 8 / 360),
        (0.0, 1 / 24, 0.0, 1 / 120),
    )
)


def _uneven(mesh: Mesh, parts: Elements, loads: Loading) -> Held:
    """The same with loads that change along a bay, or start, stop or stand inside one."""
    local = _local(mesh, loads.even)
    ramp = None if loads.ramp is None else _local(mesh, loads.ramp)
    whole = local if ramp is None else np.concatenate((local, ramp))
    rows = np.tensordot(WHOLE[:, : len(whole)], whole, axes=1)
    slide = _add_brackets(mesh, loads.brackets, rows) if len(loads.brackets) else None
    turns = rows[4:6] * (mesh.length * mesh.length / mesh.ei)
    if slide is not None and mesh.shear is not None:
        turns -= slide * (mesh.shear / mesh.length)
    _, k11, k12, k22 = parts.basic
    moments = np.array((k11 * turns[0] + k12 * turns[1], k12 * turns[0] + k22 * turns[1]))
    axial = np.zeros(moments[0].shape) if loads.strain is None else -mesh.ea * loads.strain
    ends = against(np.concatenate((parts.place, -parts.shape)), np.concatenate((rows[:4], axial[None], moments)))
    feet = np.array((rows[0] + axial, (moments[0] + moments[1]) / mesh.length - rows[1], moments[0]))
    return Held(ends, local, ramp, feet, None, moments, rows[6], slide)


def _local(mesh: Mesh, given: Array) -> Array:
    """x and y (C, 2, B) as along and across the bays (2, C, B)."""
    (c, s), x, y = mesh.way, given[:, 0], given[:, 1]
    return np.array((c * x + s * y, c * y - s * x))


def _add_brackets(mesh: Mesh, given: Brackets, rows: Array) -> Array | None:
    """Add the brackets to the rows of :data:`WHOLE` in place; returns what point moments leave out of ∫V, (C, B)."""
    length = mesh.length[given.bay]
    place = given.case * len(mesh.length) + given.bay
    r0, r1, r2, r3 = (bracket(length - given.at, given.order + 1 + k) / length**k for k in range(4))
    v, m, slope, sag = given.across * (r0, r1, r2, r3)
    parts = (given.axial * r1, m, given.axial * (r0 - r1), v - m, sag - m / 6.0, sag + m / 3.0 - slope, sag)
    for row, part in zip(rows, parts, strict=True):
        row += np.bincount(place, part, row.size).reshape(row.shape)
    turns = given.order == -2
    if not turns.any():
        return None
    size, shape = rows[0].size, rows.shape[1:]
    return np.asarray(-np.bincount(place[turns], given.across[turns], size).reshape(shape), dtype=np.float64)


def called(mesh: Mesh, loads: Loading, held: Held) -> Array:
    """(C, 3 n) forces on the unknowns that move the frame: of the loads, and of the bays that cannot move."""
    found = gather(mesh, held.ends)
    found += onto_unknowns(mesh, loads.nodal)
    return found
