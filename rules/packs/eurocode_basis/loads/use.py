"""The use of floors and lofts: imposed loads, people, tanks, partitions. EN 1991-1-1."""

from __future__ import annotations

from rules.library import Derivation, Derived, Given, Known
from rules.packs.eurocode_basis.loads.asking import LOADING, one, open_doubt, stated, width
from rules.packs.eurocode_basis.loads.surfaces import Slope, laid, nine, stretch, surface
from rules.subject.actions import Action, LineLoad, Load, PointLoad
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.loading import FloorUse, Partition, Tank

LOFT, AREA, WALLS = "ceiling-imposed-area", "imposed-area", "partitions"


def derive_use(design: Design, known: Known, load_width: float) -> Derived:
    """Every load of use that is stated."""
    assert design.loading is not None
    found = Derived()
    if design.loading.floor_use is not None:
        found += _floor(design, known, load_width, design.loading.floor_use)
    if design.loading.loft is not None:
        found += _loft(design, known, load_width)
    for place, tank in enumerate(design.loading.tanks):
        found += _tank(design, known, tank, place)
    return found + _partitions(design, known, load_width)


def _roving(pieces: tuple[Slope, ...], force: float) -> tuple[Load, ...]:
    return tuple(PointLoad(piece.member, None, nine(force), direction="down", anywhere=True) for piece in pieces)


def _floor(design: Design, known: Known, load_width: float, use: FloorUse) -> Derived:
    """The area load comes and goes span by span; the concentrated load acts without it, at any place.

    The allowance for movable walls is part of the area load, not an action beside it that a combination factor would reduce.
    """
    area = _figure(known, "imposed_area", use.category, use.kn_per_m2)
    point = _figure(known, "imposed_point", use.category, use.point_kn)
    if area is None or point is None:
        message = f"No pack in force knows the imposed load of a floor of category {use.category}."
        return open_doubt("imposed-area", message, "How large is it? (loading.floor_use, kn_per_m2, point_kn)", f"{LOADING}/floor_use")
    pieces = surface(design, "floor")
    low, high = stretch(design, use.begin, use.end)
    walls, more = _allowance(design, known)
    words = "imposed load of the floor's use" + (" and movable walls" if walls else "")
    both = stated("area_load", "q_k", "kN/m²", words, area.value + (walls.value if walls else 0.0))
    sheet = known.sheet(width(load_width), area, *([walls] if walls else []), both, point)
    shown = ("imposed_area", *(["movable_partitions"] if walls else []), "area_line")
    even = Action(
        AREA, "imposed", use.category, one_of="floor-use", free=True, loads=laid(pieces, sheet["area_line"], "plan", low=low, high=high)
    )
    beside = laid(pieces, walls.value * load_width / 1000.0, "plan", low=low, high=high) if walls else ()
    stood = Action("imposed-point", "imposed", use.category, one_of="floor-use", loads=(*beside, *_roving(pieces, point.value)))
    use_words = f"use of the floor, category {use.category}"
    found = one(even, use_words, sheet, *shown) + one(stood, f"{use_words}: its concentrated load", sheet, "imposed_point")
    return found + more


def _allowance(design: Design, known: Known) -> tuple[Given | None, Derived]:
    """The allowance for movable walls by the heaviest of them, and word that the area load holds it."""
    walls = [wall.weight_kn_per_m for wall in design.loading.partitions if wall.kind == "movable"] if design.loading else []
    if not walls:
        return None, Derived()
    allowance = known.row("movable_partitions", max(walls))
    if allowance is None:
        message = f"A movable wall of {max(walls):g} kN/m is too heavy for an allowance spread over the floor."
        ask = "Where does it stand? Give it as a fixed one. (loading.partitions, kind, at_x_mm)"
        return None, open_doubt(WALLS, message, ask, f"{LOADING}/partitions")
    told = f"movable walls of up to {max(walls):g} kN/m are in {AREA} and imposed-point"
    declined = Action(f"no-{WALLS}", "imposed", declines=WALLS, none_because=told)
    return allowance, Derived((Derivation(declined, told),))


def _figure(known: Known, name: str, category: str, own: float | None) -> Given | None:
    value = known.values[name]
    return known.row(name, category) if own is None else Given(name, value.symbol, value.unit, "as the design states", own)


