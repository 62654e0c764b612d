"""What has to hold within the loading, and between it and the frame."""

from __future__ import annotations

from collections.abc import Iterator

from rules.subject.design import Design
from rules.subject.faults import Fault, pointer
from rules.subject.loading import FloorUse, Layer, Tank
from rules.subject.names import Register


def loading_faults(design: Design, nodes: Register) -> Iterator[Fault]:
    """Every fault of the loading, in the order of the document."""
    loading = design.loading
    if loading is None:
        return
    for place, layer in enumerate(loading.layers):
        yield from _ends(layer, nodes, "layers", place)
        yield from _least(layer, place)
    if loading.floor_use is not None:
        yield from _ends(loading.floor_use, nodes, "floor_use")
    for place, tank in enumerate(loading.tanks):
        yield from _weight(tank, place)


def _ends(part: Layer | FloorUse, nodes: Register, *steps: str | int) -> Iterator[Fault]:
    for name, node in (("from", part.begin), ("to", part.end)):
        if node is not None:
            yield from nodes.faults(node, "loading", *steps, name)


def _least(layer: Layer, place: int) -> Iterator[Fault]:
    least = layer.min_kn_per_m2
    if least is not None and least > layer.kn_per_m2:
        detail = f"Of {layer.what} more is surely there ({least:g} kN/m²) than it weighs ({layer.kn_per_m2:g} kN/m²)."
        where = pointer("loading", "layers", place, "min_kn_per_m2")
        yield Fault(where, "contradiction", detail, least, f"at most {layer.kn_per_m2:g} kN/m²", "Check both figures.")
    if least is not None and layer.category is not None:
        detail = f"{layer.what} has a category of use, so it is not permanent and nothing of it is surely there."
        where = pointer("loading", "layers", place, "min_kn_per_m2")
        yield Fault(where, "contradiction", detail, least, None, "Leave out one of the two: category, or min_kn_per_m2.")


def _weight(tank: Tank, place: int) -> Iterator[Fault]:
    if (tank.litres is None) == (tank.kn is None):
        detail = f"What {tank.what} weighs is given by litres or by kn."
        yield Fault(pointer("loading", "tanks", place), "unclear-form", detail, None, ["litres", "kn"], "State exactly one of them.")
