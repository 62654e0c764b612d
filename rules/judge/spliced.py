"""How far bending uses the piece that a splice lies in: of the same combination, wherever on the piece and wherever roving loads stand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis
from rules.judge.properties import named
from rules.library.choosing import Selection
from rules.library.given import Given
from rules.library.offered import BENDING_USE

USE = BENDING_USE.name
"""The quantity by which a code tells it: bending stress over bending strength."""


def beside_splices(*, stands: bool, bending: float | NDArray[np.float64]) -> tuple[Given, Given]:
    """What decides whether splices count as stiff without reserve. Of joints without splices nobody asks."""
    return (
        Given("stands_hinged", "stands", "", "the frame stands with a hinge at every splice", np.array([stands], dtype=np.bool_)),
        Given(
            "piece_bending", "σ_m,y,d/f_m,y,d", "1", "greatest bending stress in the piece over its strength, in this combination", bending
        ),
    )


def with_bending(selection: Selection, joint: Axis, member: Axis, *, stands: bool) -> Axis:
    """An axis of joints that knows how far the pieces are bent; as it was where the code in force does not say. stands: the frame does, with a
    hinge at every splice."""
    if USE not in member.evidence.book:
        return joint
    place = {name: index for index, name in enumerate(member.ids)}
    owners = [place[spot.member] for spot in joint.spots]
    used = _greatest(member)[joint.arranged.rows][:, owners]
    given = named(*beside_splices(stands=stands, bending=used))
    return replace(joint, evidence=selection.evidence({**joint.evidence.given, **given}))


def _greatest(member: Axis) -> NDArray[np.float64]:
    """(combinations, pieces): over the stations of each piece and every way in which roving loads stand; unknown where any is."""
    use = np.broadcast_to(np.asarray(member.evidence[USE], dtype=np.float64), member.shape)
    most = np.full((len(member.base), len(member.ids)), -np.inf)
    np.maximum.at(most, member.arranged.rows, np.maximum.reduceat(use, member.starts, axis=1))
    return most
