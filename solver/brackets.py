"""Loads that start, stop or stand inside a bay.

Each is a sum of brackets ``<x - a>^n / n!`` of order n = 1 (ramp), 0 (step), -1 (force) or -2 (moment), zero before ``a``; every integral of a
bracket is the bracket of the next order. W. H. Macaulay, Note on the deflection of beams, Messenger of Mathematics 48 (1919), from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import factorial

import numpy as np

from .frame import Array, Index

FACTORIALS = np.array([float(factorial(k)) for k in range(7)])


@dataclass(frozen=True, slots=True)
class Brackets:
    """(T,) brackets inside bays: case, bay, place mm from the bay's start, order, and the local axial and transverse value."""

    case: Index
    bay: Index
    at: Array
    order: Index
    axial: Array
    across: Array

    def __len__(self) -> int:
        return len(self.case)


NONE, EMPTY = np.zeros(0, dtype=np.intp), np.zeros(0)
NOTHING = Brackets(NONE, NONE, EMPTY, NONE, EMPTY, EMPTY)


def joined(parts: Sequence[Brackets]) -> Brackets:
    """All brackets in one."""
    parts = [part for part in parts if len(part)]
    if len(parts) < 2:
        return parts[0] if parts else NOTHING
    return Brackets(
        np.concatenate([p.case for p in parts]),
        np.concatenate([p.bay for p in parts]),
        np.concatenate([p.at for p in parts]),
        np.concatenate([p.order for p in parts]),
        np.concatenate([p.axial for p in parts]),
        np.concatenate([p.across for p in parts]),
    )


def mixed_brackets(given: Brackets, factors: Array) -> Brackets:
    """The brackets of combinations (K, C) of the cases."""
    if not len(given):
        return NOTHING
    row, which = np.nonzero(factors[:, given.case])
    scale = factors[row, given.case[which]]
    return Brackets(row, given.bay[which], given.at[which], given.order[which], scale * given.axial[which], scale * given.across[which])


def bracket(distance: Array, power: Index) -> Array:
    """``<x - a>^p / p!`` from ``distance`` = x - a; zero before ``a`` and for p < 0; one at ``a`` for p = 0."""
    reach = np.maximum(distance, 0.0)
    order = np.maximum(power, 0)
    return np.where((distance >= 0.0) & (power >= 0), reach**order / FACTORIALS[order], 0.0)
