"""Exact extremes: roots of the polynomials along the stretches between nodes and loads, not only stations."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

import numpy as np

from .bending import LINES, MOVING
from .frame import Array, Index
from .layout import Layout
from .response import Response

Line: TypeAlias = Literal["n", "v", "m", "across"]
ROW: dict[Line, int] = {"n": 0, "v": 1, "m": 2, "across": 4}
DEGREE: dict[Line, int] = {"n": 2, "v": 2, "m": 3, "across": 5}
SAMPLES = (np.arange(MOVING) + 0.5) / MOVING
FROM_SAMPLES = np.linalg.inv(SAMPLES[:, None] ** np.arange(MOVING))


@dataclass(frozen=True)
class Curves:
    """Polynomials (5, rows, G, 6) of N, V, M, u, w in powers of the share of a stretch (G), which holds no node and no load's end.

    ``number`` (G,) bay over all pieces, ``start`` and ``length`` (G,) mm inside the bay.
    """

    layout: Layout
    number: Index
    start: Array
    length: Array
    terms: Array


@dataclass(frozen=True)
class Extremes:
    """Largest and smallest value over every piece, (rows, P), and where, mm along the piece from its first end."""

    high: Array
    high_at: Array
    low: Array
    low_at: Array


def curves(response: Response, factors: Array | None = None) -> Curves:
    """Polynomials of the load cases, or of combinations (K, C) of them with lifting bearings re-solved."""
    layout = response.layout
    number, start, length = _stretches(layout)
    inside = (start[:, None] + length[:, None] * SAMPLES).ravel()
    places = Layout(layout.mesh, SAMPLES, layout.cuts, (np.repeat(number, MOVING), inside, np.ones(len(inside), dtype=bool)))
    sampled = response.at(places, factors)
    return Curves(layout, number, start, length, sampled.reshape(LINES, -1, len(number), MOVING) @ FROM_SAMPLES.T)


def extremes(given: Curves, line: Line) -> Extremes:
    """Exact extremes of one line over every piece, in every row."""
    terms = given.terms[ROW[line]][..., : DEGREE[line] + 1]
    places = _candidates(terms)
    values = _values(terms, places)
    at = (given.layout.mesh.at[given.number] + given.start)[:, None] + given.length[:, None] * places
    first = np.searchsorted(given.layout.mesh.piece[given.number], np.arange(len(given.layout.mesh.first) - 1))
    edges = [*first.tolist(), len(given.number)]
    found = [_of_piece(values[:, a:b], at[:, a:b]) for a, b in pairwise(edges)]
    return Extremes(*(np.stack(part, axis=1) for part in zip(*found, strict=True)))


def _stretches(layout: Layout) -> tuple[Index, Array, Array]:
    """Bays cut where a load starts, stops or stands; even stations inside a bay cut nothing."""
    bays = np.arange(len(layout.mesh.length))
    number = np.concatenate((bays, layout.cuts[0]))
    start = np.concatenate((np.zeros(len(bays)), layout.cuts[1]))
    order = np.lexsort((start, number))
    number, start = number[order], start[order]
    end = np.where(np.append(number[1:] == number[:-1], False), np.append(start[1:], 0.0), layout.mesh.length[number])
    keep = end > start
    return number[keep], start[keep], (end - start)[keep]


def _candidates(terms: Array) -> Array:
    """(rows, G, c) shares at which a polynomial may be extreme: both ends and wherever its slope may vanish, clipped to the stretch.

    Every candidate lies on the stretch, so that a spurious one costs nothing.
    """
    slope = terms[..., 1:] * np.arange(1, terms.shape[-1])
    roots = _quadratic(slope) if slope.shape[-1] <= 3 else _companion(slope)
    ends = np.broadcast_to((0.0, 1.0), (*terms.shape[:-1], 2))
    return np.concatenate((ends, np.clip(roots, 0.0, 1.0)), axis=-1)


def _quadratic(slope: Array) -> Array:
    """Roots of a + b x + c x², in the form that does not cancel; NaN and infinity become 0."""
    a, b, c = np.moveaxis(np.concatenate((slope, np.zeros((*slope.shape[:-1], 3 - slope.shape[-1]))), axis=-1), -1, 0)
    half = -0.5 * (b + np.copysign(np.sqrt(np.maximum(b * b - 4.0 * a * c, 0.0)), b))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        roots = np.stack((half / c, a / half), axis=-1)
    return np.where(np.isfinite(roots), roots, 0.0)


def _companion(slope: Array) -> Array:
    """Real parts of the roots, as eigenvalues; a vanishing leading term is nudged, which sends its root far away."""
    size = np.abs(slope).max(axis=-1, keepdims=True)
    scaled = slope / np.where(size > 0.0, size, 1.0)
    lead = scaled[..., -1]
    lead = np.where(np.abs(lead) < 1e-12, 1e-12, lead)
    degree = slope.shape[-1] - 1
    matrix = np.zeros((*lead.shape, degree, degree))
    matrix[..., np.arange(1, degree), np.arange(degree - 1)] = 1.0
    matrix[..., :, -1] = -scaled[..., :-1] / lead[..., None]
    return np.asarray(np.linalg.eigvals(matrix).real)


def _values(terms: Array, places: Array) -> Array:
    values = np.zeros(places.shape)
    for power in range(terms.shape[-1] - 1, -1, -1):
        values = values * places + terms[..., power, None]
    return values


def _of_piece(values: Array, at: Array) -> tuple[Array, Array, Array, Array]:
    flat, places = values.reshape(len(values), -1), at.reshape(len(values), -1)
    rows, high, low = np.arange(len(flat)), flat.argmax(axis=1), flat.argmin(axis=1)
    return flat[rows, high], places[rows, high], flat[rows, low], places[rows, low]
