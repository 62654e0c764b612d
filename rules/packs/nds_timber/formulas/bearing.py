"""Compression at a bearing, in the piece that sits and in the plate it sits on, NDS 3.10."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, presses_down, quantity

ACROSS = clause("3.10.2 to 3.10.4")


@quantity(
    "C_b", "1", cites=ACROSS, says="(l_b + 0.375 in)/l_b for a bearing shorter than six inches with timber on both sides of it, else 1"
)
def c_b(bearing_length, timber_goes_on, bearing_gain, bearing_gain_to):
    inner = (timber_goes_on > 1.0) & (bearing_length < bearing_gain_to)
    return np.where(inner, (bearing_length + bearing_gain) / bearing_length, 1.0)


@quantity("F_c⊥'", "N/mm²", cites=ACROSS)
def f_perp_adjusted(f_c_perp, c_m_perp_wet, c_t, c_b, kf_perp, phi_perp):
    return f_c_perp * c_m_perp_wet * c_t * c_b * kf_perp * phi_perp


@quantity("F_c*", "N/mm²", cites=ACROSS, says="with the least size factor, since the width of the piece is not looked at here")
def f_along(f_c, time_effect, c_m_c_wet, c_t, c_f_least, c_i, kf_c, phi_c):
    return f_c * time_effect * c_m_c_wet * c_t * c_f_least * c_i * kf_c * phi_c


@quantity("F_θ'", "N/mm²", cites=clause("3.10.3", equation="(3.10-1)"))
def f_angled(f_along, f_perp_adjusted, sin_to_grain, cos_to_grain):
    return f_along * f_perp_adjusted / (f_along * sin_to_grain**2 + f_perp_adjusted * cos_to_grain**2)


@quantity("f_c⊥", "N/mm²")
def contact_stress(down, contact_width, bearing_length):
    return np.maximum(down, 0.0) / (contact_width * bearing_length)


@quantity("f_c⊥ / F_θ'", "1", cites=ACROSS)
def bearing_ratio(contact_stress, f_angled):
    return contact_stress / f_angled


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
        "Support {element}: the piece that bears uses {percent} of its adjusted value across the grain, under {combination}.",
        ("a longer bearing", "a wider piece"),
    ),
    _rule(
        "seat",
        "seat",
        "The timber underneath is not crushed",
        "Support {element}: the timber underneath uses {percent} of its adjusted value across the grain, under {combination}.",
        ("a longer bearing", "a plate of a higher grade"),
    ),
)
