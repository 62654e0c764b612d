"""Accepted values of the loading, and of the roof that catches snow and wind, to their dataclasses."""

from __future__ import annotations

from rules.subject.loading import Erection, FloorUse, Layer, Loading, Loft, Partition, Tank
from rules.subject.site import Neighbour, Parapet, Roof
from service.schemas.picking import Values, without


def build_roof(values: Values) -> Roof:
    """The roof, with what adjoins it."""
    neighbours = tuple(Neighbour(**each) for each in values.get("neighbours", ()))
    return Roof(
        **without(values, "neighbours", "parapets"),
        neighbours=neighbours,
        parapets=tuple(Parapet(**each) for each in values.get("parapets", ())),
    )


def build_loading(values: Values) -> Loading:
    """What the component carries."""
    use, loft = values.get("floor_use"), values.get("loft")
    return Loading(
        layers=tuple(Layer(**_renamed(layer)) for layer in values.get("layers", ())),
        floor_use=None if use is None else FloorUse(**_renamed(use)),
        loft=Loft() if loft == "storage" else None if loft is None else Loft(**loft),
        tanks=tuple(Tank(**{**tank, "at_x_mm": tuple(tank["at_x_mm"])}) for tank in values.get("tanks", ())),
        partitions=tuple(Partition(**wall) for wall in values.get("partitions", ())),
        erection=Erection() if (going_up := values.get("erection")) == "usual" else None if going_up is None else Erection(**going_up),
    )


def _renamed(values: Values) -> Values:
    """From and to by the names they go by inside."""
    renamed = {"from": "begin", "to": "end"}
    return {renamed.get(name, name): value for name, value in values.items()}
