"""Vertical movement of every station against the straight line between the supports on either side of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.geometry import Geometry
from rules.subject.design import Design

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SpanDeflection:
    """w: (K, S) mm, up positive; length: (S,) the span, or the whole overhang beyond the last support; 0: no support to
    measure from; cantilever: (S,)."""

    w: Floats
    length: Floats
    cantilever: NDArray[np.bool_]


def span_deflection(design: Design, geometry: Geometry, layout: solver.Layout, combined: Any) -> SpanDeflection:
    """Movement against the line between the supports that hold the frame up. combined: ux, uy (K, S) and displacements."""
    held = [geometry.at[s.node] for s in design.supports if "y" in s.holds or s.springs.y_kn_per_mm]
    nodes = sorted({node: geometry.xy[node, 0] for node in held}.items(), key=lambda pair: pair[1])
    x = station_x(geometry, layout)
    if not nodes:
        return SpanDeflection(np.zeros_like(combined.uy), np.zeros_like(x), np.zeros(len(x), dtype=np.bool_))
    places = np.array([place for _, place in nodes])
    moved = combined.displacements[:, [node for node, _ in nodes], 1]
    after = np.searchsorted(places, x)
    left, right = np.clip(after - 1, 0, len(places) - 1), np.clip(after, 0, len(places) - 1)
    span = places[right] - places[left]
    share = np.where(span > 0.0, (x - places[left]) / np.where(span > 0.0, span, 1.0), 0.0)
    line = (1.0 - share) * moved[:, left] + share * moved[:, right]
    beyond = (x < places[0]) | (x > places[-1])
    overhang = np.where(x < places[0], _free(places[0] - x.min(), design), _free(x.max() - places[-1], design))
    return SpanDeflection(combined.uy - line, np.where(beyond, overhang, span), beyond)


def _free(overhang: float, design: Design) -> float:
    """An overhang that ends over its own bearing hangs over nothing."""
    seats = [seat for support in design.supports if (seat := support.seat)]
    over = max(((seat.length_mm or 0.0) / 2.0 + abs(seat.offset_mm[0]) for seat in seats), default=0.0)
    return float(overhang) if overhang > over else 0.0


def station_x(geometry: Geometry, layout: solver.Layout) -> Floats:
    """Horizontal place of every station in mm."""
    starts = np.array([line.start[0] for line in geometry.lines])
    cos = np.array([line.cos for line in geometry.lines])
    return np.asarray(starts[layout.piece] + layout.at * cos[layout.piece], dtype=np.float64)
