"""Elastic buckling in the plane: load factors, modes, which pieces take part, and the effective lengths that follow.

First order of its own: never to be mixed with the second-order road of :mod:`solver.displaced`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .analyse import Solution, solve_combined
from .contact import by_contact
from .frame import Array, Case, Flags, Frame, Index
from .mesh import Mesh
from .modes import modes
from .refine import divided, per_bay
from .second import Shapes, arms, geometric, mean_axial, pushes, shapes, sliding
from .statics import assembled, factor

TAKES_PART = 0.1  # share of a mode's strain energy from which a piece counts as buckling with it
SHORT = 1e-12  # how near Newton's steps come, and how far a bay stays from sliding away
STEPS = 60
NEVER = 1e-12  # a mode whose inverse factor is below this does not buckle under this combination


@dataclass(frozen=True)
class Buckling:
    """Buckling of one combination.

    ``factors`` (modes,): the loads times this are critical, ascending; inf where nothing buckles. ``shapes`` (modes, nodes, 3): movement of
    the frame's own nodes and, after them, of those that divide the bays. ``shares`` (modes, pieces): strain energy of the piece over that of
    the mode. ``effective_lengths`` (bays,) mm: from the first mode in which the piece takes part; inf where the bay is not in compression, NaN
    where the piece takes part in none.
    """

    factors: Array
    shapes: Array
    shares: Array
    effective_lengths: Array

    @property
    def factor(self) -> float:
        """The smallest factor; inf where nothing can buckle."""
        return float(self.factors.min(initial=np.inf))


def buckling(frame: Frame, cases: Sequence[Case], factors: Array, *, count: int = 4, divisions: int = 6) -> tuple[Buckling, ...]:
    """The ``count`` lowest modes of each combination (K, C) of the cases, every bay divided in ``divisions``.

    Undivided bays overstate the factor; with six that of a pinned strut is 0.02 % too high at most, that of a clamped one 0.2 %, soft in
    shear or not (see the tests).
    """
    factors = np.asarray(factors, dtype=float)
    found: dict[int, Buckling] = {}
    for rows, left, _ in by_contact(frame, cases, factors):
        solution = solve_combined(divided(left, divisions), cases, factors[rows], stations=2)
        bays = solution.equations.mesh
        movements = shapes(bays, solution.equations.elements)
        for row, axial, push in zip(rows.tolist(), mean_axial(solution.response), pushes(bays, solution.response), strict=True):
            found[row] = _buckled(solution, movements, axial, push, count, divisions)
    return tuple(found[row] for row in range(len(factors)))


def buckles_above(frame: Frame, cases: Sequence[Case], factors: Array, limit: float, *, divisions: int = 6) -> Flags:
    """(K,) whether the buckling factor of each combination is above ``limit``: one factorisation each, no modes.

    The divided frame is stable under ``limit`` times its forces exactly when its stiffness with the geometric part still has only positive pivots.
    """
    factors = np.asarray(factors, dtype=float)
    above = np.zeros(len(factors), dtype=bool)
    for rows, left, _ in by_contact(frame, cases, factors):
        solution = solve_combined(divided(left, divisions), cases, factors[rows], stations=2)
        bays, parts, numbers = solution.equations.mesh, solution.equations.elements, solution.equations.numbers
        movements, stiffness, response = shapes(bays, parts), parts.stiffness(), solution.response
        unit = geometric(bays, movements)
        for row, axial, push in zip(rows.tolist(), mean_axial(response), pushes(bays, response), strict=True):
            lost = 0.0 if bays.shear is None else sliding(bays, movements, limit * axial)
            if lost is not None:
                above[row] = factor(bays, numbers, stiffness + limit * (unit * axial + arms(bays, push)) + lost) is not None
    return above


def _buckled(solution: Solution, movements: Shapes, axial: Array, push: Array, count: int, divisions: int) -> Buckling:
    """Under axial forces (B,) of the divided bays, with forces (4, B) on their ends."""
    solved = solution.equations
    if not solved.numbers.size:
        return _rigid(solved.mesh, divisions)
    bays = solved.mesh
    softening = -geometric(bays, movements) * axial - arms(bays, push)
    inverse, moved = modes(solved, assembled(solved.numbers, softening), count)
    with np.errstate(divide="ignore"):
        critical = np.where(inverse > NEVER, 1.0 / inverse, np.inf)
    if bays.shear is not None:
        critical = _slid(bays, movements, axial, moved, critical)
        order = np.argsort(critical, kind="stable")
        critical, moved = critical[order], moved[order]
    energy = per_bay(_energy(solution, moved), divisions)
    first = [number // divisions for number in bays.first[:-1]]
    shares = np.add.reduceat(energy, first, axis=1) / energy.sum(axis=1, keepdims=True)
    whole = axial.reshape(-1, divisions).mean(axis=1)
    lengths = _effective(critical, shares, whole, bays.ei[::divisions], bays.piece[::divisions])
    return Buckling(critical, moved.reshape(len(moved), -1, 3), shares, lengths)


def _slid(bays: Mesh, movements: Shapes, axial: Array, moved: Array, critical: Array) -> Array:
    """(modes,) factors when bays soft in shear slide more where they stand steeper (see :func:`solver.second.sliding`), each mode as it is.

    Movements are of unit strain energy, so that a mode is critical where ``λ / critical + λ² s(λ) = 1``. The left side is convex and grows:
    Newton's steps from above come down to the root. No factor is above that at which a bay slides away.
    """
    assert bays.shear is not None
    bend = np.einsum("rab,cab->rcb", movements.bend, moved[:, bays.unknowns])
    steep = ((bend[0] - bend[1]) * axial) ** 2 * (bays.shear * bays.length / 12.0)
    slack = bays.shear * axial
    most = (1.0 - SHORT) / max(float(-slack.min()), 1.0 / np.finfo(float).max)
    found = np.minimum(critical, most)
    for mode in np.flatnonzero(np.isfinite(critical)).tolist():
        for _ in range(STEPS):
            left = 1.0 + found[mode] * slack
            part = steep[mode] * found[mode] / left
            over = found[mode] / critical[mode] + found[mode] * part.sum() - 1.0
            if over <= SHORT:
                break
            found[mode] -= over / (1.0 / critical[mode] + (part * (1.0 + 1.0 / left)).sum())
    return found


def _rigid(bays: Mesh, divisions: int) -> Buckling:
    """Nothing can move."""
    count = len(bays.first) - 1
    return Buckling(np.zeros(0), np.zeros((0, len(bays.xy), 3)), np.zeros((0, count)), np.full(len(bays.length) // divisions, np.nan))


def _energy(solution: Solution, moved: Array) -> Array:
    """(modes, B) strain energy of the bays, twice."""
    parts = solution.equations.elements
    ends = moved[:, solution.equations.mesh.unknowns]
    deformed = np.einsum("rab,cab->crb", parts.shape, ends)
    forces = np.einsum("rab,cab->crb", parts.stress, ends)
    return np.asarray((deformed * forces).sum(axis=1))


def _effective(critical: Array, shares: Array, axial: Array, ei: Array, piece: Index) -> Array:
    """(bays,) length of the pinned strut with the bay's force at the first mode in which its piece takes part."""
    part: Flags = (shares >= TAKES_PART) & np.isfinite(critical)[:, None]
    takes = np.asarray(part.any(axis=0))
    force = -axial * np.where(takes, critical[part.argmax(axis=0)], 1.0)[piece]
    with np.errstate(divide="ignore", invalid="ignore"):
        lengths = np.where(force > 0.0, np.pi * np.sqrt(ei / np.abs(force)), np.inf)
    return np.where(takes[piece], lengths, np.nan)
