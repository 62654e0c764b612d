"""The nails, screws or bolts by which a line of braces or a diagonal hands its force on to timber, EN 1995-1-1 section 8 and 9.2.5."""

from __future__ import annotations

import numpy as np

from rules.library import BRACE, STRENGTH, Quantity, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities import block_shear, fasteners, splitting
from rules.packs.eurocode_timber.quantities import bracing_lines as lines
from rules.packs.eurocode_timber.quantities.fastener_places import TABLE, fastener_crowding

WHY = (
    "What a row of braces collects has to leave it somewhere: an end held by two nails gives way, and every piece in the row bows together."
)
UNSTATED = "states no fasteners of its anchorage, or collects nothing"


@quantity("anchored by fasteners", "", says="a line or a diagonal that collects a force, the fasteners of its anchorage stated")
def leaves_by_fasteners(carries_line, fastened):
    return carries_line & fastened


@quantity("across the grain", "", says="the same, pulling across the grain of the timber that takes the force")
def pulls_across_grain(leaves_by_fasteners, along_grain):
    return leaves_by_fasteners & ~along_grain


@quantity("along, under steel", "", says="the same, by several under steel, not stated to pull across the grain of that timber")
def tears_at_anchor(leaves_by_fasteners, several_under_steel, across_grain):
    return leaves_by_fasteners & several_under_steel & ~across_grain


@quantity("by a strap", "", says="the same, through the steel of a strap that is not declared as a whole")
def leaves_by_strap(leaves_by_fasteners, fastener_plate):
    return leaves_by_fasteners & (fastener_plate > 0.0)


@quantity("anchored diagonal", "", says="a diagonal, the fasteners of its anchorage stated")
def system_leaves_by_fasteners(carries_system, fastened):
    return carries_system & fastened


@quantity("N_b", "N", says="what one anchor of the line, or one diagonal, takes, either way", cites=lines.LINE)
def force_that_leaves(line_force):
    return line_force


@quantity("F_v,Ed", "N", says="the shear stated beside the fasteners, and the whole of what they pull with at least", cites=splitting.SPLIT)
def shear_at_anchor(line_force, fastener_shear):
    return np.maximum(line_force, fastener_shear)


@quantity("undecided", "", says="hardwood, or split by what was taken for a distance that is not stated")
def anchor_splitting_undecided(fastener_in_hardwood, fastener_says_reach, shear_at_anchor, fastener_splitting_resistance):
    return splitting.undecided(fastener_in_hardwood, fastener_says_reach, shear_at_anchor, fastener_splitting_resistance)


@quantity("R_d", "N", cites=fasteners.DESIGN)
def anchor_rest_resistance(anchor_rest_with_k_mod, k_mod, anchor_rest_declared, anchor_rest_gamma):
    return np.where(anchor_rest_with_k_mod, k_mod, 1.0) * anchor_rest_declared / anchor_rest_gamma


@quantity("k_u", "N/mm", says="of what fixes the diagonal to each piece", cites=clause("2.2.2(2)", equation="(2.1)"))
def stiffness_at_pieces(k_u_share, crossing_slip):
    return k_u_share * crossing_slip


@quantity(
    "1/k_u", "mm/N", says="of the fasteners of the anchorage, and of the strap they fix", cites=clause("2.2.2(2), 7.1", equation="(2.1)")
)
def give_of_anchor(k_u_share, fasteners_slip, anchor_rest_give):
    return (1.0 / fasteners_slip + anchor_rest_give) / k_u_share


@quantity("u", "mm", says="stretch and slip of the diagonal under its force, seen square to the pieces", cites=lines.STATICS)
def anchored_deflection(diagonal_force, diagonal_length, e_0_mean, area, stiffness_at_pieces, give_of_anchor, angle_cos):
    flexible = diagonal_length / (e_0_mean * area) + 1.0 / stiffness_at_pieces + give_of_anchor
    return diagonal_force * flexible / angle_cos


def _rule(
    part: str, title: str, demand: Quantity, message: str, when: Quantity = leaves_by_fasteners, because: str = UNSTATED, **more: object
) -> Rule:
    return Rule(
        slug="anchor-fasteners", part=part, title=title, why=WHY, scope=BRACE, axis="anchor", purpose=STRENGTH, demand=demand, message=message,
        when=when, because=because, **more,  # type: ignore[arg-type]  # the rest of a rule's own fields
    )  # fmt: skip


RULES = (
    _rule(
        "strength", "The fasteners of an anchorage take what a line of braces or a diagonal collects", force_that_leaves,
        "{element}: the fasteners of one anchorage take {demand}, either way, and carry {limit}, under {combination}.",
        limit=fasteners.fasteners_resistance, cites=fasteners.JOHANSEN,
        remedies=("more fasteners at each anchorage", "more anchorages along the line, or more diagonals"),
    ),
    _rule(
        "splitting", "What a brace is anchored to is not split by it", shear_at_anchor,
        "{element}: {demand} of shear beside its anchorage, where {limit} splits the timber it is pulled across, under {combination}.",
        pulls_across_grain, f"{UNSTATED}, or pulls along the grain", limit=splitting.fastener_splitting_resistance, cites=splitting.SPLIT,
        undecided=anchor_splitting_undecided, ask=splitting.REACH,
        remedies=("fasteners farther from the edge they pull towards", "an anchorage that pulls along the grain", "deeper timber"),
    ),
    _rule(
        "block-shear", "An anchorage under steel does not tear a block out of the timber", force_that_leaves,
        "{element}: {demand} pulls along the grain at the fasteners of one anchorage, where {limit} tears out the timber around them, under {combination}.",
        tears_at_anchor, f"{UNSTATED}, has no steel under several heads, or pulls across the grain", limit=block_shear.block_shear_resistance,
        cites=block_shear.BLOCK, remedies=block_shear.REMEDIES,
    ),
    _rule(
        "placing", "The fasteners of an anchorage have the timber around them that they need", fastener_crowding,
        "{element}: of what the fasteners of its anchorage need in distances, length and thickness of timber, the tightest is used by {percent}.",
        cites=TABLE, remedies=("thicker or wider timber to anchor to", "thinner fasteners", "drilling first"),
    ),
    _rule(
        "strap", "The strap of an anchorage and its other end take what the line collects", force_that_leaves,
        "{element}: {demand} pulls at the strap of its anchorage and at the strap's other end, under {combination}.",
        leaves_by_strap, f"{UNSTATED}, or has no steel under the heads", limit=anchor_rest_resistance, cites=fasteners.DESIGN,
        remedies=("a stronger strap, declared", "more anchorages along the line, or more diagonals"),
    ),
    _rule(
        "deflection", "The bracing as a whole moves little under the load that keeps the pieces straight", anchored_deflection,
        "{element}: under the load of the system it gives way by {demand}, under {combination}.", system_leaves_by_fasteners,
        "is no diagonal, collects nothing, or states no fasteners of its anchorage", limit=lines.system_deflection_limit,
        cites=clause("9.2.5.3(4)", seen="memory"), remedies=("more diagonals", "more fasteners at their ends"),
    ),
)  # fmt: skip
