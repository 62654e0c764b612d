"""Answers of a frame whose bays were divided, read at the stations of the whole one."""

from __future__ import annotations

import numpy as np

from .frame import Array, Index
from .kinds import SNAP_MM
from .layout import Layout
from .table import FORCES, MOVEMENTS, Combined, Stored

NEAR_MM = 10.0 * SNAP_MM


def undivided(found: Combined, layout: Layout, divisions: int) -> Combined:
    """The rows of ``found``, every bay divided in ``divisions``, at the stations of ``layout``, that of the frame before it was divided.

    Raises ValueError where a station of the whole frame is none of the divided one.
    """
    picked = _stations(found.layout, layout, divisions)
    lines = np.concatenate((found.block(FORCES), found.block(MOVEMENTS)))[:, :, picked]
    unknowns = 3 * len(layout.mesh.xy)
    return Combined(layout, Stored(lines, found.moved[:, :unknowns], found.reactions), None, found.lifted)


def _stations(divided: Layout, whole: Layout, divisions: int) -> Index:
    """(S,) of each station the one at its place: beyond a load that stands exactly there the last, before it the first."""
    bay, part = np.divmod(divided.number, divisions)
    place = divided.inside + part * divided.mesh.length[divided.number]
    apart = 2.0 * float(whole.mesh.length.max())
    at, wanted = place + apart * bay, whole.inside + apart * whole.number
    picked = np.where(whole.beyond, _last(at, wanted), _first(at, wanted))
    if np.abs(at[picked] - wanted).max() > 2.0 * NEAR_MM:
        raise ValueError("the divided frame has no station where the whole one has")
    return np.asarray(picked)


def _first(at: Array, wanted: Array) -> Index:
    return np.minimum(np.searchsorted(at, wanted - NEAR_MM, side="left"), len(at) - 1)


def _last(at: Array, wanted: Array) -> Index:
    return np.maximum(np.searchsorted(at, wanted + NEAR_MM, side="right") - 1, 0)
