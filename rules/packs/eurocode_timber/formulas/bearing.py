"""Compression at a bearing, in the piece that sits and in the plate it sits on, EN 1995-1-1 6.1.5 and 6.2.2."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, presses_down, quantity

ACROSS = clause("6.1.5", equation="(6.3)", seen="read", source="LVL Handbook Europe 2025, p. 127")
GAIN = clause("6.1.5(2)-(4)", seen="memory")
ANGLED = clause("6.2.2", equation="(6.16)", seen="read", source="Porteous and Kermani, Structural Timber Design to Eurocode 5, chapter 6")


@quantity(
    "l_ef",
    "mm",
    says="bearing length with the spread of 30 mm, but not more than that length, on each side where timber goes on",
    cites=ACROSS,
)
def contact_length(bearing_length, timber_goes_on, bearing_spread_mm):
    return bearing_length + timber_goes_on * np.minimum(bearing_spread_mm, bearing_length)


@quantity("A_ef", "mm²", cites=ACROSS)
def contact_area(contact_width, contact_length):
    return contact_width * contact_length


@quantity("σ_c,α,d", "N/mm²")
def contact_stress(down, contact_area):
    return np.maximum(down, 0.0) / contact_area


@quantity("clear", "", says="softwood with clear timber of twice its depth beside the bearing, and a contact short enough", cites=GAIN)
def has_clear_timber(is_softwood, clear_beside, clear_depths, bearing_depth, is_continuous, bearing_length, contact_most):
    return is_softwood & (clear_beside >= clear_depths * bearing_depth) & (is_continuous | (bearing_length <= contact_most))


@quantity("k_c,90", "1", says="by kind of support where there is clear timber beside the bearing, else k_c,90 without it", cites=GAIN)
def bearing_gain(has_clear_timber, is_continuous, k_c_90_continuous, k_c_90_discrete, k_c_90):
    gained = np.where(is_continuous, k_c_90_continuous, k_c_90_discrete)
    return np.where(has_clear_timber, np.maximum(gained, k_c_90), k_c_90)


@quantity("f_c,α,d", "N/mm²", cites=ANGLED)
def f_cad(f_c0d, bearing_gain, f_c90d, sin_to_grain, cos_to_grain):
    return f_c0d / (f_c0d / (bearing_gain * f_c90d) * sin_to_grain**2 + cos_to_grain**2)


@quantity("σ_c,α,d / f_c,α,d", "1", cites=ANGLED)
def bearing_ratio(contact_stress, f_cad):
    return contact_stress / f_cad


@quantity(
    "l_needed",
    "mm",
    says="the shortest bearing that passes: A_ef / b less the spread, or less the length again where it is shorter than the spread",
    cites=ACROSS,
)
def needed_bearing(down, f_cad, contact_width, timber_goes_on, bearing_spread_mm):
    effective = np.maximum(down, 0.0) / f_cad / contact_width
    return np.maximum(effective - timber_goes_on * bearing_spread_mm, effective / (1.0 + timber_goes_on))


@quantity("l_needed", "mm", says="the shortest contact across the timber underneath that passes", cites=ACROSS)
def needed_on_seat(down, f_cad, contact_length):
    return np.maximum(down, 0.0) / f_cad / contact_length


def _rule(part: str, axis: str, title: str, message: str, remedies: tuple[str, ...]) -> Rule:
    return Rule(
        slug="bearing",
        part=part,
        axis=axis,
        title=title,
        why="Timber is soft across its grain: a short bearing crushes, and the eaves drop.",
        scope=SUPPORT,
        purpose=STRENGTH,
        demand=bearing_ratio,
        when=presses_down,
        because="presses on no timber here",
        cites=ACROSS,
        message=message,
        remedies=remedies,
    )


RULES = (
    _rule(
        "member",
        "support",
        "The piece is not crushed where it bears",
        "Support {element}: the piece that bears uses {percent} of its strength across the grain, under {combination}.",
        ("a longer bearing", "a wider piece"),
    ),
    _rule(
        "seat",
        "seat",
        "The timber underneath is not crushed",
        "Support {element}: the timber underneath uses {percent} of its strength across the grain, under {combination}.",
        ("a longer bearing", "a wall plate of a higher grade"),
    ),
)