def _loft(design: Design, known: Known, load_width: float) -> Derived:
    """Storage on any part of the ties (6.2.1: a free action), and a person at any place of them, who is not up there in a gale."""
    assert design.loading is not None
    assert design.loading.loft is not None
    loft, pieces = design.loading.loft, surface(design, "ceiling")
    area, person = (own_figure(known, name, own) for name, own in (("loft_area", loft.kn_per_m2), ("loft_person", loft.person_kn)))
    sheet = known.sheet(width(load_width), stated("area_load", "q_k", "kN/m²", "storage in the loft", area.value), area, person)
    stored = Action(LOFT, "imposed", "loft", free=True, loads=laid(pieces, sheet["area_line"], "plan"))
    enters = Action("ceiling-imposed-person", "imposed", "ceiling-person", loads=_roving(pieces, person.value))
    return one(stored, "storage in the loft", sheet, "loft_area", "area_line") + one(enters, "a person in the loft", sheet, "loft_person")


def own_figure(known: Known, name: str, own: float | None) -> Given:
    """A figure of the packs, or the design's own in its place."""
    value = known.values[name]
    number = known.number(name) if own is None else own
    return Given(
        name, value.symbol, value.unit, value.what if own is None else "as the design states", number, number=value if own is None else None
    )


def _tank(design: Design, known: Known, tank: Tank, place: int) -> Derived:
    shares = stated("shares", "n", "1", "components that share it, times places of each", float(tank.over * len(tank.at_x_mm)))
    if tank.litres is not None:
        sheet, shown = known.sheet(stated("litres", "V", "l", f"water in {tank.what}", tank.litres), shares), "water_point"
    else:
        sheet, shown = known.sheet(stated("tank_weight", "G", "kN", tank.what, tank.kn or 0.0), shares), "tank_point"
    pieces = surface(design, "ceiling" if design.component_type in ROOF_TYPES else "floor")
    loads = [_at(pieces, x, sheet[shown]) for x in tank.at_x_mm]
    if any(load is None for load in loads):
        message = f"{tank.what}: a place it stands on lies beyond the pieces that could carry it."
        return open_doubt("tank", message, "Where does it stand? (loading.tanks, at_x_mm)", f"{LOADING}/tanks/{place}")
    name = "tank" if place == 0 else f"tank-{place + 1}"
    return one(Action(name, "imposed", "tank", loads=tuple(load for load in loads if load)), tank.what, sheet, shown)


def _at(pieces: tuple[Slope, ...], x: float, force: float) -> Load | None:
    piece = next((piece for piece in pieces if piece.low_x <= x <= piece.high_x), None)
    return PointLoad(piece.member, nine(piece.along(x)), nine(force), direction="down") if piece else None


def _partitions(design: Design, known: Known, load_width: float) -> Derived:
    """Walls that stand where they are said to; movable ones are part of the floor's use."""
    assert design.loading is not None
    walls, found = design.loading.partitions, Derived()
    movable = any(wall.kind == "movable" for wall in walls)
    if movable and design.loading.floor_use is None:
        ask = "What is the floor used for? (loading.floor_use)"
        found += open_doubt(WALLS, "Movable walls belong to a floor's use, and none is stated.", ask, f"{LOADING}/partitions")
    for place, wall in enumerate(wall for wall in walls if wall.kind == "fixed"):
        found += _fixed(design, known, load_width, wall, WALLS if place == 0 and not movable else f"{WALLS}-{place + 1}")
    return found


def _fixed(design: Design, known: Known, load_width: float, wall: Partition, name: str) -> Derived:
    pieces = surface(design, "floor")
    sheet = known.sheet(width(load_width), stated("wall_weight", "g", "kN/m", wall.what, wall.weight_kn_per_m))
    if wall.at_x_mm is None:
        along = tuple(LineLoad(piece.member, nine(wall.weight_kn_per_m), "down", "plan") for piece in pieces)
        return one(Action(name, "permanent", loads=along), f"{wall.what}, along this joist", sheet, "wall_weight")
    load = _at(pieces, wall.at_x_mm, sheet["wall_point"])
    if load is None:
        ask = "Where does it stand? (loading.partitions, at_x_mm)"
        return open_doubt(name, f"{wall.what} stands beyond the joist.", ask, f"{LOADING}/partitions")
    return one(Action(name, "permanent", loads=(load,)), f"{wall.what}, across the joists", sheet, "wall_point")
