"""Timber is not split where a joint pulls across its grain, EN 1995-1-1 8.1.4."""

from __future__ import annotations

import numpy as np

from rules.library import JOINT, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.splitting import HARDWOOD, SPLIT, splitting


@quantity("h_e", "mm", says="from the edge the joint pulls towards to its farthest effective area", cites=SPLIT)
def loaded_depth(force_across, h, reach_left, reach_right):
    return h / 2.0 + np.where(force_across > 0.0, reach_right, reach_left)


@quantity("w", "1", cites=SPLIT)
def plate_width_factor(plate_along, splitting_width, splitting_exponent):
    return np.maximum((plate_along / splitting_width) ** splitting_exponent, 1.0)


@quantity("F_90,Rk", "N", says="14 b w √(h_e/(1 − h_e/h)), b of all plies", cites=SPLIT)
def f_90_rk(splitting_factor, b, plies, plate_width_factor, loaded_depth, h):
    return splitting(splitting_factor, b * plies, plate_width_factor, loaded_depth, h)


@quantity("F_90,Rd", "N", cites=clause("2.4.3", equation="(2.17)"))
def f_90_rd(k_mod, f_90_rk, gamma_m_connection, gamma_m_accidental, is_accidental):
    return k_mod * f_90_rk / np.where(is_accidental, gamma_m_accidental, gamma_m_connection)


@quantity("F_v,Ed", "N", says="the greater shear force on either side of the joint", cites=SPLIT)
def shear_at_joint(v_before, v_after):
    return np.maximum(np.abs(v_before), np.abs(v_after))


@quantity("pulls across", "", says="a joint at a node, in timber, with a force across the grain")
def pulls_across(force_across, axial_floor, is_timber, is_within):
    return (np.abs(force_across) > axial_floor) & is_timber & ~is_within


@quantity("hardwood", "", says="solid timber that is not known to be softwood, for which the expression holds")
def is_no_softwood(is_solid, is_solid_softwood):
    return is_solid & ~is_solid_softwood


RULE = Rule(
    slug="joint-splitting",
    title="The joint does not split the piece it pulls at",
    why="A joint near one edge that pulls across the grain opens a crack along the piece.",
    scope=JOINT,
    purpose=STRENGTH,
    demand=shear_at_joint,
    limit=f_90_rd,
    when=pulls_across,
    because="pulls across no grain",
    undecided=is_no_softwood,
    ask=HARDWOOD,
    cites=SPLIT,
    message="Joint {element}: {demand} of shear beside the joint, where {limit} splits the piece, {at}, under {combination}.",
    remedies=("a plate that reaches farther from the edge it pulls towards", "a deeper piece"),
)
