"""Snow on roofs: EN 1991-1-3. Loads in kN/m² of plan, lengths in m, line loads in kN per metre of one component."""

from __future__ import annotations

import numpy as np

from rules.library import Citation, quantity

DOCUMENT, EDITION = "EN 1991-1-3", "2003"
GUIDE = "Steel Buildings in Europe, Single-storey buildings, Part 3, 2009, https://infosteel.be/images/Steel-Buildings-in-Europe/SSB03"
LIBRARY = "an open library of snow to PN-EN 1991-1-3, no stable address"
CLASS = "an open class of snow to EN 1991-1-3 and the French annex, no stable address"
ROOF = Citation("5.2(3)", "(5.1)", "read", DOCUMENT, EDITION, f"{GUIDE}/48; {CLASS}")
HALF = Citation("5.3.3(4)", None, "read", DOCUMENT, EDITION, f"{GUIDE}/48")
WALL = Citation("5.3.6(1)", "(5.7), (5.8)", "read", DOCUMENT, EDITION, f"{GUIDE}/29")
WALL_LENGTH = Citation("5.3.6(1)", "(5.9)", "read", DOCUMENT, EDITION, f"{GUIDE}/50")
ACCIDENT = Citation("B.3, B.4", None, "read", DOCUMENT, EDITION, f"{GUIDE}/53")
VALLEY = Citation("B.2", None, "read", DOCUMENT, EDITION, LIBRARY)
OBSTACLE = Citation("6.2(2)", "(6.1), (6.2)", "read", DOCUMENT, EDITION, LIBRARY)
EAVES = Citation("6.3(2)", "(6.4)", "read", DOCUMENT, EDITION, f"{LIBRARY}; {CLASS}")


@quantity("s", "kN/m²", cites=ROOF)
def roof_snow(mu, c_e, c_t, ground_snow):
    return mu * c_e * c_t * ground_snow


@quantity("q_s", "kN/m")
def snow_line(roof_snow, load_width):
    return roof_snow * load_width / 1000.0


@quantity("μ", "1", cites=HALF)
def half_mu(mu):
    return 0.5 * mu


@quantity("l_s", "m", cites=WALL_LENGTH)
def wall_drift_length(rise, drift_least, drift_most):
    return np.clip(2.0 * rise, drift_least, drift_most)


@quantity("μ_w", "1", cites=WALL)
def mu_w(upper_width, own_width, rise, gamma_snow, ground_snow, mu_w_least, mu_w_most):
    return np.clip(np.minimum((upper_width + own_width) / (2.0 * rise), gamma_snow * rise / ground_snow), mu_w_least, mu_w_most)


@quantity("μ_s", "1", cites=WALL)
def mu_s(upper_mu, upper_width, wall_drift_length, upper_pitch, slides_above):
    return np.where(upper_pitch > slides_above, upper_mu * upper_width / wall_drift_length, 0.0)


@quantity("μ_2", "1", cites=WALL)
def mu_at_wall(mu_s, mu_w):
    return mu_s + mu_w


@quantity("l_s", "m", cites=ACCIDENT)
def accident_length(rise, own_width, drift_most):
    return np.minimum(np.minimum(5.0 * rise, own_width), drift_most)


@quantity("μ_1", "1", cites=ACCIDENT)
def mu_accident(rise, ground_snow, widest, accident_length, mu_accident_most):
    return np.minimum(np.minimum(2.0 * rise / ground_snow, 2.0 * widest / accident_length), mu_accident_most)


@quantity("μ_1", "1", cites=VALLEY)
def mu_accident_valley(rise, ground_snow, blown_length, valley_length, mu_valley_most):
    return np.minimum(np.minimum(2.0 * rise / ground_snow, 2.0 * blown_length / valley_length), mu_valley_most)


@quantity("d", "m")
def snow_depth(roof_snow, gamma_overhang):
    return roof_snow / gamma_overhang


@quantity("k", "1", cites=EAVES)
def overhang_factor(overhang_k, snow_depth, gamma_overhang):
    return np.minimum(overhang_k / snow_depth, snow_depth * gamma_overhang)


@quantity("s_e", "kN/m", cites=EAVES)
def eaves_snow(overhang_factor, roof_snow, gamma_overhang):
    return overhang_factor * roof_snow**2 / gamma_overhang


@quantity("F_e", "kN")
def eaves_point(eaves_snow, load_width):
    return eaves_snow * load_width / 1000.0


@quantity("μ_2", "1", cites=OBSTACLE)
def mu_obstacle(gamma_snow, rise, ground_snow, mu_w_least, mu_obstacle_most):
    return np.clip(gamma_snow * rise / ground_snow, mu_w_least, mu_obstacle_most)
