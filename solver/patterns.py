"""Bays as sums of products: tables that turn a few numbers of a bay into all that hangs on its six unknowns."""

from __future__ import annotations

import numpy as np

from .frame import Array

FIRST, SECOND = np.tril_indices(6)
PAIRS = 6 * FIRST + SECOND  # of six unknowns, each pair once, row by row below the diagonal, as places in a square of them
SQUARE = np.maximum(*np.indices((6, 6))) * (np.maximum(*np.indices((6, 6))) + 1) // 2 + np.minimum(*np.indices((6, 6)))  # and back

# The numbers of :func:`table` of bays without shear, both joints rigid, the far pinned, the near, both; each over one of the scales below it:
# EI/L, L, EA/L, EI/L³, 1, EI/L².
HINGED = np.array(
    (
        (4.0, 3.0, 0.0, 0.0),
        (2.0, 0.0, 0.0, 0.0),
        (4.0, 0.0, 3.0, 0.0),
        (-1 / 12, -1 / 8, 0.0, 0.0),
        (1 / 12, 0.0, 1 / 8, 0.0),
        (1.0, 1.0, 1.0, 1.0),
        (12.0, 3.0, 3.0, 0.0),
        (0.0, -1 / 8, 1 / 8, 0.0),
        (6.0, 3.0, 0.0, 0.0),
        (6.0, 0.0, 3.0, 0.0),
    )
)
SCALES = np.array((0, 0, 0, 1, 1, 2, 3, 4, 5, 5))


def _deformations() -> tuple[Array, Array]:
    """(18, 5) and (24, 5) rows of a bay as sums of its cosine, sine, both over the length, and one: deformations, then movements of its ends."""
    c, s, c_l, s_l, one = np.eye(5)
    none = np.zeros(5)
    start, start_across = (c, s, none, none, none, none), (-s, c, none, none, none, none)
    end, end_across = (none, none, none, c, s, none), (none, none, none, -s, c, none)
    stretch = (-c, -s, none, c, s, none)
    near, far = (-s_l, c_l, one, s_l, -c_l, none), (-s_l, c_l, none, s_l, -c_l, one)
    return np.array((stretch, near, far)).reshape(18, 5), np.array((start, start_across, end, end_across)).reshape(24, 5)


SHAPES, PLACES = _deformations()


def table() -> Array:
    """(45, 28): stiffness of :data:`PAIRS`, then what N, V and m1 read from the unknowns, then what an even load leans on them.

    From k11, k12, k22, both moments m1, m2 of a unit force, and five numbers: EA/L, the sum d of all k's over L², that g of the moments over L, and
    the sums b1, b2 of k's over L; then these five times cosine and sine, and the first two times both products of cosine and sine.
    """
    k11, k12, k22, m1, m2, _, _, _, b1, b2, ac, a_s, dc, ds, gc, gs, b1c, b1s, b2c, b2s, acc, acs, _, ass, dcc, dcs, _, dss = np.eye(28)
    none = np.zeros(28)
    p, q, r = acc + dss, acs - dcs, ass + dcc
    near, far = (-b1s, b1c, k11, b1s, -b1c, k12), (-b2s, b2c, k12, b2s, -b2c, k22)
    across, up = (p, q, -b1s, -p, -q, -b2s), (q, r, b1c, -q, -r, b2c)
    back = (tuple(-part for part in row) for row in (across, up))
    stiffness = np.array((across, up, near, *back, far)).reshape(36, 28)[PAIRS]
    reads = np.array(((-ac, -a_s, none, ac, a_s, none), (-ds, dc, b1, ds, -dc, b2), near)).reshape(18, 28)
    return np.concatenate((stiffness, reads, np.array((gs, -gc, -m1, -gs, gc, -m2))))


PATTERN = table()
