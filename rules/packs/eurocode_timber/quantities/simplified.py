"""What the simplified analysis of trusses (5.4.3) asks, and what changes in the checks where it was chosen (9.2.1(4)-(5))."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

CHOSEN = ("analysis", "simplified")
CONDITIONS = clause("5.4.3(1)")
LENGTHS = clause("9.2.1(4)")


@quantity("simplified", "", says="the simplified analysis was chosen")
def is_simplified(simplified_chosen):
    return simplified_chosen == 1.0


@quantity("open panels", "1", says="1 where some panel of the frame is no triangle", cites=CONDITIONS)
def open_panels(is_triangulated):
    return np.where(is_triangulated, 0.0, 1.0)


@quantity("ω", "°", says="how far a corner of the outline points inwards", cites=CONDITIONS)
def corner_inwards(inward_corner):
    return inward_corner


@quantity("h_min,L", "mm", cites=CONDITIONS)
def least_height_by_span(simplified_height_over_span, truss_span):
    return simplified_height_over_span * truss_span


@quantity("h_min,h", "mm", cites=CONDITIONS)
def least_height_by_depth(simplified_height_over_depth, chord_depth):
    return simplified_height_over_depth * chord_depth


@quantity("h_tot", "mm", says="height of the truss", cites=CONDITIONS)
def height_found(truss_height):
    return truss_height


@quantity(
    "a_2/lim",
    "1",
    says="of the bearing that is farthest off, its distance over the greater of a share of the contact and a fixed one",
    cites=CONDITIONS,
)
def bearing_off_node(bearing_offset, simplified_bearing_share, heel_length, simplified_bearing_distance):
    return np.max(bearing_offset / np.maximum(simplified_bearing_share * heel_length, simplified_bearing_distance), initial=0.0)


@quantity("n_s", "1", says="ends of pieces that pass moment", cites=CONDITIONS)
def ends_not_pinned(stiff_ends):
    return stiff_ends


@quantity("e", "mm", says="farthest end of a piece from its node", cites=CONDITIONS)
def ends_off_node(end_offset):
    return end_offset


@quantity("0", "1", says="none")
def none_at_all():
    return 0.0


@quantity("0", "°", says="straight")
def no_angle():
    return 0.0


@quantity("0", "mm", says="none")
def no_length():
    return 0.0


@quantity(
    "5.4.3 holds",
    "",
    says="triangles throughout, no corner inwards, high enough for its span and depth, bearings and pieces at the nodes, ends pinned",
    cites=CONDITIONS,
)
def simplified_analysis_holds(
    open_panels, corner_inwards, least_height_by_span, least_height_by_depth, height_found, bearing_off_node, ends_not_pinned, ends_off_node
):
    whole = (open_panels == 0.0) & (corner_inwards == 0.0) & (bearing_off_node <= 1.0) & (ends_not_pinned == 0.0) & (ends_off_node == 0.0)
    return whole & (least_height_by_span <= height_found) & (least_height_by_depth <= height_found)


@quantity("σ_c,0,d", "N/mm²", cites=LENGTHS, instead_of="sigma_c", where=CHOSEN)
def strut_stress(n, axial_increase, area):
    return np.maximum(-n, 0.0) * (1.0 + axial_increase) / area


@quantity("bends enough", "", says="a bay of a piece that runs through, bent by at least its share of the push", cites=LENGTHS)
def bends_enough(runs_through, sigma_my, bent_share, sigma_c):
    return runs_through & (sigma_my >= bent_share * sigma_c)


@quantity(
    "l_ef,y",
    "mm",
    says="0.8 of an outer bay, 0.6 of an inner one, over a node 0.6 of the longer, where the piece runs through and bends enough; else the whole bay",
    cites=LENGTHS,
)
def simplified_length(
    bends_enough, is_over_node, over_node_share, greater_bay, is_outer_bay, outer_bay_share, inner_bay_share, bay_length, length_y
):
    between = np.where(is_outer_bay, outer_bay_share, inner_bay_share) * bay_length
    return np.where(bends_enough, np.where(is_over_node, over_node_share * greater_bay, between), length_y)


@quantity("λ_y", "1", instead_of="slenderness_y", where=CHOSEN)
def simplified_slenderness(simplified_length, radius_y):
    return simplified_length / radius_y


@quantity("at its nodes", "", says="a truss loaded at its nodes only, by the simplified analysis", cites=clause("9.2.1(5)"))
def is_node_loaded(is_simplified, is_node_loaded_truss):
    return is_simplified & is_node_loaded_truss


@quantity("η_max", "1", cites=clause("9.2.1(5)"))
def node_loaded_most(node_loaded_limit):
    return node_loaded_limit
