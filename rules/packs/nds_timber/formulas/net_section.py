"""What is left at holes and at notches away from a bearing carries bending, push or pull, NDS 3.1.2 and 3.2.3."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity

NET = clause("3.1.2 and 3.2.3")


@quantity("A_net", "mm²", cites=NET)
def net_area(area, depth_left):
    return area * depth_left


@quantity("S_net", "mm³", says="of the depth left beside a notch; with a hole on the axis, S (1 − (d/h)³)", cites=NET)
def net_modulus(w_y, is_hole, cut_depth, h, depth_left):
    return w_y * np.where(is_hole, 1.0 - (cut_depth / h) ** 3, depth_left**2)


@quantity("M_net", "N·mm", says="|M| + |N| d/2 beside a notch, whose middle is off the axis; |M| at a hole on it", cites=NET)
def net_moment(m, n, is_hole, cut_depth):
    return np.abs(m) + np.where(is_hole, 0.0, np.abs(n) * cut_depth / 2.0)


@quantity("η_net", "1", cites=NET, says="M_net/(S_net F_b') + pull/(A_net F_t') + push/(A_net F_c*)")
def net_bending(net_moment, net_modulus, f_b_adjusted, n, net_area, f_t_adjusted, f_c_star):
    pull, push = np.maximum(n, 0.0) / (net_area * f_t_adjusted), np.maximum(-n, 0.0) / (net_area * f_c_star)
    return net_moment / (net_modulus * f_b_adjusted) + pull + push


@quantity("η", "1", says="the greater of that and shear on the section left", cites=NET)
def net_section_ratio(net_bending, shear_stress, f_v_adjusted, depth_left):
    return np.maximum(net_bending, shear_stress / (f_v_adjusted * depth_left))


@quantity("cut", "", says="timber where a hole or a notch takes section away")
def is_cut_section(is_hole, is_notch, is_timber):
    return (is_hole | is_notch) & is_timber


@quantity("not covered", "", says="a notch on the face that bending pulls, away from a bearing; a hole deeper than a third of the depth")
def is_unsafe_cut(is_notch, is_notch_over_bearing, is_upper_notch, sagging, moment_floor, is_hole, cut_depth, net_hole_share, h):
    pulled = np.where(is_upper_notch, sagging < -moment_floor, sagging > moment_floor)
    return (is_notch & ~is_notch_over_bearing & pulled) | (is_hole & (cut_depth > net_hole_share * h))


RULE = Rule(
    slug="net-section",
    title="The section left at holes and notches carries the forces there",
    why="Pipes and cables take the timber that was counted on; a notch on the pulled side splits a joist at a fraction of its strength.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=net_section_ratio,
    when=is_cut_section,
    because="has no holes or notches",
    undecided=is_unsafe_cut,
    ask="A notch that bending pulls open, or a hole deeper than a third of the depth: an engineer must check it.",
    cites=NET,
    message="{element}: the section left at its holes and notches uses {percent} of its adjusted values, {at}, under {combination}.",
    remedies=("a smaller hole or notch", "a hole on the axis, away from the bearings"),
)
