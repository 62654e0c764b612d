"""What whole pieces feel in a combination, wherever its roving loads stand: their mean push, and their greatest moment."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.arranging import Arrangement
from rules.judge.effects import Effects
from rules.judge.properties import named
from rules.library.given import Given

Floats = NDArray[np.float64]


def piece_givens(layout: solver.Layout, arranged: Arrangement, effects: Effects, ask: str) -> dict[str, Given]:
    """Of every station's piece. Each station takes the roving loads where they are worst for it, so the mean is never too small."""
    starts = np.array([each.start for each in layout.slices], dtype=np.intp)
    push = _worst(arranged, np.maximum(-effects["n"], 0.0))
    bent = _worst(arranged, np.abs(effects["m"]))
    mean = np.add.reduceat(push * _lengths(layout), starts, axis=1)
    most = np.maximum.reduceat(bent, starts, axis=1)

    def spread(of_pieces: Floats) -> Floats:
        return np.asarray(of_pieces[arranged.rows][:, layout.piece], dtype=np.float64)

    return named(
        Given("mean_compression", "N_m", "N", "mean compression along the piece, pulls counted as nothing", spread(mean), ask),
        Given("greatest_moment", "M_d", "N·mm", "greatest moment along the piece, either sign", spread(most), ask),
    )


def _lengths(layout: solver.Layout) -> Floats:
    """Of every station the share of its piece's length that it speaks for, half-way to its neighbours: bays have as many stations, not as much length."""
    gaps = np.where(layout.piece[1:] == layout.piece[:-1], layout.at[1:] - layout.at[:-1], 0.0) / 2.0
    halves = [np.add.reduce(gaps[each.start : each.stop - 1]) for each in layout.slices]
    found = np.zeros(len(layout.at))
    found[:-1] = gaps
    found[1:] += gaps
    return found / (2.0 * np.array(halves))[layout.piece]


def _worst(arranged: Arrangement, values: Floats) -> Floats:
    """(base combinations, stations): the greatest over the ways in which each combination's roving loads stand."""
    first = np.flatnonzero(np.diff(arranged.rows, prepend=-1))
    return np.asarray(np.maximum.reduceat(values, first, axis=0), dtype=np.float64)
