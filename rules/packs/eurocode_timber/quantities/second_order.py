"""Second order as the analysis (5.4.4): how the frame stands before it is loaded, and what changes in the checks."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

CHOSEN = ("analysis", "second-order")


@quantity("second order", "", says="the analysis in second order was chosen")
def is_second_order(second_order_chosen):
    return second_order_chosen == 1.0


@quantity(
    "φ",
    "1",
    cites=clause(
        "5.4.4(2)", equation="(5.1)", seen="read", source="an open frame program in Dutch, its leaning of frames, no stable address"
    ),
)
def initial_sway(sway_angle, sway_height, frame_height):
    return sway_angle * np.sqrt(np.minimum(sway_height / np.maximum(frame_height, sway_height), 1.0))


@quantity("e/l", "1", cites=clause("5.4.4(2)", equation="(5.2)"))
def initial_bow(bow_share):
    return bow_share


@quantity(
    "k_c,y",
    "1",
    says="1: the moments hold the effect of the push in the plane already",
    cites=clause("5.4.4"),
    instead_of="k_cy",
    where=CHOSEN,
)
def k_cy_displaced():
    return 1.0


@quantity(
    "η",
    "1",
    says="(6.19) in the plane; where the piece may buckle sideways, the greater of that and (6.24)",
    cites=clause("5.4.4, 6.2.4, 6.3.2(3)", equation="(6.19), (6.24)"),
    instead_of="bending_with_compression",
    where=CHOSEN,
)
def bending_with_compression_displaced(lambda_rel_z, slenderness_limit, crushing_with_bending, buckling_out_of_plane):
    return np.where(lambda_rel_z <= slenderness_limit, crushing_with_bending, np.maximum(crushing_with_bending, buckling_out_of_plane))


@quantity("lost", "1", says="combinations in which no balance is found", cites=clause("5.4.4"))
def balance_lost(lost_balance):
    return lost_balance
