"""Tension and bending together stay within what the piece can carry, AS 1720.1 3.5.2."""

from __future__ import annotations

import numpy as np

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.australia_timber.quantities.forces import is_bent_and_pulled
from rules.packs.australia_timber.quantities.restated import restated

HERE = restated("3.5.2")


@quantity("η", "1", cites=HERE, says="k_12 M*/M_d + N_t*/N_d,t; never less than M*/M_d − Z N_t*/(A M_d)")
def bending_with_tension(k_12_beam, moment, moment_capacity, pull, tension_capacity, w_y, area):
    pulled = k_12_beam * moment / moment_capacity + pull / tension_capacity
    return np.maximum(pulled, (moment - w_y * pull / area) / moment_capacity)


RULE = Rule(
    slug="bending-with-tension",
    title="Tension and bending together stay within what the piece can carry",
    why="A ceiling tie is pulled by the rafters and bent by the ceiling; each alone may be small.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=bending_with_tension,
    when=is_bent_and_pulled,
    because="is never bent and pulled at once",
    cites=HERE,
    message="{element}: pull and bending together use {percent} of what the piece can carry, {at}, under {combination}.",
    remedies=("a deeper section", "a higher grade"),
)
