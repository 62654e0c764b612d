"""What is left of a section at a hole or notch, EN 1995-1-1 5.2 and 6.5. Forces of the whole piece; all plies together."""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

EXAMPLE = "TRADA, Eurocode 5 worked examples, 1994, example F6, https://de.scribd.com/document/320894378/End-Notched-beams"
NOTCH = clause("6.5.2", equation="(6.60), (6.62)", seen="read", source=EXAMPLE)
NET = clause("5.2 and 6.5.1")


@quantity("h_ef", "mm", says="the depth left; of a hole, the depth without it")
def h_ef(h, cut_depth):
    return h - cut_depth


@quantity("α", "1", cites=NOTCH)
def notch_share(h_ef, h):
    return h_ef / h


@quantity(
    "k_v",
    "1",
    says="k_n (1 + 1.1 i^1.5/√h) / (√h (√(α(1 − α)) + 0.8 (x/h) √(1/α − α²))), at most 1; 1 on the face away from the bearing while it is pressed",
    cites=NOTCH,
)
def k_v(k_n, notch_taper, h, notch_share, notch_reach, is_upper_notch, pulls_up):
    ends = np.sqrt(notch_share * (1.0 - notch_share)) + 0.8 * notch_reach / h * np.sqrt(1.0 / notch_share - notch_share**2)
    with np.errstate(divide="ignore"):
        reduced = np.minimum(k_n * (1.0 + 1.1 * notch_taper**1.5 / np.sqrt(h)) / (np.sqrt(h) * ends), 1.0)
    return np.where(is_upper_notch & ~pulls_up, 1.0, reduced)


@quantity("lifts", "", says="hogging at the notch, or no sign that tells: the notch may be on the side that the bearing holds")
def pulls_up(sagging, moment_floor):
    return sagging < -moment_floor


@quantity("τ_d", "N/mm²", cites=NOTCH)
def tau_left(shear_form, v, k_cr, area, notch_share):
    return shear_form * np.abs(v) / (k_cr * area * notch_share)


@quantity("A_net", "mm²", cites=NET)
def net_area(area, notch_share):
    return area * notch_share


@quantity("W_net", "mm³", says="of the depth left beside a notch; with a hole on the axis, W (1 − (d/h)³)", cites=NET)
def net_modulus(w_y, is_hole, cut_depth, h, notch_share):
    return w_y * np.where(is_hole, 1.0 - (cut_depth / h) ** 3, notch_share**2)


@quantity("M_net", "N·mm", says="|M| + |N| d/2 beside a notch, whose middle is off the axis; |M| at a hole on it", cites=NET)
def net_moment(m, n, is_hole, cut_depth):
    return np.abs(m) + np.where(is_hole, 0.0, np.abs(n) * cut_depth / 2.0)


@quantity("pulled notch", "", says="bending pulls the face that is notched, away from a bearing", cites=NET)
def is_pulled_notch(is_notch, is_notch_over_bearing, is_upper_notch, sagging, moment_floor):
    return is_notch & ~is_notch_over_bearing & np.where(is_upper_notch, sagging < -moment_floor, sagging > moment_floor)
