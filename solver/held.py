"""What loads do to bays whose ends cannot move: simple beams whose shares stand on the ends, and the basic forces that their joints hold."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from .brackets import Brackets, bracket
from .elements import Elements, axes
from .frame import Array
from .incidence import against, gather
from .loading import Loading, onto_unknowns
from .mesh import Mesh


class Held(NamedTuple):
    """Bays (B) that cannot move, under load cases (C).

    ``local`` (2, C, B) q0 L along and across the bay, ``ramp`` (2, C, B) q1 L², or None; ``stands`` (C, 1 or 2, 2, B) x and y of the shares of
    start and end, where they differ, were the bay a simple beam. ``bends`` (2, C, B) end moments or, where ``sag`` is None,
    (2, 1, B) those of a unit force across; ``axial`` (C, B) axial force, or None. ``feet`` (3, C, B) N, V and m1 at the start. ``sag`` (C, B) ∬∫q over the cube of the length, of a bay whose start is free, or None: q0 L / 24.
    ``slide`` (C, B) what point moments leave out of ∫V, or None.
    """

    local: Array
    ramp: Array | None
    stands: Array
    bends: Array
    axial: Array | None
    feet: Array
    sag: Array | None
    slide: Array | None

    @property
    def moments(self) -> Array:
        """(2, C, B) end moments."""
        return self.bends * self.local[1] if self.sag is None else self.bends

    @property
    def basic(self) -> Array:
        """(2 or 3, C, B) basic forces: only the moments where the axial one is nothing."""
        return self.moments if self.axial is None else np.concatenate((self.axial[None], self.moments))


def fixed(mesh: Mesh, parts: Elements, loads: Loading) -> Held:
    """What the loads do while all unknowns are held at zero."""
    local = _local(mesh, loads.even)
    axial = None if loads.strain is None else -mesh.ea * loads.strain
    if loads.ramp is not None or len(loads.brackets):
        return _uneven(mesh, parts, loads, local, axial)
    along, across = local
    feet = np.empty((3, *along.shape))
    np.multiply(along, 0.5, out=feet[0])
    np.multiply(across, parts.numbers[7] - 0.5, out=feet[1])
    np.multiply(across, parts.numbers[3], out=feet[2])
    if axial is not None:
        feet[0] += axial
    return Held(local, None, 0.5 * loads.even[:, None], parts.numbers[3:5, None], axial, feet, None, None)


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


def _uneven(mesh: Mesh, parts: Elements, loads: Loading, local: Array, axial: Array | None) -> Held:
    """The same with loads that change along a bay, or start, stop or stand inside one."""
    ramp = None if loads.ramp is None else _local(mesh, loads.ramp)
    whole = local if ramp is None else np.concatenate((local, ramp))
    rows = np.tensordot(WHOLE[:, : len(whole)], whole, axes=1)
    slide = _add_brackets(mesh, loads.brackets, rows) if len(loads.brackets) else None
    turns = rows[4:6] * (mesh.length * mesh.length / mesh.ei)
    if slide is not None and mesh.shear is not None:
        turns -= slide * (mesh.shear / mesh.length)
    _, k11, k12, k22 = parts.basic
    moments = np.array((k11 * turns[0] + k12 * turns[1], k12 * turns[0] + k22 * turns[1]))
    stands = np.stack((_globally(mesh, rows[:2]), _globally(mesh, rows[2:4])), axis=1)
    thrust = rows[0] if axial is None else rows[0] + axial
    feet = np.array((thrust, (moments[0] + moments[1]) / mesh.length - rows[1], moments[0]))
    return Held(local, ramp, stands, moments, axial, feet, rows[6], slide)


def _local(mesh: Mesh, given: Array) -> Array:
    """x and y (C, 2, B) as along and across the bays (2, C, B)."""
    by_cos, by_sin = given * mesh.way[0], given * mesh.way[1]
    local = np.empty((2, len(given), given.shape[2]))
    np.add(by_cos[:, 0], by_sin[:, 1], out=local[0])
    np.subtract(by_cos[:, 1], by_sin[:, 0], out=local[1])
    return local


def _globally(mesh: Mesh, local: Array) -> Array:
    """Along and across the bays (2, C, B) as x and y (C, 2, B)."""
    (c, s), (u, w) = mesh.way, local
    return np.stack((c * u - s * w, s * u + c * w), axis=1)


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


def called(mesh: Mesh, parts: Elements, loads: Loading, held: Held) -> Array:
    """(C, 3 n) forces on the unknowns that move the frame: of the loads, and of the bays that cannot move."""
    if held.sag is not None or held.axial is not None:
        return -missing(mesh, parts, loads, held, held.basic)
    ends = parts.leans * held.local[1][:, None]
    _stand(mesh, ends, held.stands)
    found = gather(mesh, ends)
    found += onto_unknowns(mesh, loads.nodal)
    return found


def missing(mesh: Mesh, parts: Elements, loads: Loading, held: Held, basic: Array) -> Array:
    """(C, 3 n) what the unknowns must be given for bays with basic forces (3, C, B), or (2, C, B) end moments, and the loads to stand in
    equilibrium: at a free node nothing, at a support its reaction."""
    ends = against(parts.shape[-len(basic) :], basic)
    _stand(mesh, ends, -held.stands)
    found = gather(mesh, ends)
    found -= onto_unknowns(mesh, loads.nodal)
    return found


def _stand(mesh: Mesh, ends: Array, stands: Array) -> None:
    """Add forces that stand on the ends of the bays to those on their unknowns (C, 6, B), in place."""
    if mesh.arms is None and mesh.turned is None:
        ends.reshape(len(ends), 2, 3, len(mesh.length))[:, :, :2] += stands
        return
    cos, sin = axes(mesh)
    for end in (0, 1):
        (x, y), nodes = stands[:, min(end, stands.shape[1] - 1)].swapaxes(0, 1), mesh.ends[end]
        if mesh.arms is not None:
            ends[:, 3 * end + 2] += mesh.arms[end, 0] * y - mesh.arms[end, 1] * x
        ends[:, 3 * end] += cos[nodes] * x + sin[nodes] * y
        ends[:, 3 * end + 1] += cos[nodes] * y - sin[nodes] * x
