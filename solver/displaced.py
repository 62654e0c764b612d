"""Equilibrium on the displaced frame, with imperfections: the axial forces work on the turns and bows of the bays (P-Δ and P-δ).

Every combination has its own stiffness, K + K_g(N), and N is found by repetition. A road of its own: what comes out holds the effects of
buckling in the plane already and must not be judged with buckling factors in the plane again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .analyse import Solution, solve_combined
from .bending import THREE, movements_of, polynomials, sources_of
from .contact import by_contact
from .faults import BearingsCycle, Unstable
from .frame import Array, Case, Flags, Frame, Index
from .held import called
from .incidence import felt, gather
from .layout import Layout
from .mesh import Mesh
from .patterns import PAIRS, SQUARE
from .refine import divided
from .response import Response, reactions
from .second import Shapes, arms, geometric, pushes, shapes
from .statics import Equations, solved_apart
from .stations import lines_at
from .table import Combined, Stored

ROUNDS = 25  # repetitions after which axial forces that still change mean that there is no equilibrium
SETTLED = 1e-6  # change of axial force, of the largest, at which they have been found; what is left is smaller by the rate of convergence
FAINT = 1e-3  # share of EI/L² of the softest bay below which axial forces are too small to bend anything, and may be rounding
BLOCK = 150_000  # numbers of tangent stiffness held at a time
NO_MOMENT = 1e-9  # share of the largest moment below which a bay is not bent by loads but by rounding, and bows upwards
PULLS = 1e-6  # a push-only bearing may pull this share of the largest reaction before it counts


@dataclass(frozen=True)
class Imperfection:
    """How the frame stands before it is loaded.

    ``sway`` rad, positive to the right as one goes up: a number, or one for each combination. ``bow`` share of the bay's length: a number
    bows every bay as its moment of first order would bend it; an array (bays,) is taken as it stands, positive along the bay's own y.
    """

    sway: float | Array = 0.0
    bow: float | Array = 0.0


def second_order(
    frame: Frame,
    cases: Sequence[Case],
    factors: Array,
    imperfection: Imperfection | None = None,
    *,
    divisions: int = 4,
    stations: int = 5,
) -> Combined:
    """Second-order answers of the combinations (K, C), every bay divided in ``divisions``, ``stations`` in each division.

    The layout's bays are the divided ones. Raises Unstable where a combination has no equilibrium, BearingsCycle where a push-only
    bearing that pushed in first order would pull.
    """
    factors = np.asarray(factors, dtype=float)
    given = imperfection or Imperfection()
    sway = np.broadcast_to(np.asarray(given.sway, dtype=float), len(factors))
    parts: list[Stored] = []
    order: list[int] = []
    lifted = np.zeros((len(factors), len(frame.supports)), dtype=bool)
    for rows, left, pattern in by_contact(frame, cases, factors):
        lifted[rows] = pattern
        solution = solve_combined(divided(left, divisions), cases, factors[rows], stations)
        wrong = _initial(solution.equations, solution.response, sway[rows], given.bow, divisions)
        parts.append(_Group(solution, wrong, sway[rows], rows.tolist()).answer())
        order += rows.tolist()
    return _joined(frame, solution.response.layout, parts, order, lifted)


def _initial(solved: Equations, first: Response, sway: Array, bow: float | Array, divisions: int) -> Array:
    """(K, 3, B) turn of the chord and both end slopes against it, of every divided bay without load."""
    bays, count = solved.mesh, len(first)
    whole = bays.length.reshape(-1, divisions).sum(axis=1)
    if np.ndim(bow):
        rise = np.broadcast_to(np.asarray(bow, dtype=float), (count, len(whole)))
    else:
        sagging = (first.ends[5] - first.ends[2]).reshape(count, -1, divisions).sum(axis=2)
        rise = np.where(sagging > NO_MOMENT * np.abs(sagging).max(axis=1, keepdims=True), -1.0, 1.0) * bow
    step = np.arange(divisions + 1) * np.pi / divisions
    chord = np.diff(np.sin(step)) * divisions  # of a bay one long that bows by one
    slopes = np.pi * np.cos(step)
    shape = np.array((chord, slopes[:-1] - chord, slopes[1:] - chord))
    wrong = (rise[:, None, :, None] * shape[:, None, :]).reshape(count, 3, -1)
    wrong[:, 0] -= sway[:, None] * bays.sin**2
    return np.asarray(wrong)


class _Group:
    """Combinations that stand on the same bearings, of one divided frame."""

    def __init__(self, solution: Solution, wrong: Array, sway: Array, rows: list[int]) -> None:
        solved, first = solution.equations, solution.response
        self.solved, self.bays, self.parts, self.numbers = solved, solved.mesh, solved.elements, solved.numbers
        self.first, self.wrong, self.rows = first, wrong, rows
        self.loads, self.held = solution.loads, solution.held
        self.movements: Shapes = shapes(self.bays, self.parts)
        self.pairs, self.stress = self.parts.pairs, self.parts.stress
        self.unit = _paired(geometric(self.bays, self.movements))
        self.faint = FAINT * float((self.bays.ei / self.bays.length**2).min())
        self.leaning = self._leaning()
        self.given = self._given(sway)
        self.forces = self.given
        if self.loads.settled is not None and self.bays.springs is not None:
            self.forces = self.given + self.bays.springs * self.loads.settled
        self.axial = 0.5 * (first.ends[3] - first.ends[0])  # to begin with
        self.pushes = None if self.bays.arms is None else pushes(self.bays, first)
        self.tipped = None if self.pushes is None else _tipped(self.bays, self.pushes, sway)

    def _given(self, sway: Array) -> Array:
        """(K, 3 n) forces on the unknowns; where a support stands off its node, what stands on the node leans over it."""
        given = called(self.bays, self.loads, self.held)
        if self.bays.stands is not None:
            node, shift = self.bays.stands
            given[:, 3 * node + 2] -= sway[:, None] * shift[:, 1] * self.loads.nodal[:, 3 * node + 1]
        return given

    def answer(self) -> Stored:
        """Solve every combination, a block of them at a time, then read forces and movements off all of them at once."""
        step = max(1, BLOCK // self.pairs.size)
        blocks = [self._equilibria(np.arange(k, min(k + step, len(self.rows)))) for k in range(0, len(self.rows), step)]
        moved, ends, axial = (np.concatenate(part) for part in zip(*blocks, strict=True))
        pushed = gather(self.bays, ends.swapaxes(0, 1)) - self.given
        lines = lines_at(self.first.layout, self.loads.brackets, *self._lines(moved, axial))
        return Stored(lines, moved, reactions(self.bays, pushed))

    def _equilibria(self, which: Index) -> tuple[Array, Array, Array]:
        """Of some combinations: movements (k, 3 n), what they and the imperfections call for at the bays' ends (k, 6, B), axial forces (k, B)."""
        bays = self.bays
        base = self.pairs if self.pushes is None else self.pairs + _paired(arms(bays, self.pushes[which]))
        own = 0.0 if self.loads.strain is None else -bays.ea * self.loads.strain[which]
        axial, leaning = self.axial[which], self.leaning[which]
        for _ in range(ROUNDS):
            tangent, push = base + self.unit * axial[:, None], leaning * axial[:, None]
            if self.tipped is not None:
                push += self.tipped[which]
            moved = self._solve(which, tangent, push)
            ends = moved.take(bays.unknowns, axis=1)
            found = own + np.einsum("ab,kab->kb", self.stress[0], ends)
            moving = np.abs(found - axial).max(axis=1) > SETTLED * np.maximum(np.abs(found).max(axis=1), self.faint)
            if not moving.any():
                return moved, _against(tangent, ends) + push, found
            axial = found
        raise Unstable(self.rows[which[moving.argmax()]])

    def _solve(self, which: Index, tangent: Array, push: Array) -> Array:
        """(k, 3 n) movements, the prescribed ones included."""
        bays, order = self.bays, self.numbers.order
        moved = self._prescribed(which)
        if self.loads.settled is not None:
            push = push + _against(tangent, moved.take(bays.unknowns, axis=1))
        right = (self.forces[which] - gather(bays, push.swapaxes(0, 1))).take(order, axis=1)
        for row, found in enumerate(solved_apart(bays, self.numbers, tangent, right)):
            if found is None:
                raise Unstable(self.rows[which[row]])
            right[row] = found
        moved[:, order] = right
        return moved

    def _prescribed(self, which: Index) -> Array:
        if self.loads.settled is None:
            return np.zeros((len(which), len(self.bays.free)))
        return np.where(self.bays.held, self.loads.settled[which], 0.0)

    def _leaning(self) -> Array:
        """(K, 6, B) forces that an axial tension of 1 N needs to hold the imperfect bays in place."""
        turn, near, far = self.wrong.transpose(1, 0, 2)
        length = self.bays.length
        bend = np.array((4.0 * near - far, 4.0 * far - near)) * (length / 30.0)
        chord = self.movements.turn * (length * turn)[:, None]
        return np.asarray(chord + np.einsum("rab,rkb->kab", self.movements.bend, bend))

    def _lines(self, moved: Array, axial: Array) -> tuple[Array, Array]:
        """As in first order, with what the axial force adds to the moments at the ends of the bays and between them."""
        bays, ends = self.bays, moved[:, self.bays.unknowns]
        bent = np.einsum("rab,cab->rcb", self.movements.bend, ends) + self.wrong[:, 1:].transpose(1, 0, 2)
        basic = felt(bays, self.stress, moved)
        basic[1:] += _end_moments(bays.length, bays.ei, self.parts.basic, axial, bent)
        feet = np.array((basic[0], (basic[1] + basic[2]) / bays.length, basic[1]))
        forces = polynomials(sources_of(bays, self.held, self.held.feet + feet))
        movements = movements_of(bays, self.loads, self.held, forces, felt(bays, self.parts.place, moved))
        _, v, m = forces.transpose(0, 3, 1, 2)
        sag = axial * bays.length
        added = np.array((sag * bent[0], -sag * (2.0 * bent[0] + bent[1]), sag * (bent[0] + bent[1])))
        m[1:] += added
        v[:3] += added * THREE / bays.length
        return forces, movements


