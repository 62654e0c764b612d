"""What every joint of a plated truss must take while it is handled, EN 1995-1-1 9.2.1(7): told; joints with plates are judged for it."""

from __future__ import annotations

from rules.library import DESIGN, STRENGTH, Kind, Rule, clause, quantity
from rules.packs.eurocode_timber.formulas.brace_force import as_it_is

HANDLING = clause("9.2.1(7)-(8)")


@quantity("F_r,d", "N", says="1.0 + 0.1 L in kN, L the overall length of the truss in m", cites=HANDLING)
def handling_resistance(handling_force, handling_force_per_m, truss_length):
    return 1000.0 * (handling_force + handling_force_per_m * truss_length)


@quantity("truss", "", says="a truss with punched metal plates")
def is_handled_truss(is_truss):
    return is_truss


RULE = Rule(
    slug="handling-force",
    title="What every joint must take in handling",
    why="Trusses are lifted, turned and leant on before they carry anything; joints sized by the roof alone come apart on the lorry.",
    scope=DESIGN,
    purpose=STRENGTH,
    under=("characteristic",),
    demand=handling_resistance,
    limit=as_it_is,
    when=is_handled_truss,
    because="is no truss with punched metal plates",
    outcome=Kind.INFORMATIONAL,
    cites=HANDLING,
    message="Every joint must take {demand} in any direction in the plane, for a short time in service class 2; joints whose plates are given are judged for it.",
)
