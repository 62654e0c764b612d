"""What the braces that hold a piece must take, and how stiff they must be, EN 1995-1-1 9.2.5.2: told, piece by piece."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Kind, Quantity, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities.braces import BRACE, NUMBERS, brace_force

STIFF = clause("9.2.5.2(1)", equation="(9.34)", seen="memory", source=NUMBERS)


@quantity("C", "N/mm", cites=STIFF)
def brace_stiffness(k_s, braced_compression, brace_spacing):
    return k_s * braced_compression / brace_spacing


@quantity("n F_d", "N", says="what a line of braces collects from all pieces alike until a diagonal or a wall takes it", cites=BRACE)
def collected_force(brace_force, count_alike):
    return brace_force * count_alike


@quantity("relies on braces", "", says="timber that is held at a stated spacing, and is pressed or bent")
def relies_on_braces(relies_sideways, relies_edge, is_timber, mean_compression, axial_floor, greatest_moment, moment_floor):
    pressed = (relies_sideways | relies_edge) & (mean_compression > axial_floor)
    return is_timber & (pressed | (relies_edge & (greatest_moment > moment_floor)))


@quantity("in a line of braces", "", says="the same, with the number of components alike stated")
def in_a_line_of_braces(relies_on_braces, count_stated):
    return relies_on_braces & count_stated


@quantity("0", "", says="told as it is")
def as_it_is():
    return 0.0


def _rule(part: str, title: str, demand: Quantity, when: Quantity, message: str) -> Rule:
    return Rule(
        slug="brace-force",
        part=part,
        title=title,
        why="A brace works only if it and its nails take the push and are stiff enough, and if something at its end takes what it collects.",
        scope=MEMBER,
        purpose=STRENGTH,
        demand=demand,
        limit=as_it_is,
        when=when,
        because="is not pressed, or does not rely on being held",
        outcome=Kind.INFORMATIONAL,
        cites=STIFF if part == "stiffness" else BRACE,
        message=message,
    )


RULES = (
    _rule(
        "force",
        "What each brace must take",
        brace_force,
        relies_on_braces,
        "{element}: every brace that holds it, and its nails, must take {demand} pushing and pulling, under {combination}.",
    ),
    _rule(
        "stiffness",
        "How stiff each brace must be",
        brace_stiffness,
        relies_on_braces,
        "{element}: every brace that holds it must be at least {demand} stiff where it is fixed, under {combination}.",
    ),
    _rule(
        "collected",
        "What a line of braces collects",
        collected_force,
        in_a_line_of_braces,
        "{element}: a line of braces over all pieces alike collects up to {demand}; a diagonal or a wall must take it, under {combination}.",
    ),
)
