"""The steel of a punched metal plate carries what crosses each joint line, EN 1995-1-1 8.8.5.2."""

from __future__ import annotations

from rules.library import JOINT, STRENGTH, Rule, clause
from rules.packs.eurocode_timber.formulas.plate_anchorage import INVENTED
from rules.packs.eurocode_timber.quantities.plate_steel import is_crossed, plate_ratio
from rules.packs.eurocode_timber.quantities.plates import is_invented_plate

RULE = Rule(
    slug="plate-steel",
    axis="joint-line",
    title="The plates' steel carries what crosses each joint line",
    why="Between two pieces there is nothing but the plate: where it is narrow it tears or buckles.",
    scope=JOINT,
    purpose=STRENGTH,
    demand=plate_ratio,
    when=is_crossed,
    because="no force crosses",
    undecided=is_invented_plate,
    ask=INVENTED,
    cites=clause("8.8.5.2", equation="(8.56)"),
    message="Joint {element}: the plates' steel uses {percent} of its strength {at}, under {combination}.",
    remedies=("a wider plate", "a plate turned so that its main direction follows the force"),
)
