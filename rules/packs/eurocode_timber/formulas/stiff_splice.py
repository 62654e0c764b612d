"""A splice that is analysed as if the piece went on is strong enough to be stiff, EN 1995-1-1 5.4.2.

Two ways: with half as much strength again; or strong enough as it is, where the piece is bent by no more than 0.3 of its strength (here: anywhere
along it, in the same combination) and the frame would stand with a hinge at every such splice. A softer splice is two pieces that meet at a node.
"""

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


@quantity("little bent", "", says="the piece is bent by no more than 0.3 of its strength, and the frame stands with hinges", cites=STIFF)
def is_little_bent(piece_bending, stiff_splice_bending, stands_hinged):
    return (piece_bending <= stiff_splice_bending) & stands_hinged


@quantity(
    "1/k",
    "1",
    says="the share up to which a splice counts as stiff: 1/1.5, or all where the piece is little bent and the frame stands with hinges",
    cites=STIFF,
)
def stiff_share(is_little_bent, stiff_splice_reserve):
    return np.where(is_little_bent, 1.0, 1.0 / stiff_splice_reserve)


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
        ask="Make it stronger by half; or make it two pieces that meet at a node, so that it is analysed with a hinge there. Without that reserve a splice "
        "counts as stiff only where its piece is bent by no more than 0.3 of its strength and the frame stands with a hinge at every splice. Invented plates "
        "decide nothing.",
        cites=STIFF,
        message="Joint {element}: the splice uses {demand} of its strength and may use {limit} to count as stiff, {at}, under {combination}.",
        remedies=("a larger plate", "two pieces that meet at a node, with a joint there"),
    )


RULES = (
    _rule("anchorage", "joint", anchorage_share, may_be_stiff_by_teeth, "teeth"),
    _rule("steel", "joint-line", steel_share, may_be_stiff_by_steel, "plates"),
)
