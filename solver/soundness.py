"""Is a frame fit to be solved: loose, nearly so, or short of digits? Judged by strain energy, named from the softest movement."""

from __future__ import annotations

from math import sqrt

import numpy as np
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import splu

from .checks import least
from .elements import Elements
from .faults import Direction, IllConditioned, Mechanism
from .frame import Array
from .mesh import Mesh
from .numbering import Numbering
from .statics import Equations, Factor, assembled, factor_of_pairs, with_springs

SUSPECT = 1e-8  # pivot ratio below which the softest movement is looked at
LOOSE = 1e-20  # its strain energy over that of the same displacements taken one at a time: rounding squared, or truly soft?
FEW_DIGITS = 1e12  # condition above which fewer than about four digits are sure
MANY = 600  # unknowns from which a chain of sound pivots can lose digits
SHIFT = 1e-11  # added to the unit diagonal so that a singular matrix can be factored
NAMED = 1e-3  # share of the largest movement from which an unknown counts as loose
WORDS: tuple[Direction, Direction, Direction] = ("x", "y", "rotation")


def equations(mesh: Mesh, parts: Elements, numbers: Numbering) -> Equations:
    """Assemble and factor; raises Mechanism or IllConditioned rather than let a wrong number through."""
    found = factor_of_pairs(mesh, numbers, parts.pairs)
    if found is None or (numbers.size and least(found.pivots) < SUSPECT):
        _judge(mesh, parts, numbers, found)
    assert found is not None  # _judge raised otherwise
    if numbers.size > MANY and (lost := _growth(found)) > FEW_DIGITS:
        raise IllConditioned(lost)
    return Equations(mesh, parts, numbers, found)


def _growth(found: Factor) -> float:
    """How far the softest movement outgrows what calls for it, on unit diagonal, by inverse iteration with the factor at hand.

    In a long chain of short bays every pivot is sound and the digits are lost all the same, with the fourth power of the number of bays.
    """
    scale = np.sqrt(found.diagonal)
    movement = np.cos(np.arange(len(scale)) * 1.7) + 0.1
    growth = sqrt(movement @ movement)
    for _ in range(3):
        movement = scale * found.solve((movement * (scale / growth))[None])[0]
        growth = sqrt(movement @ movement)
    return growth


def condition(solved: Equations) -> float:
    """Estimate of the condition of the stiffness scaled to unit diagonal: the digits that may be lost are its logarithm."""
    if not solved.numbers.size:
        return 1.0
    growth = _growth(solved.factor)
    if growth * SUSPECT < 1.0:
        return growth
    softest, _ = _softest(solved.mesh, solved.elements, solved.numbers)
    return 1.0 / softest if softest else np.inf


def _judge(mesh: Mesh, parts: Elements, numbers: Numbering, found: Factor | None) -> None:
    energy, movement = _softest(mesh, parts, numbers)
    if energy < LOOSE:
        raise Mechanism(_named(mesh, movement))
    if found is None or energy * FEW_DIGITS < 1.0:
        raise IllConditioned(1.0 / energy)


def _softest(mesh: Mesh, parts: Elements, numbers: Numbering) -> tuple[float, Array]:
    """Least energy ratio and its movement (3 n,), by inverse iteration on the shifted matrix of unit diagonal.

    The energy is taken from the deformations of the bays, whose rounding enters squared, so that a movement without any strain
    is told from one that is merely soft.
    """
    matrix = with_springs(mesh, numbers, assembled(numbers, parts.stiffness()))
    diagonal = matrix.diagonal()
    scale = 1.0 / np.sqrt(np.where(diagonal > 0.0, diagonal, 1.0))
    scaled = diags_array(scale) @ matrix @ diags_array(scale) + diags_array(np.full(numbers.size, SHIFT))
    solve = splu(csc_array(scaled)).solve
    movement = np.cos(np.arange(numbers.size) * 1.7) + 0.1  # any vector with a part in every movement
    for _ in range(6):
        movement = solve(movement)
        movement /= np.linalg.norm(movement)
    moved = np.zeros(len(mesh.free))
    moved[numbers.order] = movement * scale
    return energy(mesh, parts, moved), moved


def energy(mesh: Mesh, parts: Elements, moved: Array) -> float:
    """Strain energy (twice) of a movement whose parts, one at a time, would store one."""
    deformed = np.einsum("rab,ab->rb", parts.shape, moved[mesh.unknowns])
    stretch, near, far = deformed
    axial, k11, k12, k22 = parts.basic
    stored = axial * stretch**2 + k11 * near**2 + 2.0 * k12 * near * far + k22 * far**2
    sprung = 0.0 if mesh.springs is None else float((mesh.springs * moved**2).sum())
    return float(stored.sum()) + sprung


def _named(mesh: Mesh, moved: Array) -> tuple[tuple[int, Direction], ...]:
    """Unknowns that move, the freest first; rotations are compared by the travel they give over a mean bay."""
    travel = np.abs(moved)
    travel[2::3] *= mesh.length.mean()
    loose = np.flatnonzero(travel > NAMED * travel.max())
    loose = loose[np.argsort(-travel[loose], kind="stable")]
    return tuple((int(k) // 3, WORDS[int(k) % 3]) for k in loose)
