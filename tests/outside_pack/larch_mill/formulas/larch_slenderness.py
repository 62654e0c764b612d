"""How slender a strut may be."""

import numpy as np

from birdsmouth import MEMBER, PRACTICE, Rule, clause, quantity

STRUTS = clause("struts", seen="practice")


@quantity("λ_larch", "1", cites=STRUTS)
def larch_slenderness(length_z, b):
    return length_z * np.sqrt(12.0) / b


@quantity("pushed", "", says="carries a compression force")
def larch_is_pushed(n, axial_floor, is_timber):
    return (n < -axial_floor) & is_timber


@quantity("λ_max", "1", says="the mill's limit")
def larch_limit(larch_slenderness_max):
    return larch_slenderness_max


RULE = Rule(
    slug="larch-slenderness",
    title="No strut is too slender for larch",
    why="Larch twists as it dries.",
    scope=MEMBER,
    purpose=PRACTICE,
    severity="warning",
    demand=larch_slenderness,
    limit=larch_limit,
    when=larch_is_pushed,
    because="is never pushed",
    cites=STRUTS,
    message="{element}: a slenderness of {demand} where {limit} is the limit, under {combination}.",
)
