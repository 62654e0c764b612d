"""Spans between supports, and vertical movement against the straight line between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.framed import Frame
from rules.subject.design import FLOOR_TYPES, Design
from rules.subject.frame import Rectangle

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spans:
    """length: (S,) mm, the span each station lies in, or the whole overhang beyond the last support; 0: nothing to measure from.
    cantilever: (S,) beyond the last support."""

    length: Floats
    cantilever: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Places:
    """Supports that hold the frame up, from left to right: their nodes and x; and for each station the one on either side, and
    its share of the way between them."""

    nodes: list[int]
    x: Floats
    left: NDArray[np.intp]
    right: NDArray[np.intp]
    share: Floats


def _places(frame: Frame) -> _Places:
    held = [s.node for s in frame.settled.design.supports if "y" in s.holds or s.springs.y_kn_per_mm]
    nodes = sorted({frame.geometry.at[node] for node in held}, key=lambda node: float(frame.geometry.xy[node, 0]))
    x, stations = frame.geometry.xy[nodes, 0], station_x(frame)
    if not nodes:
        none = np.zeros(len(stations), dtype=np.intp)
        return _Places([], x, none, none, np.zeros(len(stations)))
    after = np.searchsorted(x, stations)
    left, right = np.clip(after - 1, 0, len(nodes) - 1), np.clip(after, 0, len(nodes) - 1)
    span = x[right] - x[left]
    share = np.where(span > 0.0, (stations - x[left]) / np.where(span > 0.0, span, 1.0), 0.0)
    return _Places(nodes, x, left, right, share)


def span_movement(frame: Frame, table: solver.Table) -> Floats:
    """(rows, S) mm, up positive: movement against the line between the supports that hold the frame up."""
    places = _places(frame)
    if not places.nodes:
        return np.zeros_like(table.uy)
    moved = table.displacements[:, places.nodes, 1]
    return np.asarray(table.uy - (1.0 - places.share) * moved[:, places.left] - places.share * moved[:, places.right], dtype=np.float64)


def span_lengths(frame: Frame) -> Spans:
    """The span or overhang every station lies in."""
    places, x = _places(frame), station_x(frame)
    if not places.nodes:
        return Spans(np.zeros_like(x), np.zeros(len(x), dtype=np.bool_))
    first, last = places.x[0], places.x[-1]
    beyond = (x < first) | (x > last)
    overhang = np.where(
        x < first, free_overhang(first - x.min(), frame.settled.design), free_overhang(x.max() - last, frame.settled.design)
    )
    return Spans(np.where(beyond, overhang, places.x[places.right] - places.x[places.left]), beyond)


def free_overhang(overhang: float, design: Design) -> float:
    """An overhang that ends over its own bearing hangs over nothing, and one shorter than the piece is deep only turns with it (common
    practice, no published source)."""
    seats = [seat for support in design.supports if (seat := support.seat)]
    over = max(((seat.length_mm or 0.0) / 2.0 + abs(seat.offset_mm[0]) for seat in seats), default=0.0)
    return float(overhang) if overhang > max(over, _depth(design)) else 0.0


def _depth(design: Design) -> float:
    """mm: of a floor joist, from its lowest to its highest timber; of a roof, of its shallowest timber."""
    depths = [member.section.h_mm for member in design.members if isinstance(member.section, Rectangle)]
    if design.component_type not in FLOOR_TYPES:
        return min(depths, default=0.0)
    heights = [node.y_mm for node in design.nodes]
    return max(heights) - min(heights) + max(depths, default=0.0)


def station_x(frame: Frame) -> Floats:
    """Horizontal place of every station in mm."""
    layout, lines = frame.response.layout, frame.geometry.lines
    starts = np.array([line.start[0] for line in lines])
    cos = np.array([line.cos for line in lines])
    return np.asarray(starts[layout.piece] + layout.at * cos[layout.piece], dtype=np.float64)
