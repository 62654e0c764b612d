"""How far the bearings that may move sideways do move."""

from __future__ import annotations

import numpy as np

from rules.library import DESIGN, SERVICEABILITY, Citation, Kind, Rule, quantity
from rules.packs.eurocode_timber.formulas.wall_thrust import no_thrust


@quantity("u_x", "mm", says="greatest sideways movement of a bearing that is free to move")
def roller_movement(roller_x):
    return np.abs(roller_x)


@quantity("rolls", "", says="at least one bearing is free to move sideways")
def rolls(has_roller):
    return has_roller


RULE = Rule(
    slug="roller-movement",
    title="How far a bearing slides outwards",
    why="A scissor or raised-tie truss spreads as it is loaded; the wall plate must let it, or it pushes.",
    scope=DESIGN,
    purpose=SERVICEABILITY,
    under=("characteristic",),
    demand=roller_movement,
    limit=no_thrust,
    when=rolls,
    because="has no bearing that slides",
    outcome=Kind.INFORMATIONAL,
    cites=Citation("supports as they really are", seen="practice", document="common practice, no published source", edition="2026"),
    message="The bearing that is free to slide moves sideways by {demand}, under {combination}.",
)
