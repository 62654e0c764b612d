"""What a code pack may tell besides what its rules judge: quantities that schedules and guards look for by these names.

A pack that offers one gives a quantity of that name, in that unit, over that kind of element; one that does not leaves the schedule without
the number and the guard without its word, and nothing else changes.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Offered:
    """name, unit: of the quantity; over: the kind of element it has a place for; what: for whoever writes a pack."""

    name: str
    unit: str
    over: str
    what: str


FIXING_FORCE = Offered("fixing_force", "N", "brace", "what the fixings of a brace to one piece take, for the bracing schedule")
LINE_FORCE = Offered(
    "line_force", "N", "brace", "what each anchorage of a line of braces, or each diagonal, takes, for the bracing schedule"
)
BRACED_COMPRESSION = Offered(
    "braced_compression", "N", "member", "the push that braces keep straight, of which a line of them collects shares"
)
BRACE_FORCE = Offered("brace_force", "N", "member", "what one brace of the piece takes")
BRACES_NEEDED = Offered("braces_needed", "1", "member", "fewest braces, evenly spaced, with which a piece that buckles carries its push")
UNBRACED_RESISTANCE = Offered(
    "unbraced_resistance", "N", "member", "push that the piece carries with nothing holding it sideways between its ends"
)
UNBRACED_MOMENT = Offered(
    "unbraced_moment", "N·mm", "member", "moment that the piece carries with nothing holding its edges between its ends"
)
BENDING_USE = Offered("bending_use", "1", "member", "share of the bending strength that is used, where splices ask for it")
NEEDED_BEARING = Offered(
    "needed_bearing", "mm", "support", "shortest bearing with which the piece is not crushed, for the schedule of bearings"
)
NEEDED_ON_SEAT = Offered("needed_on_seat", "mm", "seat", "shortest bearing with which the timber underneath is not crushed")

OFFERED = (
    FIXING_FORCE, LINE_FORCE, BRACED_COMPRESSION, BRACE_FORCE, BRACES_NEEDED, UNBRACED_RESISTANCE, UNBRACED_MOMENT, BENDING_USE,
    NEEDED_BEARING, NEEDED_ON_SEAT,
)  # fmt: skip
"""All of them."""
