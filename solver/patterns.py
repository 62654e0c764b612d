"""Bays as sums of products: tables that turn a few numbers of a bay into all that hangs on its six unknowns.

Most rows of :data:`PATTERN` are one product or its negative: :data:`ROWS` looks them up, and only :data:`MIXED` is multiplied out.
"""

from __future__ import annotations

import numpy as np

from .frame import Array, Index

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
        (1.0, 1.0, 1.0, 1.0),
        (1.0, 1.0, 1.0, 1.0),
        (-1 / 12, -1 / 8, 0.0, 0.0),
        (1 / 12, 0.0, 1 / 8, 0.0),
        (6.0, 3.0, 0.0, 0.0),
        (6.0, 0.0, 3.0, 0.0),
        (1.0, 1.0, 1.0, 1.0),
        (12.0, 3.0, 3.0, 0.0),
        (0.0, -1 / 8, 1 / 8, 0.0),
    )
)
SCALES = np.array((0, 0, 0, 1, 4, 1, 1, 5, 5, 2, 3, 4))
NUMBERS = len(HINGED)
TURNED = 3  # from here on the numbers are needed times cosine and sine
TWICE_TURNED = 9  # and from here on times both again
TWICE = NUMBERS + 2 * (NUMBERS - TURNED)  # where those begin
PRODUCTS = TWICE + 4 * (NUMBERS - TWICE_TURNED)


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
    """(61, 42): stiffness of :data:`PAIRS`; what N, V and m1 read from the unknowns; and what a unit force spread evenly over the bay, in x,
    then in y, lays on the unknowns of a bay that cannot move, and leaves as the first five sources of its N, V and M (see :mod:`solver.bending`).

    From k11, k12, k22, the length L, one, both moments m1, m2 of a unit force across, the sums b1, b2 of k's over L, EA/L, the sum d of all k's over
    L² and that g of the moments over L; then all from L on times cosine and sine; then the last three times both products of cosine and sine.
    """
    k11, k12, k22, _, one, _, _, _, _, _, _, _, *turned = np.eye(PRODUCTS)
    _, _, c, s, m1c, m1s, m2c, m2s, b1c, b1s, b2c, b2s, ac, a_s, dc, ds, gc, gs, acc, acs, _, ass, dcc, dcs, _, dss, gcc, gcs, _, gss = (
        turned
    )
    b1, b2 = np.eye(PRODUCTS)[7:9]
    none, half = np.zeros(PRODUCTS), 0.5 * one
    p, q, r = acc + dss, acs - dcs, ass + dcc
    near, far = (-b1s, b1c, k11, b1s, -b1c, k12), (-b2s, b2c, k12, b2s, -b2c, k22)
    across, up = (p, q, -b1s, -p, -q, -b2s), (q, r, b1c, -q, -r, b2c)
    back = (tuple(-part for part in row) for row in (across, up))
    stiffness = np.array((across, up, near, *back, far)).reshape(36, PRODUCTS)[PAIRS]
    shear = (-ds, dc, b1, ds, -dc, b2)
    reads = np.array(((-ac, -a_s, none, ac, a_s, none), shear, near)).reshape(18, PRODUCTS)
    in_x = (half - gss, gcs, m1s, half + gss, -gcs, m2s, 0.5 * c, c, 0.5 * s - gs, -s, -m1s)
    in_y = (gcs, half - gcc, -m1c, -gcs, half + gcc, -m2c, 0.5 * s, s, gc - 0.5 * c, c, m1c)
    return np.concatenate((stiffness, reads, in_x, in_y))


def _told_apart(rows: Array) -> tuple[Array, Index]:
    """(e, p) those of rows (r, p) that take more than one product once, each but once whatever its sign; and which (r,) of all products, these
    and the negatives of them all, in this order, the rows are."""
    mixed: list[bytes] = []
    places: list[tuple[int, bool]] = []
    for row in rows:
        sign = row[row.nonzero()[0][:1]].sum() < 0.0
        way = (-row if sign else row) + 0.0  # no negative noughts
        if np.count_nonzero(way) == 1 and way.max() == 1.0:
            places.append((int(way.argmax()), bool(sign)))
            continue
        if way.tobytes() not in mixed:
            mixed.append(way.tobytes())
        places.append((rows.shape[1] + mixed.index(way.tobytes()), bool(sign)))
    size = rows.shape[1] + len(mixed)
    return np.array([np.frombuffer(way) for way in mixed]), np.array([place + size * sign for place, sign in places])


PATTERN = table()
MIXED, ROWS = _told_apart(PATTERN)
