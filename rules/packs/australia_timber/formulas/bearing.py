"""Compression at a bearing, in the piece that sits and in the plate it sits on, AS 1720.1 3.2.6."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Rule, clause, quantity
from rules.packs.australia_timber.quantities.forces import presses_down

ACROSS = clause("3.2.6")


@quantity(
    "N_d,p",
    "N",
    cites=ACROSS,
    says="φ k_1 k_4 k_6 f'_p A_p, across the grain whatever the angle, no gain for short bearings taken (k_7 = 1)",
)
def bearing_capacity(factors, f_p, contact_width, bearing_length):
    return factors * f_p * contact_width * bearing_length


@quantity("N_p* / N_d,p", "1", cites=ACROSS)
def bearing_ratio(down, bearing_capacity):
    return np.maximum(down, 0.0) / bearing_capacity


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
        message=f"Support {{element}}: {what} uses {{percent}} of its strength across the grain, under {{combination}}; the numbers of AS 1720.1 are from memory.",
        remedies=remedies,
    )


RULES = (
    _rule("member", "support", "The piece is not crushed where it bears", "the piece that bears", ("a longer bearing", "a wider piece")),
    _rule(
        "seat", "seat", "The timber underneath is not crushed", "the timber underneath", ("a longer bearing", "a plate of a higher grade")
    ),
)
