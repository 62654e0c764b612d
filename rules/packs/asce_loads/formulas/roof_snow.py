"""Balanced snow on a sloped roof, ASCE 7 7.3 and 7.4, held against what the design carries."""

from __future__ import annotations

import numpy as np

from rules.library import DESIGN, LOADS, Rule, clause, quantity

FLAT = clause("7.3", equation="(7.3-1)", seen="read", source="https://associationdatabase.co/NFBA/September2025/inc/html/26.html")
SLOPED = clause(
    "7.4",
    equation="(7.4-1)",
    seen="read",
    source="form of the factor, http://www.bgstructuralengineering.com/BGASCE7/BGASCE7008/BGASCE70804.htm; its slopes partly from memory",
)


@quantity("p_f", "kN/m²", cites=FLAT, says="0.7 C_e C_t I_s p_g; I_s is 1 in 7-22")
def flat_roof_snow(snow_share, snow_exposure, snow_thermal, snow_importance, snow_ground):
    return snow_share * snow_exposure * snow_thermal * snow_importance * snow_ground


@quantity("C_s", "1", cites=SLOPED, says="1 up to the slope at which snow begins to slide, falling straight to nought at 70°")
def c_s(pitch_deg, slide_from, slide_all):
    return np.clip((slide_all - pitch_deg) / (slide_all - slide_from), 0.0, 1.0)


@quantity("p_s", "kN/m²", cites=SLOPED)
def sloped_roof_snow(c_s, flat_roof_snow):
    return c_s * flat_roof_snow


@quantity("p", "kN/m²", says="snow the design carries, on plan, with a thousandth for rounded figures")
def snow_allowed(snow_carried, snow_rounding):
    return snow_carried * snow_rounding


@quantity("carries snow and knows its ground", "", says="a roof that carries snow")
def has_snow(carries_snow):
    return carries_snow


RULE = Rule(
    slug="roof-snow",
    title="The roof carries the snow that its ground asks for",
    why="A ground snow load copied as a roof load, or one of another slope, is the commonest slip in snow country.",
    scope=DESIGN,
    purpose=LOADS,
    severity="warning",
    demand=sloped_roof_snow,
    limit=snow_allowed,
    when=has_snow,
    because="carries no snow",
    cites=SLOPED,
    message="Balanced snow on this slope is {demand}, and the heaviest snow case is {limit} on plan; exposure, warmth and surface are taken at the safe end unless the design names them (snow_exposure, snow_warmth, snow_surface).",
    remedies=("the snow load of the slope", "the site's own exposure, warmth and surface, named as parameters"),
)
