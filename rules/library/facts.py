"""What a declared rule may speak of: one catalogue of typed, unit-suffixed names. The judge fills in a row of them per element."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rules.library.rule import Scope
from rules.subject.design import CEILINGS, COMPONENT_TYPES
from rules.subject.frame import ROLES, SEAT_KINDS
from rules.subject.holding import BRACING_KINDS, HANGER_FIXINGS
from rules.subject.material import KINDS
from rules.subject.site import BRACED_BY, PROTECTIONS, TERMITES, USES

FactKind = Literal["double", "string", "bool"]


@dataclass(frozen=True, slots=True)
class Fact:
    """One name a declared rule can use. ask: the question that fills it in; empty: it is always stated (never null).
    words: all a text can be, where that is a closed list."""

    name: str
    kind: FactKind
    unit: str
    what: str
    ask: str = ""
    words: tuple[str, ...] = ()

    @property
    def nullable(self) -> bool:
        """Whether it may be not stated, and so has a `<name>_stated` beside it."""
        return bool(self.ask)


def _text(name: str, what: str, ask: str = "", words: tuple[str, ...] = ()) -> Fact:
    return Fact(name, "string", "", what, ask, words)


def _number(name: str, unit: str, what: str, ask: str = "") -> Fact:
    return Fact(name, "double", unit, what, ask)


def _yes(name: str, what: str) -> Fact:
    return Fact(name, "bool", "", what)


DESIGN_FACTS = (
    _text(
        "design.component_type", "kind of component: trussed-rafter, open-web-joist, solid-joist, cut-roof, other", words=COMPONENT_TYPES
    ),
    _yes("design.is_roof", "whether the component is part of a roof"),
    _yes("design.is_floor", "whether the component is a floor joist"),
    _number(
        "design.spacing_mm", "mm", "distance between components, centre to centre", "How far apart do the components stand? (spacing_mm)"
    ),
    _number("design.count", "1", "how many components alike", "How many alike are there? (count)"),
    _number("design.span_mm", "mm", "greatest distance between neighbouring supports"),
    _number("design.height_mm", "mm", "greatest height of the frame between its lowest and highest node"),
    _number("design.pitch_deg", "deg", "steepest pitch of a rafter or top chord; 0 without one"),
    _number("design.member_count", "1", "number of pieces"),
    _number("design.support_count", "1", "number of supports"),
    _yes("design.carries_snow", "whether any snow is among its actions"),
    _yes("design.joints_described", "whether the document says anything about the joints"),
    _number(
        "design.overall_length_mm", "mm", "length of the component over all", "How long is the component over all? (overall_length_mm)"
    ),
    _number("design.load_width_mm", "mm", "width that loads one, where it is stated", "What width loads one component? (load_width_mm)"),
    _number("design.hung_ends", "1", "how many of its ends sit in hangers"),
    _number("design.horn_mm", "mm", "shortest horn stated at a hung end", "How long are the horns? (seat.horn_mm)"),
    _number("design.opening_count", "1", "openings between the webs of an open-web joist"),
    _number("design.opening_to_bearing_mm", "mm", "from a bearing to the nearest of them; 0 without any"),
    _yes("design.is_mono_pitch", "whether its top slopes one way only"),
    _number("design.treated_count", "1", "pieces stated to be treated, against whatever"),
    _number("design.mass_kg", "kg", "mass of one component's timber and webs"),
)
ROOF_FACTS = (
    _number("roof.eaves_height_m", "m", "height of the eaves above ground", "How high are the eaves? (roof.eaves_height_m)"),
    _text("roof.ceiling", "what hangs below: brittle, flexible or none", "What hangs below the roof? (roof.ceiling)", CEILINGS),
    _text(
        "roof.bracing_by",
        "whether it is braced to the standard pattern or by an engineer",
        "Is the roof braced to the standard pattern, or by an engineer's design? (roof.bracing_by)",
        BRACED_BY,
    ),
    _text(
        "roof.exposure",
        "exposed or sheltered",
        "Is the site exposed, as on a coast, a fen, a moor or a hilltop? (roof.exposed)",
        ("exposed", "sheltered"),
    ),
    _number(
        "roof.wall_run_m",
        "m",
        "longest run of masonry below between walls or buttresses square to it",
        "How long is the longest run of wall between buttresses? (roof.wall_run_m)",
    ),
    _number("roof.tank_litres", "1", "litres of water stored in the loft", "How much water is stored in the loft? (roof.tank_litres)"),
    _number(
        "roof.tank_trusses", "1", "trusses over which the tank is spread", "Over how many trusses is the tank spread? (roof.tank_trusses)"
    ),
    _text("building.use", "house, flats, offices, ...", "What is the building used for? (building.use)", USES),
    _number("building.storeys", "1", "how many storeys it has", "How many storeys has the building? (building.storeys)"),
)
SITE_FACTS = (
    _text("site.country", "ISO 3166-1 country code", "Which country is the site in? (site.country)"),
    _text("site.subdivision", "ISO 3166-2 subdivision, such as GB-ENG", "Which part of the country is the site in? (site.subdivision)"),
    _text("site.district", "district by official code or name", "Which district is the site in? (site.district)"),
    _text("site.parish", "parish by name", "Which parish is the site in? (site.parish)"),
    _text("site.postcode", "postcode", "What is the site's postcode? (site.postcode)"),
    _number("site.altitude_m", "m", "height above sea level", "How high does the site lie? (site.altitude_m)"),
    _number("site.wind_speed_m_per_s", "m/s", "wind speed", "What is the wind speed? (site.wind_speed_m_per_s)"),
    _text("site.terrain", "exposure or terrain category as the wind code names it", "In which terrain does the site lie? (site.terrain)"),
    _text(
        "site.snow_ground_edition",
        "document and edition the snow comes from",
        "From which document and edition does the snow come? (site.snow_ground_edition)",
    ),
    _number("site.latitude_deg", "deg", "latitude, north positive", "What is the site's latitude? (site.latitude_deg)"),
    _text(
        "site.termites",
        "what the local authority says of termites at the site",
        "What does the local authority say of termites at the site? (site.termites)",
        TERMITES,
    ),
    _text(
        "site.termite_protection",
        "how the building is protected from termites",
        "How is the building protected from termites? (site.termite_protection)",
        PROTECTIONS,
    ),
    _number("site.service_class", "1", "service class 1, 2 or 3 in force, stated or assumed"),
)
MEMBER_FACTS = (
    _text("member.id", "the piece's id"),
    _text("member.role", "what the piece is for: rafter, ceiling-tie, web, joist, ...", words=ROLES),
    _text("member.grade", "strength class or maker's grade"),
    _text("member.material_kind", "solid-timber, glulam, lvl, steel", words=KINDS),
    _yes("member.is_timber", "whether the piece is timber or a timber product"),
    _text(
        "member.wood",
        "softwood or hardwood",
        "Is the grade a softwood or a hardwood? (materials.grades softwood)",
        ("softwood", "hardwood"),
    ),
    _number("member.length_mm", "mm", "length of the piece between its end nodes"),
    _number("member.longest_bay_mm", "mm", "longest distance between neighbouring nodes of the piece"),
    _number("member.b_mm", "mm", "breadth of one ply; 0 for a section given by its properties"),
    _number("member.h_mm", "mm", "depth in the plane of the frame; 0 for a section given by its properties"),
    _number("member.plies", "1", "number of plies"),
    _number("member.slope_deg", "deg", "angle to the horizontal, 0 to 90"),
    _text("member.treatment", "none, or what the treatment is against, joined by +", "Is the piece treated, and against what? (treatment)"),
    _text(
        "member.treatment_class",
        "use class or hazard class the treatment is for; empty where the piece is stated to be untreated",
        "For which use class or hazard class is the piece treated? (treatment.class)",
    ),
    _yes("member.treated_against_insects", "whether a treatment against insects is stated"),
    _yes("member.treated_against_decay", "whether a treatment against decay is stated"),
    _yes("member.treated_against_termites", "whether a treatment against termites is stated"),
    _number("member.compression_max_kn", "kN", "greatest compression over the ultimate combinations, as a positive number"),
    _number("member.tension_max_kn", "kN", "greatest tension over the ultimate combinations"),
    _number("member.hole_count", "1", "number of holes"),
    _number("member.notch_count", "1", "number of notches"),
    _number("member.notch_depth_share", "1", "depth of its deepest notch over its own; 0 without one"),
    _number("member.notch_from_share", "1", "least distance of a notch from the nearest bearing over the span; 0 without one"),
    _number("member.notch_to_share", "1", "greatest such distance; 0 without one"),
    _yes("member.notched_below", "whether a notch is cut from another face than the upper"),
    _number("member.hole_depth_share", "1", "diameter of its largest hole over its depth; 0 without one"),
    _number("member.hole_from_share", "1", "least distance of a hole from the nearest bearing over the span; 0 without one"),
    _number("member.hole_to_share", "1", "greatest such distance; 0 without one"),
    _yes("member.hole_off_axis", "whether a hole is off the axis"),
    _number("member.hole_gap_diameters", "1", "least distance between the middles of two holes, in diameters; a million without two"),
    _number("member.hole_gap_mm", "mm", "the same in mm; a million without two"),
    _number("member.hole_to_notch_mm", "mm", "least distance between a hole and a notch; a million without both"),
)
SUPPORT_FACTS = (
    _text("support.id", "the support's id"),
    _text("support.seat_on", "wall-plate, masonry, hanger, beam or steel", "What does the component bear on? (seat.on)", SEAT_KINDS),
    _text("support.member_role", "role of the piece that bears", "Which piece bears there? (seat.member)", ROLES),
    _yes("support.is_end", "whether it is an outermost support"),
    _yes("support.offset_stated", "whether the middle of the bearing is said to lie off the node"),
    _yes("support.has_strap", "whether a strap or clip that holds it down is named"),
    _number(
        "support.strap_bearings",
        "1",
        "bearings alike that one strap holds",
        "How many bearings does one strap hold? (held_down_by.bearings)",
    ),
    _text("support.hanger_fixed", "face or top", "Is the hanger fixed to a face or over a top? (hangers.fixed)", HANGER_FIXINGS),
    _number("support.bearing_mm", "mm", "length of bearing along the span", "How long is the bearing? (seat.length_mm)"),
    _number("support.bearing_found_mm", "mm", "length of bearing measured on site", "How long is the bearing as built? (as_built)"),
    _number(
        "support.gap_specified_mm", "mm", "gap at the hanger as specified", "What gap is specified at the hanger? (seat.gap_specified_mm)"
    ),
    _number("support.gap_found_mm", "mm", "gap at the hanger measured on site", "What gap was found at the hanger? (as_built.at_supports)"),
    _number("support.down_max_kn", "kN", "greatest downward force on the bearing over the ultimate combinations"),
    _number("support.up_max_kn", "kN", "greatest upward force over the equilibrium and ultimate combinations; 0 if none"),
)
BRACE_FACTS = (
    _text("brace.id", "the id of the item of bracing"),
    _text("brace.kind", "batten, board, binder, diagonal, chevron, strongback, noggin or strap", words=BRACING_KINDS),
    _text("brace.edge", "the edge it is fixed to: top or bottom", "At which edge is it fixed? (bracing.edge)", ("top", "bottom")),
    _yes("brace.is_named", "whether it names the pieces it holds"),
    _yes("brace.is_anchored", "whether it is said what takes its force in the end, and that is not nothing"),
    _number("brace.thickness_mm", "mm", "smaller side of its section", "What is the brace's section? (bracing.section)"),
    _number("brace.width_mm", "mm", "larger side of its section", "What is the brace's section? (bracing.section)"),
    _number("brace.spacing_mm", "mm", "from one to the next along the piece", "How far apart are these braces? (bracing.spacing_mm)"),
    _number("brace.rows", "1", "how many there are", "How many are there? (bracing.rows)"),
    _number(
        "brace.angle_deg",
        "deg",
        "of a diagonal: the angle to the line square to the pieces",
        "At what angle does it run? (bracing.angle_deg)",
    ),
    _number("brace.nail_count", "1", "nails into one piece", "How is it nailed to each piece? (bracing.nails)"),
    _number("brace.nail_diameter_mm", "mm", "diameter of these nails", "How is it nailed to each piece? (bracing.nails)"),
    _number("brace.nail_length_mm", "mm", "length of these nails", "How is it nailed to each piece? (bracing.nails)"),
)
BRACING_FACTS = (
    _yes("bracing.stated", "whether the document says anything about bracing"),
    _number("bracing.strongback_rows", "1", "rows of strongbacks", "How many rows of strongbacks are there? (bracing)"),
    _number(
        "bracing.noggin_rows",
        "1",
        "rows of noggins, as the bracing lists or the floor states them",
        "How many rows of noggins are there? (bracing)",
    ),
    _number(
        "bracing.strutting_rows",
        "1",
        "rows of strutting or noggins, as the bracing lists or the floor states them",
        "How many rows of strutting or noggins are there? (floor.strutting_rows, bracing)",
    ),
    _number("bracing.diagonal_count", "1", "number of diagonals", "Which diagonals are there? (bracing)"),
    _number(
        "bracing.rafter_diagonal_count", "1", "diagonals on rafters or top chords", "Which diagonals are there on the rafters? (bracing)"
    ),
    _number("bracing.ceiling_diagonal_count", "1", "diagonals on ceiling ties", "Which diagonals are there on the ceiling ties? (bracing)"),
    _number(
        "bracing.web_diagonal_count", "1", "diagonals and chevrons on webs", "Which diagonals or chevrons are there on the webs? (bracing)"
    ),
    _number(
        "bracing.bare_node_count", "1", "joints of a truss's outer pieces that no binder reaches", "Which binders are there? (bracing)"
    ),
    _number("bracing.strap_spacing_mm", "mm", "greatest spacing of restraint straps", "How far apart are the restraint straps? (bracing)"),
)
AS_BUILT_FACTS = (
    _number(
        "as_built.clear_width_mm",
        "mm",
        "clear width between the walls as measured",
        "How wide is it between the walls? (as_built.clear_width_mm)",
    ),
    _number("as_built.bow_mm", "mm", "greatest bow out of its plane as measured", "How far does it bow? (as_built.bow_mm)"),
    _number("as_built.out_of_plumb_mm", "mm", "how far it leans as measured", "How far does it lean? (as_built.out_of_plumb_mm)"),
)

COMMON = DESIGN_FACTS + ROOF_FACTS + SITE_FACTS + BRACING_FACTS + AS_BUILT_FACTS
BY_SCOPE: dict[Scope, tuple[Fact, ...]] = {
    Scope.DESIGN: COMMON,
    Scope.MEMBER: COMMON + MEMBER_FACTS,
    Scope.SUPPORT: COMMON + SUPPORT_FACTS,
    Scope.BRACE: COMMON + BRACE_FACTS,
}
"""What a rule of each scope may use."""
