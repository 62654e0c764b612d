"""Every item of bracing: its fixings, the brace itself, how stiff it is, what takes its force, EN 1995-1-1 9.2.5."""

from __future__ import annotations

from rules.library import BRACE, STRENGTH, Citation, Quantity, Rule, clause
from rules.packs.eurocode_timber.quantities import bracing_lines as lines

WHY = "A brace works only if it and its nails take the push and are stiff enough, and if something at its end takes what it collects."


def _rule(
    part: str,
    title: str,
    demand: Quantity,
    limit: Quantity,
    message: str,
    *,
    when: Quantity = lines.carries_line,
    because: str = "holds nothing that needs keeping straight",
    cites: Citation = lines.LINE,
    remedies: tuple[str, ...] = (),
) -> Rule:
    return Rule(
        slug="bracing",
        part=part,
        title=title,
        why=WHY,
        scope=BRACE,
        purpose=STRENGTH,
        demand=demand,
        limit=limit,
        when=when,
        because=because,
        cites=cites,
        message=message,
        remedies=remedies,
    )


RULES = (
    _rule(
        "fixings",
        "The fixings of a brace to each piece take its push and pull",
        lines.fixing_force,
        lines.fixing_resistance,
        "{element}: its fixings to each piece must take {demand} pushing and pulling, under {combination}.",
        when=lines.line_by_declaration,
        because="holds nothing that needs keeping straight, or gives its fasteners",
        remedies=("more nails at each crossing", "stronger fixings, declared"),
    ),
    _rule(
        "pull",
        "A brace carries what it collects in tension",
        lines.line_force,
        lines.brace_tension_resistance,
        "{element}: it collects {demand}, which pulls it along, under {combination}.",
        remedies=("a larger section", "more anchors along its line, or more diagonals"),
    ),
    _rule(
        "push",
        "A brace carries what it collects in compression, without buckling between the pieces",
        lines.line_force,
        lines.brace_compression_resistance,
        "{element}: it collects {demand}, which pushes it and may buckle it between the pieces, under {combination}.",
        remedies=("a thicker brace", "more anchors along its line, or more diagonals"),
    ),
    _rule(
        "anchorage",
        "Something takes what a line of braces or a diagonal collects",
        lines.line_force,
        lines.anchor_resistance,
        "{element}: {demand} arrives at the place that takes its force in the end, either way, under {combination}.",
        when=lines.leaves_by_declaration,
        because="holds nothing that needs keeping straight, or gives the fasteners of its anchorage",
        remedies=("a stronger anchorage, declared", "more anchors along its line, or more diagonals"),
    ),
    _rule(
        "stiffness",
        "A brace is stiff enough where it is fixed",
        lines.needed_stiffness,
        lines.fixing_stiffness,
        "{element}: its fixings must be at least {demand} stiff where it holds a piece, under {combination}.",
        when=lines.row_by_declaration,
        because="holds no pressed piece at single points, or gives its fasteners",
        cites=clause("9.2.5.2(1)", equation="(9.34)", seen="memory", source=lines.NUMBERS),
        remedies=("more nails at each crossing",),
    ),
    _rule(
        "deflection",
        "The bracing as a whole moves little under the load that keeps the pieces straight",
        lines.system_deflection,
        lines.system_deflection_limit,
        "{element}: under the load of the system it gives way by {demand}, under {combination}.",
        when=lines.system_by_declaration,
        because="is no diagonal, has nothing to keep straight, or gives its fasteners",
        cites=clause("9.2.5.3(4)", seen="memory"),
        remedies=("more diagonals", "more nails at their ends"),
    ),
)
