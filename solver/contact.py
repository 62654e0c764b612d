"""Combinations sorted by the bearings that have let go, each group with the frame that is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from .analyse import analyse
from .frame import Array, Case, Flags, Frame, Index


def by_contact(frame: Frame, cases: Sequence[Case], factors: Array) -> Iterator[tuple[Index, Frame, Flags]]:
    """Rows of ``factors`` (K, C) that share their lifted bearings, the frame without those, and which they are (supports,)."""
    if not any(support.push_only for support in frame.supports):
        yield np.arange(len(factors)), frame, np.zeros(len(frame.supports), dtype=bool)
        return
    lifted = analyse(frame, cases, stations=2).combine(factors).lifted
    patterns, which = np.unique(lifted, axis=0, return_inverse=True)
    for number, pattern in enumerate(patterns):
        yield np.flatnonzero(which.ravel() == number), released(frame, pattern), pattern


def released(frame: Frame, lifted: Flags) -> Frame:
    """The frame whose ``lifted`` supports (supports,) hold nothing along their y axis; those that push hold both ways."""
    left = [
        replace(support, y=support.y and not up, spring_y=0.0 if up else support.spring_y, push_only=False)
        for support, up in zip(frame.supports, lifted.tolist(), strict=True)
    ]
    return replace(frame, supports=tuple(left))
