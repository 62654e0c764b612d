"""What a component carries, in the words of who builds it: layers, use of the floor, loft, tanks, partitions."""

from __future__ import annotations

from dataclasses import dataclass

SURFACES = ("roof", "ceiling", "floor", "collar")
MEASURED = ("slope", "plan")
PARTITIONS = ("movable", "fixed")


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer on a surface, kN/m² measured on the slope or on plan.

    min_kn_per_m2: what is surely there, where the layer holds against uplift. category, duration: of a layer that is not permanent.
    begin, end: ids of the nodes between which it lies, by their place on plan; None: to the ends of the surface.
    """

    what: str
    on: str
    kn_per_m2: float
    measured: str
    duration: str | None = None
    category: str | None = None
    min_kn_per_m2: float | None = None
    begin: str | None = None
    end: str | None = None


@dataclass(frozen=True, slots=True)
class FloorUse:
    """What a floor is used for, by category; kn_per_m2, point_kn: in place of the code's figures; begin, end: as of a layer."""

    category: str
    kn_per_m2: float | None = None
    point_kn: float | None = None
    begin: str | None = None
    end: str | None = None


@dataclass(frozen=True, slots=True)
class Loft:
    """The space above a ceiling, used for storage and entered by a person; figures in place of the packs'."""

    kn_per_m2: float | None = None
    person_kn: float | None = None


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank of water: litres (or kn with its platform), shared by `over` components, at these places of each on plan, mm."""

    what: str
    at_x_mm: tuple[float, ...]
    over: int
    litres: float | None = None
    kn: float | None = None


@dataclass(frozen=True, slots=True)
class Partition:
    """A wall standing on the floor. kind: "movable" (an allowance spread over the floor) or "fixed" (where it stands).

    at_x_mm: place of a fixed wall that runs across the joists; None: it runs along this one.
    """

    what: str
    kind: str
    weight_kn_per_m: float
    at_x_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Erection:
    """People and stacked material while the building goes up; kn_per_m2: in place of the packs' figure."""

    kn_per_m2: float | None = None


@dataclass(frozen=True, slots=True)
class Loading:
    """All of it. A part that is None or empty is not stated: what the component type then misses is asked for."""

    layers: tuple[Layer, ...] = ()
    floor_use: FloorUse | None = None
    loft: Loft | None = None
    tanks: tuple[Tank, ...] = ()
    partitions: tuple[Partition, ...] = ()
    erection: Erection | None = None
