"""Bending stays within what the piece can carry, CSA O86 6.5.4."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.canada_timber.quantities.forces import is_bent
from rules.packs.canada_timber.quantities.restated import restated

HERE = restated("6.5.4")


@quantity("M_f / M_r", "1", cites=HERE)
def bending_ratio(moment, moment_resistance):
    return moment / moment_resistance


RULE = Rule(
    slug="bending",
    title="Bending stays within what the piece can carry, its compressed edge held from tipping",
    why="The outer fibres of a bent joist or rafter break first, and a deep one rolls over where nothing holds its compressed edge.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_ratio,
    when=is_bent,
    because="is never bent",
    cites=HERE,
    message="{element}: bending uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper section", "restraint of the compressed edge at closer spacing", "a higher grade"),
)
