"""Shapes of the load cases. Magnitudes are at least 0; a direction says where they act."""

from __future__ import annotations

from rules.subject.actions import ALONG, DIRECTIONS, DURATIONS, FACES, NATURES
from service.limits import LIMITS
from service.schemas.fields import DocumentSchema, Flag, Items, Name, Number, Text, Word
from service.schemas.forms import ByMember, Forms
from service.schemas.frame import place

LARGEST_LOAD = 1e5


def _line(description: str, *, required: bool = False) -> Number:
    return Number(description, 0.45, "kN/m", least=0, most=LARGEST_LOAD, required=required)


def _force(description: str, example: float) -> Number:
    return Number(description, example, "kN", least=-LARGEST_LOAD, most=LARGEST_LOAD)


def _moment(description: str) -> Number:
    return Number(description, 0.2, "kNm", least=-LARGEST_LOAD, most=LARGEST_LOAD)


_FACE = "The loaded face; needed for pressure and suction. Left or right within 5° of vertical, else upper or lower."


class LineLoadSchema(DocumentSchema):
    """A load along a piece, straight between its two values."""

    member = Name("The piece it acts on.", "TC1", required=True)
    line_kn_per_m = _line("Load per metre, at from_mm.", required=True)
    line_end_kn_per_m = _line("Load per metre at to_mm, when it differs.")
    along = Word("Per metre of what: of the piece, of plan (horizontal), or of height. There is no default.", ALONG, required=True)
    direction = Word("Pressure pushes the piece away from its loaded face, suction pulls it towards it.", DIRECTIONS, required=True)
    face = Word(_FACE, FACES)
    from_mm = place("Where it begins, along the piece from its first node; 0 when absent.", 0)
    to_mm = place("Where it ends; the end of the piece when absent.", 2400)


class PointLoadSchema(DocumentSchema):
    """A force or a moment at one place on a piece: exactly one of point_kn and moment_knm."""

    member = Name("The piece it acts on.", "BC", required=True)
    at_mm = place("Where it acts, along the piece from its first node; left out for a force that stands anywhere.", 2100)
    point_kn = Number("The force.", 0.9, "kN", least=0, most=LARGEST_LOAD)
    moment_knm = _moment("The moment, counter-clockwise positive.")
    direction = Word("Where the force acts; a moment has none.", DIRECTIONS)
    face = Word(_FACE, FACES)
    anywhere = Flag("The force stands at every place of every piece that names it, one place at a time: a person.")


class NodeLoadSchema(DocumentSchema):
    """Forces and a moment on a node, in the axes of the frame, signed."""

    node = Name("The node they act on.", "C", required=True)
    x_kn = _force("Force to the right.", 0)
    y_kn = _force("Force upwards.", -0.5)
    moment_knm = _moment("Moment, counter-clockwise.")


_LOADS: Forms = {
    "node": (("node",), NodeLoadSchema),
    "line": (("line_kn_per_m",), LineLoadSchema),
    "point": (("point_kn", "moment_knm"), PointLoadSchema),
}


class ActionSchema(DocumentSchema):
    """One load case; or, with declines and none_because, the statement that an expected one is not there."""

    id = Name("What the findings call it.", "snow", required=True)
    nature = Word("What kind of action it is.", NATURES, required=True)
    category = Name("Category as the code of practice names it.", "A")
    duration = Word("Load duration class; null: by nature, under the code in force.", DURATIONS)
    one_of = Name("Name of a group of which at most one acts at a time.", "wind")
    never_with = Items(Name("Id of an action.", "snow"), "Actions it never acts together with; holds both ways.", most=LIMITS.actions)
    needs = Items(Name("Id of an action.", "tiles"), "Actions that are there whenever it is.", most=LIMITS.actions)
    free = Flag("It acts on any spans and parts, whichever is worst at the place and for the effect that is judged.")
    loads = Items(  # type: ignore[assignment]  # marshmallow takes fields off the class, so its own loads() stays what it was
        ByMember("One load.", _LOADS), "What acts.", most=LIMITS.loads_per_action,
    )  # fmt: skip
    declines = Name("The expected action this stands in for.", "wind")
    none_because = Text("Why there is none.", "the roof lies inside a building")
    least_share = Number(
        "Of a permanent one: the share that is surely there, where it holds against uplift; 1 when absent.", 0.8, "1", least=0, most=1
    )
