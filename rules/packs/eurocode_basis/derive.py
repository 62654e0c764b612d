"""From what a component carries and where it stands to its characteristic load cases: EN 1991-1-1, EN 1991-1-3, EN 1991-1-4.

Nothing here sees a response. Numbers and national choices are values, formulas are quantities of this pack, and what could not be
worked out is a doubt with the question to ask.
"""

from __future__ import annotations

from dataclasses import replace

from rules.library import Derived, Known
from rules.packs.eurocode_basis.loads.asking import open_doubt
from rules.packs.eurocode_basis.loads.erection import derive_erection
from rules.packs.eurocode_basis.loads.layers import derive_layers
from rules.packs.eurocode_basis.loads.maintenance import derive_maintenance
from rules.packs.eurocode_basis.loads.snow import derive_snow
from rules.packs.eurocode_basis.loads.use import derive_use
from rules.packs.eurocode_basis.loads.wind import derive_wind
from rules.subject.design import ROOF_TYPES, Design


def derive(design: Design, known: Known) -> Derived:
    """Every load case that can be worked out; of a roof also those its site brings."""
    load_width = design.load_width_mm or design.spacing_mm
    if load_width is None:
        ask = "How far apart do the components stand? (spacing_mm, or load_width_mm beside an opening)"
        return open_doubt("load-width", "Nothing says how wide a strip loads one component.", ask, "/spacing_mm")
    found = (
        _narrow(design, load_width)
        + derive_layers(design, known, load_width)
        + derive_use(design, known, load_width)
        + derive_erection(design, known, load_width)
    )
    if design.component_type in ROOF_TYPES:
        for make in (derive_maintenance, derive_snow, derive_wind):
            found += make(design, known, load_width)
    return _kept_apart(design, found)


def _narrow(design: Design, load_width: float) -> Derived:
    """A component carries at least half the way to its neighbour, on one side of it: half the spacing."""
    if design.spacing_mm is None or load_width >= design.spacing_mm / 2.0:
        return Derived()
    message = (
        f"A load width of {load_width:g} mm is less than half the spacing of {design.spacing_mm:g} mm: every component carries as much."
    )
    return open_doubt("load-width", message, "How wide a strip loads one component? (load_width_mm)", "/load_width_mm")


PERSON = "ceiling-imposed-person"


def _kept_apart(design: Design, found: Derived) -> Derived:
    """A person in the loft is one person, not on the roof as well, and not up there in a gale.

    EN 1991-1-1, 6.2.1(3), from memory: a concentrated load acts without other variable actions. Storage and snow are kept with it all
    the same, which is the safe side.
    """
    given = [*design.actions, *(each.action for each in found.derivations)]
    never = tuple(dict.fromkeys(each.id for each in given if each.nature == "wind" or each.id == "maintenance-person"))
    apart = (
        replace(each, action=replace(each.action, never_with=never)) if each.action.id == PERSON else each for each in found.derivations
    )
    return replace(found, derivations=tuple(apart))
