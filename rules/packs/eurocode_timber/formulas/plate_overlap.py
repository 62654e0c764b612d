"""How far plates have to reach over the pieces they join, EN 1995-1-1 9.2.2."""

from __future__ import annotations

import numpy as np

from rules.library import JOINT, STRENGTH, Rule, clause, quantity

OVERLAP = clause("9.2.2, least overlap")


@quantity("a_min", "mm", cites=OVERLAP)
def overlap_needed(plate_overlap_least, h, plate_overlap_divisor):
    return np.maximum(plate_overlap_least, h / plate_overlap_divisor)


@quantity("a", "mm", says="how far the plate reaches over the piece, square to the joint line", cites=OVERLAP)
def overlap_given(bite):
    return bite


@quantity("b_min", "mm", cites=clause("9.2.2, chord splices"))
def cover_needed(splice_cover_share, h):
    return splice_cover_share * h


@quantity("b_pl", "mm", says="depth of the piece under the plate")
def cover_given(plate_across):
    return plate_across


@quantity("splice", "", says="pieces end to end")
def is_spliced(is_splice):
    return is_splice


RULES = (
    Rule(
        slug="plate-overlap",
        part="overlap",
        title="The plates reach far enough over every piece",
        why="A plate that only just laps a piece misses it when the press is a little off.",
        scope=JOINT,
        purpose=STRENGTH,
        demand=overlap_needed,
        limit=overlap_given,
        cites=OVERLAP,
        message="Joint {element}: the plates reach {limit} over the piece and have to reach {demand}, {at}.",
        remedies=("a larger plate", "a plate moved towards this piece"),
    ),
    Rule(
        slug="plate-overlap",
        part="splice",
        title="The plates of a splice cover enough of the depth",
        why="A narrow plate on a deep chord leaves a hinge.",
        scope=JOINT,
        purpose=STRENGTH,
        demand=cover_needed,
        limit=cover_given,
        when=is_spliced,
        because="joins no pieces end to end",
        cites=clause("9.2.2, chord splices"),
        message="Joint {element}: the plates cover {limit} of the depth and have to cover {demand}, {at}.",
        remedies=("a wider plate",),
    ),
)