def _paired(parts: Array) -> Array:
    """Element matrices (..., 6, 6, B) as (..., 21, B), those of :data:`solver.patterns.PAIRS`."""
    return parts.reshape(*parts.shape[:-3], 36, -1).take(PAIRS, axis=-2)


def _against(pairs: Array, ends: Array) -> Array:
    """(k, 6, B) forces of movements (k, 6, B) against element matrices (k, 21, B)."""
    return np.asarray(np.einsum("kabm,kbm->kam", pairs.take(SQUARE, axis=1), ends))


def _tipped(bays: Mesh, pushing: Array, sway: Array) -> Array:
    """(K, 6, B) moments of the forces (K, 4, B) on the ends of bays about their nodes, as rigid arms lean with the rest."""
    assert bays.arms is not None
    tipped = np.zeros((len(sway), 6, len(bays.length)))
    tipped[:, 2::3] = sway[:, None, None] * bays.arms[:, 1] * pushing[:, 1::2]
    return tipped


def _end_moments(length: Array, ei: Array, basic: Array, axial: Array, bent: Array) -> tuple[Array, Array]:
    """End moments (K, B), counter-clockwise, with which the axial force bends a bay of end slopes ``bent`` (2, K, B)."""
    pull = axial * length / 30.0
    a, b = pull * (4.0 * bent[0] - bent[1]), pull * (4.0 * bent[1] - bent[0])
    soft = length / (6.0 * ei)
    near, far = soft * (2.0 * a - b), soft * (2.0 * b - a)
    _, k11, k12, k22 = basic
    return k11 * near + k12 * far, k12 * near + k22 * far


def _joined(frame: Frame, layout: Layout, parts: list[Stored], order: list[int], lifted: Flags) -> Combined:
    """Groups back in the order of the combinations; a bearing that only pushes must still do so."""
    lines, moved, pushed = parts[0].lines, parts[0].moved, parts[0].pushed
    if len(parts) > 1:
        back = np.argsort(order)
        lines = np.concatenate([part.lines for part in parts], axis=1)[:, back]
        moved = np.concatenate([part.moved for part in parts])[back]
        pushed = np.concatenate([part.pushed for part in parts])[back]
    for number, support in enumerate(frame.supports):
        if support.push_only:
            push = pushed[:, number, 1] * np.cos(support.inclined) - pushed[:, number, 0] * np.sin(support.inclined)
            pulls = push < -PULLS * np.abs(pushed[..., :2]).max(axis=(1, 2))
            if pulls.any():
                raise BearingsCycle(int(pulls.argmax()))
    return Combined(layout, Stored(lines, moved, pushed), None, lifted)
