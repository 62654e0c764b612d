"""Buckling lengths in the plane of frames that are not made of triangles only: from how the frame itself buckles, or open."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.stability import hardest_pressed
from rules.subject.faults import pointer
from rules.subject.settled import Assumption, Lengths

PRACTICE = {
    "document": "common practice, no published source",
    "edition": "2026",
    "clause": "the pinned strut with the bay's force where the frame buckles",
    "seen": "practice",
}
NO_PART_ASK = (
    "The frame is not made of triangles only, and this piece takes too small a part in the buckling of the frame to read a length from it: "
    "state its buckling length in the plane (restraint_spacing.in_plane_mm)."
)


def with_buckled_lengths(frame: Frame) -> Frame:
    """The frame with the lengths that its buckling tells for bays that no rule gives one for; those it does not tell stay open."""
    settled = frame.settled
    if not any(_unknown(lengths) for lengths in settled.lengths):
        return frame
    found = hardest_pressed(frame, each_piece=True)
    if not found:
        return frame
    told = longest(each.effective_lengths for _, each in found)
    least = min(each.factor for _, each in found)
    first = np.cumsum([0, *(len(line.bays) for line in frame.geometry.lines)])
    parts = [told[first[i] : first[i + 1]] for i in range(len(settled.lengths))]
    lengths = tuple(_filled(each, part) for each, part in zip(settled.lengths, parts, strict=True))
    taken = [
        _assumption(index, now, least)
        for index, (before, now) in enumerate(zip(settled.lengths, lengths, strict=True))
        if _unknown(before) and now.in_plane != before.in_plane
    ]
    return replace(frame, settled=replace(settled, lengths=lengths, assumptions=(*settled.assumptions, *taken)))


def _unknown(lengths: Lengths) -> bool:
    return any(map(math.isnan, lengths.in_plane))


def longest(of_combinations: Iterable[NDArray[np.float64]]) -> NDArray[np.float64]:
    """(bays,) the longest of all combinations in which the bay is pressed and its piece buckles; not a number where there is none."""
    known = np.stack([np.where(np.isfinite(each), each, np.nan) for each in of_combinations])
    return np.asarray(np.fmax.reduce(known, axis=0))


def _filled(lengths: Lengths, told: NDArray[np.float64]) -> Lengths:
    if not _unknown(lengths):
        return lengths
    in_plane = tuple(float(new) if math.isnan(old) else old for old, new in zip(lengths.in_plane, told, strict=True))
    return replace(lengths, in_plane=in_plane, in_plane_ask=NO_PART_ASK if any(map(math.isnan, in_plane)) else "")


def _assumption(index: int, lengths: Lengths, factor: float) -> Assumption:
    because = (
        "Taken from how the frame buckles in its plane, with mean stiffness, under the combinations that press it hardest (least factor "
        f"{factor:.3g}): the longest pinned strut with the bay's force there. A bay without one is not told by it."
    )
    value = [None if math.isnan(each) else round(each, 3) for each in lengths.in_plane]
    where = pointer("members", index, "restraint_spacing", "in_plane_mm")
    return Assumption(where, value, because, confirm="engineer", citation=PRACTICE)
