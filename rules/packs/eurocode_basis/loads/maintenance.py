"""People and tools on a roof: EN 1991-1-1, category H. Never with snow or wind; a person is one person."""

from __future__ import annotations

from rules.library import Derived, Known, Sheet
from rules.packs.eurocode_basis.loads.asking import one, open_doubt, stated, width
from rules.packs.eurocode_basis.loads.surfaces import laid, nine, surface
from rules.subject.actions import Action, LineLoad, PointLoad
from rules.subject.design import Design


def derive_maintenance(design: Design, known: Known, load_width: float) -> Derived:
    """The area load on every slope, by its pitch, whole or where it is worst; or a person at any place of any rafter."""
    pieces, loads, sheets = surface(design, "roof"), list[LineLoad](), list[Sheet]()
    for pitch in sorted({piece.pitch_deg for piece in pieces}):
        area = known.between("roof_imposed_area", pitch)
        if area is None:
            return open_doubt(
                "maintenance", f"No maintenance load is known for a pitch of {pitch:.4g}°.", "What is it? (actions)", "/actions"
            )
        sheet = known.sheet(width(load_width), area, stated("area_load", "q_k", "kN/m²", "maintenance, on plan", area.value))
        loads += laid([piece for piece in pieces if piece.pitch_deg == pitch], sheet["area_line"], "plan")
        sheets.append(sheet)
    if not sheets:
        return Derived()
    parts = known.word("roof_imposed_extent") == "parts"
    even = Action("maintenance-area", "roof-imposed", "H", one_of="maintenance", free=parts, loads=tuple(loads))
    force = nine(known.number("roof_imposed_point"))
    people = tuple(PointLoad(piece.member, None, force, direction="down", anywhere=True) for piece in pieces)
    person = Action("maintenance-person", "roof-imposed", "H", one_of="maintenance", loads=people)
    found = one(person, "a person on the roof", sheets[0], "roof_imposed_point")
    if any(load.line_kn_per_m for load in loads):
        found = one(even, "maintenance of the roof", sheets[0], "roof_imposed_area", "area_line") + found
    return found
