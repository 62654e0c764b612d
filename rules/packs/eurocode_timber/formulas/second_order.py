"""The frame finds its balance where second order was chosen, EN 1995-1-1 5.4.4."""

from __future__ import annotations

from rules.library import DESIGN, STRENGTH, Rule, clause
from rules.packs.eurocode_timber.quantities.second_order import balance_lost, is_second_order
from rules.packs.eurocode_timber.quantities.simplified import none_at_all

RULE = Rule(
    slug="second-order",
    title="The frame finds its balance as it is displaced",
    why="A frame that leans adds to its own load; one too soft in its plane never comes to rest.",
    scope=DESIGN,
    purpose=STRENGTH,
    demand=balance_lost,
    limit=none_at_all,
    when=is_second_order,
    because="is analysed in first order, with buckling by factors",
    cites=clause("5.4.4"),
    message="Balance of the displaced frame under {combination}: {demand}, where 0 is found and 1 is not found: it buckles in its plane.",
    remedies=("a piece that makes triangles of the panels", "deeper sections in the plane", "stiffer supports"),
)
