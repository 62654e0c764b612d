"""Compression at a bearing, in the piece that sits and in the plate it sits on, CSA O86 6.5.7."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, quantity
from rules.packs.canada_timber.quantities.forces import presses_down

ACROSS = clause("6.5.7")


@quantity(
    "Q_r", "N", cites=ACROSS, says="φ f_cp K_D K_S K_T A_b, across the grain whatever the angle, no gain for short or wide bearings taken"
)
def bearing_resistance(phi_c, f_cp, k_d, k_s_cp, k_t, contact_width, bearing_length):
    return phi_c * f_cp * k_d * k_s_cp * k_t * contact_width * bearing_length


@quantity("Q_f / Q_r", "1", cites=ACROSS)
def bearing_ratio(down, bearing_resistance):
    return np.maximum(down, 0.0) / bearing_resistance


def _rule(part: str, axis: str, title: str, what: str, remedies: tuple[str, ...]) -> Rule:
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
        message=f"Support {{element}}: {what} uses {{percent}} of its strength across the grain, under {{combination}}; the numbers of CSA O86 are from memory.",
        remedies=remedies,
    )


RULES = (
    _rule("member", "support", "The piece is not crushed where it bears", "the piece that bears", ("a longer bearing", "a wider piece")),
    _rule(
        "seat", "seat", "The timber underneath is not crushed", "the timber underneath", ("a longer bearing", "a plate of a higher grade")
    ),
)
