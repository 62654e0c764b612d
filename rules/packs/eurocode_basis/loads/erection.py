"""People and stacked material while the building goes up, EN 1991-1-6: beside the roof's maintenance, or the floor's use, not with it.

Of the finished frame: what braces a truss while it is put up is not looked at.
"""

from __future__ import annotations

from rules.library import Derived, Known, Sheet
from rules.packs.eurocode_basis.loads.asking import LOADING, one, open_doubt, stated, width
from rules.packs.eurocode_basis.loads.surfaces import laid, surface
from rules.packs.eurocode_basis.loads.use import own_figure
from rules.subject.actions import Action
from rules.subject.design import ROOF_TYPES, Design


def derive_erection(design: Design, known: Known, load_width: float) -> Derived:
    """The load of building on every slope or on the floor, for a short time; nothing where none is asked for."""
    assert design.loading is not None
    if design.loading.erection is None:
        return Derived()
    area = own_figure(known, "erection_area", design.loading.erection.kn_per_m2)
    sheet = known.sheet(width(load_width), area, stated("area_load", "q_k", "kN/m²", "people and material while building", area.value))
    return _on_roof(design, known, sheet) if design.component_type in ROOF_TYPES else _on_floor(design, sheet)


def _on_roof(design: Design, known: Known, sheet: Sheet) -> Derived:
    loads = laid(surface(design, "roof"), sheet["area_line"], "plan")
    parts = known.word("roof_imposed_extent") == "parts"
    action = Action("erection", "roof-imposed", "H", "short", one_of="maintenance", free=parts, loads=loads)
    return one(action, "people and stacked material on the roof", sheet, "erection_area", "area_line")


def _on_floor(design: Design, sheet: Sheet) -> Derived:
    use = design.loading.floor_use if design.loading else None
    if use is None:
        message = "What stands on a floor while building stands in place of its use, and no use is stated."
        return open_doubt("erection", message, "What is the floor used for? (loading.floor_use)", f"{LOADING}/floor_use")
    loads = laid(surface(design, "floor"), sheet["area_line"], "plan")
    action = Action("erection", "imposed", use.category, "short", one_of="floor-use", free=True, loads=loads)
    return one(action, "people and stacked material on the floor", sheet, "erection_area", "area_line")
