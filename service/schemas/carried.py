"""Shape of the loading: what a component carries, from which the packs in force derive load cases."""

from __future__ import annotations

from rules.subject.actions import DURATIONS
from rules.subject.loading import MEASURED, PARTITIONS, SURFACES
from service.schemas.fields import DocumentSchema, Items, Name, Number, Part, Text, Whole, Word
from service.schemas.forms import ByType
from service.schemas.frame import FARTHEST_MM

HEAVIEST = 1000.0


def _area(description: str, example: float, *, required: bool = False) -> Number:
    return Number(description, example, "kN/m²", least=0, most=HEAVIEST, required=required)


def _place(description: str, example: float) -> Number:
    return Number(description, example, "mm", least=-FARTHEST_MM, most=FARTHEST_MM)


def _stretch() -> dict[str, Name]:
    """From and to, two names Python keeps for itself."""
    begins = "Id of the node it begins at, by its place on plan; the end of the surface when absent."
    return {"from": Name(begins, "A"), "to": Name("Id of the node it ends at.", "C")}


class LoadLayerSchema(DocumentSchema):
    """One layer: a covering, a ceiling, a deck; permanent unless it has a category of use."""

    what = Text("What it is.", "concrete tiles, battens, underlay", longest=120, required=True)
    on = Word("The surface it lies on or hangs from.", SURFACES, required=True)
    kn_per_m2 = _area("What it weighs.", 0.785, required=True)
    measured = Word("Per square metre of what: of the slope, or of plan. There is no default.", MEASURED, required=True)
    min_kn_per_m2 = _area("What of it is surely there, where it holds against uplift; all of it when absent.", 0.6)
    category = Name("Category of use, of a layer that is not permanent.", "E")
    duration = Word("Load duration class; null: by nature.", DURATIONS)

    class Meta:
        include = _stretch()


class FloorUseSchema(DocumentSchema):
    """What the floor is used for."""

    category = Name("Category of use as the code of practice names it.", "A1", required=True)
    kn_per_m2 = _area("Imposed load, in place of the code's figure.", 1.5)
    point_kn = Number("Concentrated load, in place of the code's figure.", 2.0, "kN", least=0, most=HEAVIEST)

    class Meta:
        include = _stretch()


class LoftSchema(DocumentSchema):
    """The loft, with figures in place of those of the packs."""

    kn_per_m2 = _area("What is stored there.", 0.25)
    person_kn = Number("A person who enters it.", 0.9, "kN", least=0, most=HEAVIEST)


class TankSchema(DocumentSchema):
    """A tank of water. Exactly one of litres and kn."""

    what = Text("What it is.", "cold water tank", longest=120, required=True)
    litres = Number("What it holds; its own weight and its platform's are for you to add by kn.", 260, "l", above=0, most=1e5)
    kn = Number("What it weighs, full, with its platform.", 2.8, "kN", above=0, most=HEAVIEST)
    over = Whole("How many components share it.", 2, least=1, most=100, required=True)
    at_x_mm = Items(_place("A place.", 2900), "Where each of them carries it, on plan, in the frame's x.", least=1, most=20, required=True)


class PartitionSchema(DocumentSchema):
    """A wall that stands on the floor."""

    what = Text("What it is.", "stud partition", longest=120, required=True)
    kind = Word("Movable: an allowance spread over the floor; fixed: it stands where it is said to.", PARTITIONS, required=True)
    weight_kn_per_m = Number("What it weighs, per metre of its length.", 0.9, "kN/m", above=0, most=HEAVIEST, required=True)
    at_x_mm = _place("Fixed, across the joists: where, in the frame's x. Absent: it runs along this joist.", 2000)


class ErectionSchema(DocumentSchema):
    """What stands on it while the building goes up, with a figure in place of the packs'."""

    kn_per_m2 = _area("People, tools and stacked material.", 1.0)


class LoadingSchema(DocumentSchema):
    """What it carries. Snow, wind and maintenance load follow from site and roof; a load case under actions replaces a derived one."""

    layers = Items(Part(LoadLayerSchema), "Coverings, ceilings, decks.", most=50)
    floor_use = Part(FloorUseSchema, "What the floor is used for.")
    loft = ByType("The loft; “storage”: with the packs' figures.", text=Word("Used for storage.", ("storage",)), part=Part(LoftSchema))
    tanks = Items(Part(TankSchema), "Tanks of water.", most=20)
    partitions = Items(Part(PartitionSchema), "Walls that stand on the floor.", most=50)
    erection = ByType(
        "Load of building on the finished frame, asked for by stating it; “usual”: with the packs' figure.",
        text=Word("Usual.", ("usual",)),
        part=Part(ErectionSchema),
    )
