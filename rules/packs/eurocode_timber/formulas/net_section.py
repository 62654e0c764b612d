"""What is left at holes and notches carries bending, push or pull, and shear, EN 1995-1-1 5.2, 6.2 and 6.5.1."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.eurocode_timber.quantities.cuts import NET


@quantity("η_net", "1", says="σ_m/f_m + σ_t/f_t where pulled, + (σ_c/f_c)² where pressed, on the section left", cites=NET)
def net_bending(net_moment, net_modulus, f_myd, n, net_area, f_t0d, f_c0d):
    pull, push = np.maximum(n, 0.0) / net_area / f_t0d, np.maximum(-n, 0.0) / net_area / f_c0d
    return net_moment / net_modulus / f_myd + pull + push**2


@quantity("τ_d / f_v,d", "1", cites=NET)
def net_shear(tau_left, f_vd):
    return tau_left / f_vd


@quantity("η", "1", says="the greater of bending with push or pull, and shear, on the section left", cites=NET)
def net_section_ratio(net_bending, net_shear):
    return np.maximum(net_bending, net_shear)


@quantity("cut", "", says="timber where a hole or a notch takes section away")
def is_cut_section(is_hole, is_notch, is_timber):
    return (is_hole | is_notch) & is_timber


@quantity("not covered", "", says="a notch on a face that bending pulls; a hole deeper than a share of the depth, or where shear is high")
def is_unsafe_cut(is_pulled_notch, notch_taper, taper_least, is_hole, cut_depth, hole_share, h, net_shear, hole_shear_share):
    big = is_hole & ((cut_depth > hole_share * h) | (net_shear > hole_shear_share))
    return (is_pulled_notch & (notch_taper < taper_least)) | big


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
    ask="A notch that bending pulls open, a hole deeper than a quarter of the depth, or a hole where shear is high: an engineer must check it.",
    cites=NET,
    message="{element}: the section left at its holes and notches uses {percent} of its strength, {at}, under {combination}.",
    remedies=("a smaller hole or notch", "a hole on the axis, away from the bearings"),
)
