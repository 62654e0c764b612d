"""Bending in the plane of the frame, with tipping or flat use, NDS 3.3."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.nds_timber.quantities.stability import BEAM
from rules.packs.nds_timber.quantities.stresses import is_bent


@quantity("f_b / F_b'", "1", cites=BEAM)
def bending_ratio(bending_stress, f_b_adjusted):
    return bending_stress / f_b_adjusted


RULE = Rule(
    slug="bending",
    title="Bending stays within the timber's value, its compressed edge held from tipping",
    why="The outer fibres of a bent joist or rafter break first, and a deep one rolls over where nothing holds its compressed edge.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_ratio,
    when=is_bent,
    because="is never bent",
    cites=BEAM,
    message="{element}: bending uses {percent} of the timber's adjusted value, {at}, under {combination}.",
    remedies=("a deeper section", "restraint of the compressed edge at closer spacing", "closer spacing of components", "a higher grade"),
)
