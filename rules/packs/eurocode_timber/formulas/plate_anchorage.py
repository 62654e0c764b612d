"""The teeth of a punched metal plate hold each piece, EN 1995-1-1 8.8.5.1."""

from __future__ import annotations

from rules.library import JOINT, STRENGTH, Rule, clause
from rules.packs.eurocode_timber.quantities.plates import anchorage_ratio, is_invented_plate, passes_force

INVENTED = "The values of this plate type are marked as invented: put in those of its maker's declaration. (plate_types)"

RULE = Rule(
    slug="plate-anchorage",
    title="The plates' teeth hold in every piece",
    why="A plate that is too small or sits too far off tears out of one piece, long before the timber itself is used up.",
    scope=JOINT,
    purpose=STRENGTH,
    demand=anchorage_ratio,
    when=passes_force,
    because="passes no force",
    undecided=is_invented_plate,
    ask=INVENTED,
    cites=clause("8.8.5.1", equation="(8.52)"),
    message="Joint {element}: the plates use {percent} of their hold {at}, under {combination}.",
    remedies=("a larger plate", "a plate nearer to the middle of the joint", "a closer tolerance of placing"),
)
