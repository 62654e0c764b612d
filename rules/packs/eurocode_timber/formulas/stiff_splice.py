"""A splice that is analysed as if the piece went on is strong enough to be stiff, EN 1995-1-1 5.4.2."""

from __future__ import annotations

import numpy as np

from rules.library import JOINT, STRENGTH, Quantity, Rule, clause, quantity

STIFF = clause("5.4.2, chord splices")


@quantity("√η_a", "1", says="share of the hold that is used", cites=STIFF)
def anchorage_share(anchorage_ratio):
    return np.sqrt(anchorage_ratio)


@quantity("√η_s", "1", says="share of the steel that is used", cites=STIFF)
def steel_share(plate_ratio):
    return np.sqrt(plate_ratio)


@quantity("1/1.5", "1", says="the share at which a splice has the reserve that makes it stiff", cites=STIFF)
def stiff_share(stiff_splice_reserve):
    return 1.0 / stiff_splice_reserve


@quantity("within", "", says="a splice within a piece")
def is_within_piece(is_within):
    return is_within


@quantity("may be stiff", "", says="invented plates; or strong enough without the reserve, which stands only with low bending and a frame that stands with hinges", cites=STIFF)  # fmt: skip
def may_be_stiff_by_teeth(anchorage_share, stiff_share, plate_invented):
    return plate_invented | ((anchorage_share > stiff_share) & (anchorage_share <= 1.0))


@quantity("may be stiff", "", says="as for teeth", cites=STIFF)
def may_be_stiff_by_steel(steel_share, stiff_share, plate_invented):
    return plate_invented | ((steel_share > stiff_share) & (steel_share <= 1.0))


def _rule(part: str, axis: str, demand: Quantity, undecided: Quantity, words: str) -> Rule:
    return Rule(
        slug="stiff-splice",
        part=part,
        axis=axis,
        title=f"The splice's {words} have the reserve that lets the piece be analysed as one",
        why="A splice without reserve turns before the rest of the piece does, and the moment goes elsewhere.",
        scope=JOINT,
        purpose=STRENGTH,
        demand=demand,
        limit=stiff_share,
        when=is_within_piece,
        because="is no splice within a piece",
        undecided=undecided,
        ask="Make it stronger by half; or make it two pieces that meet at a node; or let an engineer show that the bending stress is at most 0.3 of the "
        "strength and that the frame still stands with a hinge at every such splice. Invented plates decide nothing.",
        cites=STIFF,
        message="Joint {element}: the splice uses {demand} of its strength and may use {limit} to count as stiff, {at}, under {combination}.",
        remedies=("a larger plate", "two pieces that meet at a node, with a joint there"),
    )


RULES = (
    _rule("anchorage", "joint", anchorage_share, may_be_stiff_by_teeth, "teeth"),
    _rule("steel", "joint-line", steel_share, may_be_stiff_by_steel, "plates"),
)
