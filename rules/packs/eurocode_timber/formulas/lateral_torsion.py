"""Lateral torsional buckling, alone and with compression, EN 1995-1-1 6.3.3."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.buckling import HANDBOOK
from rules.packs.eurocode_timber.quantities.stresses import is_bent


@quantity("η_6.33", "1", cites=clause("6.3.3(3)", equation="(6.33)", seen="read", source=HANDBOOK))
def tipping_alone(sigma_my, k_crit, f_myd):
    return sigma_my / (k_crit * f_myd)


@quantity("η_6.35", "1", cites=clause("6.3.3(6)", equation="(6.35)", seen="read", source=HANDBOOK))
def tipping_with_compression(sigma_my, k_crit, f_myd, sigma_c, k_cz, f_c0d):
    return (sigma_my / (k_crit * f_myd)) ** 2 + sigma_c / (k_cz * f_c0d)


@quantity(
    "η",
    "1",
    says="(6.35) where the piece is pressed as well, else (6.33); never less than (6.33)",
    cites=clause("6.3.3", equation="(6.33), (6.35)", seen="read", source=HANDBOOK),
)
def lateral_torsion(carries_compression, tipping_with_compression, tipping_alone):
    return np.where(carries_compression, np.maximum(tipping_with_compression, tipping_alone), tipping_alone)


RULE = Rule(
    slug="lateral-torsion",
    title="The compressed edge does not tip sideways between its restraints",
    why="A deep narrow piece rolls over when nothing holds the edge that is pressed: the lower one under wind uplift.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=lateral_torsion,
    when=is_bent,
    because="is never bent",
    cites=clause("6.3.3", equation="(6.33), (6.35)", seen="read", source=HANDBOOK),
    message="{element}: tipping of the compressed edge uses {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("restraint of the compressed edge at closer spacing", "a wider section"),
)
