"""The same frame with every bay divided: new nodes stand on the pieces, the old ones keep their numbers, places along pieces stay."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .frame import Array, Frame, Index
from .mesh import Mesh, mesh


def divided(frame: Frame, parts: int) -> Frame:
    """Every bay cut into ``parts`` equal ones; bay b becomes bays ``parts * b`` to ``parts * b + parts - 1``."""
    if parts < 1:
        raise ValueError(f"parts must be 1 or more, not {parts}")
    return frame if parts == 1 else _refined(frame, mesh(frame), parts)


def _refined(frame: Frame, bays: Mesh, parts: int) -> Frame:
    steps = np.arange(1, parts) / parts
    run = np.array((bays.cos, bays.sin)) * bays.length
    inner = (bays.start[:, :, None] + run[:, :, None] * steps).reshape(2, -1).T
    count = len(bays.xy)
    added = (count + np.arange(len(inner))).reshape(len(bays.length), parts - 1)
    pieces = [replace(p, nodes=_path(p.nodes, added[bays.first[k] : bays.first[k + 1]])) for k, p in enumerate(frame.pieces)]
    return Frame(np.concatenate((bays.xy, inner)), tuple(pieces), frame.supports, frame.inner + len(inner))


def _path(nodes: tuple[int, ...], added: Index) -> tuple[int, ...]:
    bays = zip(nodes[:-1], added.tolist(), strict=True)
    return tuple(node for first, inner in bays for node in (first, *inner)) + nodes[-1:]


def per_bay(values: Array, parts: int) -> Array:
    """(..., B * parts) values of the divided bays summed onto the whole ones."""
    return np.asarray(values.reshape(*values.shape[:-1], values.shape[-1] // parts, parts).sum(axis=-1))
