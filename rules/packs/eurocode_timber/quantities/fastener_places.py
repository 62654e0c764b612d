"""Whether fasteners keep the least distances, lengths and thicknesses of EN 1995-1-1 8.3.1.2, 8.5.1.1 and 8.7: needed over given, each below 1.

Both signs and every angle between force and grain are counted: ends and edges are taken as loaded.
"""

from __future__ import annotations

import numpy as np

from rules.library import clause, quantity

TABLE = clause(
    "Tables 8.2, 8.4 and 8.6", seen="read",
    source="nails and screws: LVL Handbook Europe 2025, image 149, https://proofer.faktor.fi/epaper/LVLHandbook_2025/149; bolts: public notes on table 8.4, in Dutch, no stable address",
)  # fmt: skip
THIN = clause("8.3.1.2(6)", equation="(8.18)", seen="read", source="https://fr.scribd.com/document/668542268/5-VERIFIER-POINTES-BOIS-BOIS")
WASHERS = clause("10.4.3(2)", seen="memory")
HOLES = clause("10.4.3(1)", seen="read", source="https://www.eurocode.us/structural-timber-design/info-uos.html")
TWO = clause(
    "8.3.1.1(9)",
    seen="read",
    source="checks of a calculation sheet of nailed connections to EN 1995-1-1, in Dutch, no stable address; the number of the paragraph from memory",
)
TINY = 1e-9


@quantity("a_1 / s_1", "1", says="least distance in a line, 0.7 of it under steel except of bolts, over the one given", cites=TABLE)
def fastener_line_use(fastener_in_row, fastener_a_1, fastener_diameter, fastener_spacing, fastener_plate, fastener_is_bolt, steel_spacing):
    least = fastener_a_1 * fastener_diameter * np.where((fastener_plate > 0.0) & ~fastener_is_bolt, steel_spacing, 1.0)
    return np.where(fastener_in_row > 1.0, least / np.maximum(fastener_spacing, TINY), 0.0)


@quantity("a_2 / s_2", "1", says="least distance between lines, 0.7 of it under steel except of bolts, over the one given", cites=TABLE)
def fastener_row_use(
    fastener_count, fastener_in_row, fastener_a_2, fastener_diameter, fastener_row_spacing, fastener_plate, fastener_is_bolt, steel_spacing
):
    least = fastener_a_2 * fastener_diameter * np.where((fastener_plate > 0.0) & ~fastener_is_bolt, steel_spacing, 1.0)
    return np.where(fastener_count > fastener_in_row, least / np.maximum(fastener_row_spacing, TINY), 0.0)


@quantity("a_3,t / s_3", "1", says="least distance to a loaded end, of bolts 80 mm at least, over the one given", cites=TABLE)
def fastener_end_use(fastener_a_3, fastener_diameter, fastener_is_bolt, bolt_end_least, fastener_end):
    return np.maximum(fastener_a_3 * fastener_diameter, np.where(fastener_is_bolt, bolt_end_least, 0.0)) / fastener_end


@quantity("a_4,t / s_4", "1", cites=TABLE)
def fastener_edge_use(fastener_a_4, fastener_diameter, fastener_edge):
    return fastener_a_4 * fastener_diameter / fastener_edge


@quantity(
    "t_min / t_2",
    "1",
    says="of nails and screws the least length in the point's timber over t_2, of screws drawn out over l_ef; of bolts what both timbers need over the length",
    cites=clause("8.3.1.2(1)-(2), 8.7.2(3)"),
)
def fastener_depth_use(
    fastener_is_bolt, nail_penetration, fastener_diameter, fastener_point, fastener_through, fastener_plate, fastener_room, fastener_length,
    fastener_is_screw, fastener_pulled, fastener_hold,
):  # fmt: skip
    drawn = fastener_pulled.equals("along") | fastener_pulled.equals("both")
    held = np.where(fastener_is_screw & drawn, fastener_hold, fastener_point)
    driven = nail_penetration * fastener_diameter / np.maximum(held, TINY)
    return np.where(fastener_is_bolt, (fastener_through + fastener_plate + fastener_room) / fastener_length, driven)


@quantity(
    "t / t_1",
    "1",
    says="least thickness of timber that is not predrilled, max(7 d, (13 d − 30) ρ_k / 400), over the thinner timber",
    cites=THIN,
)
def fastener_thickness_use(
    fastener_drilled, nail_thickness_least, fastener_diameter, nail_thickness_slope, nail_thickness_constant, rho_dense, nail_thickness_density,
    fastener_through, fastener_plate, fastener_room,
):  # fmt: skip
    slope = (nail_thickness_slope * fastener_diameter - nail_thickness_constant) * rho_dense / nail_thickness_density
    least = np.maximum(nail_thickness_least * fastener_diameter, slope)
    thinner = np.where(fastener_plate > 0.0, fastener_room, np.minimum(fastener_through, fastener_room))
    return np.where(fastener_drilled, 0.0, least / thinner)


@quantity(
    "ρ_k, d / most", "1", says="density and diameter over what may be driven without drilling first", cites=clause("8.3.1.1(2), 8.7.1(4)")
)
def fastener_drill_use(fastener_drilled, rho_dense, driven_density_most, fastener_diameter, driven_diameter_most):
    return np.where(fastener_drilled, 0.0, np.maximum(rho_dense / driven_density_most, fastener_diameter / driven_diameter_most))


@quantity("3 d / d_w", "1", says="of bolts drawn along: least diameter and thickness of their washers over those given", cites=WASHERS)
def fastener_washer_use(
    fastener_is_bolt, fastener_pulled, washer_wide, washer_thick, fastener_diameter, fastener_washer, fastener_washer_thickness
):
    wide = washer_wide * fastener_diameter / np.maximum(fastener_washer, TINY)
    thick = washer_thick * fastener_diameter / np.maximum(fastener_washer_thickness, TINY)
    drawn = fastener_pulled.equals("along") | fastener_pulled.equals("both")
    return np.where(fastener_is_bolt & drawn, np.maximum(wide, thick), 0.0)


@quantity(
    "2 / n",
    "1",
    says="of nails: the least number in a joint over those given; nought where there are so many, or many joints lie close together",
    cites=TWO,
)
def fastener_number_use(fastener_kind, fastener_one_of_many, nails_least, fastener_count):
    short = fastener_kind.equals("nail") & ~fastener_one_of_many & (fastener_count < nails_least)
    return np.where(short, nails_least / fastener_count, 0.0)


@quantity("Δ / most", "1", says="of bolts: play in their holes in the timber over the most there may be; nought below it", cites=HOLES)
def fastener_play_use(fastener_is_bolt, fastener_play, bolt_play_most):
    return np.where(fastener_is_bolt & ~(fastener_play <= bolt_play_most), fastener_play / bolt_play_most, 0.0)


@quantity(
    "needed / given", "1", says="the greatest of these: the tightest of distances, lengths, thicknesses, numbers and holes", cites=TABLE
)
def fastener_crowding(
    fastener_line_use, fastener_row_use, fastener_end_use, fastener_edge_use, fastener_depth_use, fastener_thickness_use, fastener_drill_use,
    fastener_washer_use, fastener_number_use, fastener_play_use,
):  # fmt: skip
    uses = (
        fastener_line_use, fastener_row_use, fastener_end_use, fastener_edge_use, fastener_depth_use, fastener_thickness_use, fastener_drill_use,
        fastener_washer_use, fastener_number_use, fastener_play_use,
    )  # fmt: skip
    return np.maximum.reduce(np.broadcast_arrays(*uses))
