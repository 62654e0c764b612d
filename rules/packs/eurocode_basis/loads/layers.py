"""Coverings, ceilings and decks: layers that lie alike make one load case."""

from __future__ import annotations

from collections.abc import Sequence

from rules.library import Derived, Known
from rules.packs.eurocode_basis.loads.asking import LOADING, one, open_doubt, stated, width
from rules.packs.eurocode_basis.loads.surfaces import laid, nine, stretch, surface
from rules.subject.actions import Action
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.loading import Layer
from rules.subject.settled import Assumption

Key = tuple[str, str, str | None, str | None, str | None, str | None]


def derive_layers(design: Design, known: Known, load_width: float) -> Derived:
    """A load case for each way in which layers lie; the first of a surface takes its plain name."""
    groups: dict[Key, list[Layer]] = {}
    for layer in design.loading.layers if design.loading else ():
        groups.setdefault((layer.on, layer.measured, layer.category, layer.duration, layer.begin, layer.end), []).append(layer)
    found, names = Derived(), set[str]()
    for layers in groups.values():
        name = _name(layers[0], names)
        names.add(name)
        found += _case(design, known, load_width, name, layers)
    return found


def _name(layer: Layer, taken: set[str]) -> str:
    plain = f"{layer.on}-{'permanent' if layer.category is None else 'imposed'}"
    return next(name for name in (plain, *(f"{plain}-{i}" for i in range(2, len(taken) + 3))) if name not in taken)


def _case(design: Design, known: Known, load_width: float, name: str, layers: Sequence[Layer]) -> Derived:
    first, words = layers[0], ", ".join(layer.what for layer in layers)
    pieces = surface(design, first.on)
    low, high = stretch(design, first.begin, first.end)
    weight = sum(layer.kn_per_m2 for layer in layers)
    sheet = known.sheet(width(load_width), stated("area_load", "g", "kN/m²", f"{words}, measured on {first.measured}", weight))
    along = "member" if first.measured == "slope" else "plan"
    loads = laid(pieces, sheet["area_line"], along, low=low, high=high)
    if not loads:
        message = f"Nothing of this frame is a {first.on} there, so {words} lies on nothing."
        return open_doubt(name, message, "On which pieces does it lie? (loading.layers, on, from, to)", f"{LOADING}/layers")
    permanent = first.category is None
    least = sum(layer.kn_per_m2 if layer.min_kn_per_m2 is None else layer.min_kn_per_m2 for layer in layers)
    action = Action(
        name, "permanent" if permanent else "imposed", first.category, first.duration, loads=loads,
        least_share=nine(least / weight) if permanent and weight else 1.0, free=first.on == "floor" and not permanent,
    )  # fmt: skip
    return one(action, words, sheet, "area_line") + _counted_whole(design, layers)


def _counted_whole(design: Design, layers: Sequence[Layer]) -> Derived:
    """Word that permanent layers of a roof hold it down with all their weight, where nobody says what is surely there."""
    whole = [layer.what for layer in layers if layer.category is None and layer.min_kn_per_m2 is None]
    if not whole or design.component_type not in ROOF_TYPES:
        return Derived()
    because = "Nothing says how light these may be (min_kn_per_m2): all of their weight is counted on against uplift."
    return Derived(assumptions=(Assumption(f"{LOADING}/layers", whole, because, "designer"),))
