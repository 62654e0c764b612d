"""Wind on roofs: EN 1991-1-4. Speeds in m/s, heights in m, pressures in kN/m², line loads in kN per metre of one component."""

from __future__ import annotations

import numpy as np

from rules.library import Citation, quantity

DOCUMENT, EDITION = "EN 1991-1-4", "2005+A1:2010"
GUIDE = "Steel Buildings in Europe, Single-storey buildings, Part 3, 2009, https://infosteel.be/images/Steel-Buildings-in-Europe/SSB03"
SPEED = Citation("4.2(2)", "(4.1)", "read", DOCUMENT, EDITION, f"{GUIDE}/57")
ROUGH = Citation("4.3.2", "(4.4), (4.5)", "read", DOCUMENT, EDITION, f"{GUIDE}/57")
MEAN = Citation("4.3.1", "(4.3)", "read", DOCUMENT, EDITION, f"{GUIDE}/57")
TURBULENCE = Citation("4.4(1)", "(4.7)", "read", DOCUMENT, EDITION, f"{GUIDE}/58")
PEAK = Citation("4.5(1)", "(4.8)", "read", DOCUMENT, EDITION, f"{GUIDE}/58")
NET = Citation(
    "5.2", "(5.1), (5.2)", "read", DOCUMENT, EDITION, "tests of open calculation sheets to NEN-EN 1991-1-4, in Dutch, no stable address"
)
ZONES = Citation("7.2.5(1)", None, "read", DOCUMENT, EDITION, "an open library of wind to PN-EN 1991-1-4, no stable address")


@quantity("v_b,0", "m/s")
def basic_speed(wind_speed, wind_per_altitude, site_altitude):
    return wind_speed * (1.0 + wind_per_altitude * site_altitude)


@quantity("v_b", "m/s", cites=SPEED)
def v_b(c_dir, c_season, basic_speed):
    return c_dir * c_season * basic_speed


@quantity("k_r", "1", cites=ROUGH)
def k_r(k_r_0, z_0, z_0_ii, k_r_exponent):
    return k_r_0 * (z_0 / z_0_ii) ** k_r_exponent


@quantity("z", "m", cites=ROUGH)
def z_e(ridge_height, z_min):
    return np.maximum(ridge_height, z_min)


@quantity("c_r", "1", cites=ROUGH)
def c_r(k_r, z_e, z_0):
    return k_r * np.log(z_e / z_0)


@quantity("v_m", "m/s", cites=MEAN)
def v_m(c_r, c_o, v_b):
    return c_r * c_o * v_b


@quantity("I_v", "1", cites=TURBULENCE)
def i_v(k_i, c_o, z_e, z_0):
    return k_i / (c_o * np.log(z_e / z_0))


@quantity("q_p", "kN/m²", cites=PEAK)
def q_p(peak_factor, i_v, rho_air, v_m):
    return (1.0 + peak_factor * i_v) * 0.5 * rho_air * v_m**2 / 1000.0


@quantity("e", "m", cites=ZONES)
def zone_length(crosswind, ridge_height):
    return np.minimum(crosswind, 2.0 * ridge_height)


@quantity("w", "kN/m²", cites=NET)
def net_pressure(q_p, c_pe, c_pi):
    return q_p * (c_pe - c_pi)


@quantity("q_w", "kN/m")
def wind_line(net_pressure, load_width):
    return net_pressure * load_width / 1000.0
