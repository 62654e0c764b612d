"""The nails between the plies of a girder carry through what hangs on one of them, EN 1995-1-1 8.2.2 and 8.3.1."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.dowels import embedment, single_shear

SHARE = clause("load shared by plies: statics")
JOHANSEN = clause(
    "8.2.2",
    equation="(8.6)",
    seen="read",
    source="LVL Handbook Europe 2025, image 207, https://proofer.faktor.fi/epaper/LVLHandbook_2025/207",
)
NAILS = clause(
    "8.3.1.1",
    equation="(8.14)-(8.16)",
    seen="read",
    source="LVL Handbook Europe 2025, image 206, https://proofer.faktor.fi/epaper/LVLHandbook_2025/206",
)
PLACING = clause("8.3.1.2", equation="(8.18)")


@quantity("F_n", "N", says="(n − 1)/n of it: all plies but the one it hangs on", cites=SHARE)
def load_through_nails(window_load, plies):
    return window_load * (plies - 1.0) / plies


@quantity("n", "1", says="nails in that stretch, whole ones in each row", cites=SHARE)
def nails_there(half_window, nail_spacing, nail_rows):
    return nail_rows * np.floor(2.0 * half_window / nail_spacing + 1e-9)


@quantity("f_h,k", "N/mm²", says="0.082 ρ_k d^-0.3, or 0.082 (1 − 0.01 d) ρ_k where predrilled", cites=NAILS)
def f_h_nail(rho_k, nail_diameter, nail_predrilled, embedment_factor, embedment_exponent, embedment_drilled):
    return embedment(rho_k, nail_diameter, nail_predrilled, embedment_factor, embedment_exponent, embedment_drilled)


@quantity("M_y,Rk", "N·mm", cites=NAILS)
def m_y_nail(yield_moment_factor, nail_f_u, nail_diameter, yield_moment_exponent):
    return yield_moment_factor * nail_f_u * nail_diameter**yield_moment_exponent


@quantity("t_2", "mm", says="length of the nail in the ply on its point's side, at most that ply", cites=PLACING)
def point_length(nail_length, b):
    return np.minimum(nail_length - b, b)


@quantity("F_v,Rk", "N", says="the least of Johansen's six modes of one nail, t_1 a ply, without rope effect", cites=JOHANSEN)
def f_v_rk_nail(f_h_nail, b, point_length, nail_diameter, m_y_nail, johansen_one_hinge, johansen_two_hinges):
    t_2 = np.where(point_length > 0.0, point_length, np.nan)
    return single_shear(f_h_nail, f_h_nail, b, t_2, nail_diameter, m_y_nail, johansen_one_hinge, johansen_two_hinges).min(axis=0)


@quantity("R_d", "N", cites=clause("2.4.3", equation="(2.17)"))
def nails_resistance(nails_there, k_mod, f_v_rk_nail, gamma_m_connection, gamma_m_accidental, is_accidental):
    return nails_there * k_mod * f_v_rk_nail / np.where(is_accidental, gamma_m_accidental, gamma_m_connection)


@quantity("nailed plies", "", says="timber of several plies with a load between its nodes")
def is_of_plies(plies, is_timber, window_load, axial_floor):
    return (plies > 1.0) & is_timber & (window_load > axial_floor)


@quantity("beyond the code's nails", "", says="nails too short, too near to each other, in pieces too thin or too dense", cites=PLACING)
def are_odd_nails(
    point_length, nail_penetration, nail_diameter, nail_spacing, nail_spacing_least, b, nail_predrilled, rho_k, nail_thickness_least,
    nail_thickness_slope, nail_thickness_constant, nail_thickness_density, nail_density_most,
):  # fmt: skip
    thick = np.maximum(
        nail_thickness_least * nail_diameter,
        (nail_thickness_slope * nail_diameter - nail_thickness_constant) * rho_k / nail_thickness_density,
    )
    short, near = point_length < nail_penetration * nail_diameter, nail_spacing < nail_spacing_least * nail_diameter
    return short | near | (~nail_predrilled & ((b < thick) | (rho_k > nail_density_most)))


RULE = Rule(
    slug="ply-nailing",
    title="The nails between plies carry through what hangs on one of them",
    why="A load hung on one ply is carried by that ply alone unless nails take it through to the others.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=load_through_nails,
    limit=nails_resistance,
    when=is_of_plies,
    because="is one piece, or carries no load between its nodes",
    undecided=are_odd_nails,
    ask="These nails are too short for their point's side, too near to each other, or not fit for so thin or so dense a ply: change them, or let an "
    "engineer check them. (members.ply_nailing)",
    cites=JOHANSEN,
    message="{element}: {demand} has to pass through the nails between its plies, and they carry {limit}, {at}, under {combination}.",
    remedies=("more rows of nails", "nails nearer to each other where the load hangs"),
)
