"""What pairs of plates that hold the same two pieces take of their force: by effective area, each at its own middle.

A force F through the common middle c with a moment M about it goes as s F through the middle of every pair, with s M: together they are F and M,
on both pieces alike, so that every pair and every piece is in balance. That is one of the ways in which the force can go; plates give before they break.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rules.judge.contact import Contact
from rules.judge.outlines import Point

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Share:
    """One pair's part of what several pairs pass together. part: 1 of a pair on its own, NaN where some do not hold both pieces; middle: its
    own; common: that of all, mm from the node."""

    part: float = 1.0
    middle: Point = (0.0, 0.0)
    common: Point = (0.0, 0.0)

    def of(self, wrenches: Floats) -> Floats:
        """(…, 3) forces in N and moments in N·mm about the node: what this pair takes of them."""
        fx, fy, moment = np.moveaxis(wrenches, -1, 0)
        own = self.part * (moment - _turned(self.common, fx, fy)) + _turned(self.middle, self.part * fx, self.part * fy)
        return np.stack([self.part * fx, self.part * fy, own], axis=-1)


ALONE = Share()


def shares(contacts: Sequence[Sequence[Contact]], same_type: bool) -> tuple[Share, ...]:
    """Of pairs of plates, each with its contacts on both pieces as drawn. same_type: plates of another kind yield otherwise, and cannot be told."""
    if len(contacts) == 1:
        return (ALONE,)
    areas = [min(each.area for each in pair) for pair in contacts]
    total = sum(areas) if same_type and not any(math.isnan(each.area) for pair in contacts for each in pair) else math.nan
    middles = [_middle(pair) for pair in contacts]
    found = [Share(area / total, middle) for area, middle in zip(areas, middles, strict=True)]
    common = (sum(each.part * each.middle[0] for each in found), sum(each.part * each.middle[1] for each in found))
    return tuple(replace(each, common=common) for each in found)


def _middle(pair: Sequence[Contact]) -> Point:
    """Of the effective areas on both pieces together."""
    total = sum(each.area for each in pair)
    return (sum(each.area * each.middle[0] for each in pair) / total, sum(each.area * each.middle[1] for each in pair) / total)


def _turned(at: Point, fx: Floats, fy: Floats) -> Floats:
    """Moment about the node of a force at a place."""
    return np.asarray(at[0] * fy - at[1] * fx, dtype=np.float64)
