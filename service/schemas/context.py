"""Shapes of what surrounds the frame: site, roof, floor, codes, materials, bracing, what was measured, waivers."""

from __future__ import annotations

from rules.subject.design import CEILINGS, LEVELS, SHARED_BY, WAIVED_KINDS
from rules.subject.material import KINDS
from rules.subject.site import BRACED_BY, NEIGHBOURS, OPENINGS, PROTECTIONS, SIDES, STANDS, TERMITES, USES
from service.limits import LIMITS
from service.schemas.bounds import COUNTRY, DIGEST, IDENTIFIER, PACK, PROPERTY, RULE, SLUG, SUBDIVISION
from service.schemas.fields import Day, DocumentSchema, Flag, Items, Name, Number, Part, Table, Text, Whole, Word
from service.schemas.forms import ByType
from service.schemas.frame import LARGEST_SECTION_MM, length


class SiteSchema(DocumentSchema):
    """Where the component will stand. Nothing is guessed: what is not stated is asked for by the rules that need it."""

    country = Text("Country.", "GB", longest=2, pattern=COUNTRY)
    subdivision = Text("Part of the country.", "GB-ENG", longest=6, pattern=SUBDIVISION)
    district = Text("Official code or name of the district.", "Exampleton", longest=120)
    parish = Text("Parish.", "Upper Exampleton", longest=120)
    postcode = Text("Postcode.", "EX1 1EX", longest=16)
    latitude_deg = Number("North positive.", 51.3, "°", least=-90, most=90)
    longitude_deg = Number("East positive.", -0.7, "°", least=-180, most=180)
    altitude_m = Number("Height above sea level.", 85, "m", least=-500, most=9000)
    snow_zone = Number("Zone number of the snow map.", 3, "1", least=0, most=100)
    snow_ground_kn_per_m2 = Number("Characteristic snow load on the ground.", 0.6, "kN/m²", least=0, most=100)
    snow_ground_edition = Text("Where that load comes from.", "National Annex, 2007", longest=100)
    wind_speed_m_per_s = Number("Fundamental basic wind speed.", 22, "m/s", least=0, most=150)
    hill_factor = Number("How much a hill or escarpment speeds up the wind (c_o); 1 where the ground is level.", 1, "1", least=1, most=3)
    terrain = Text("Terrain category as the wind code names it.", "country", longest=40)
    service_class = Whole("Service class.", 2, least=1, most=3)
    termites = Word("What the local authority says of termites there.", TERMITES)
    termite_protection = Word("How the building is protected from termites.", PROTECTIONS)


class NeighbourSchema(DocumentSchema):
    """What adjoins one side of the roof along the whole of it."""

    side = Word("Which side of the frame.", SIDES, required=True)
    what = Word(
        "A higher building, whose wall snow drifts against; or another slope, that makes a valley with this one.", NEIGHBOURS, required=True
    )
    rise_m = Number("Higher building: from this roof to the top of its wall.", 2.4, "m", above=0, most=300)
    width_m = Number("Higher building, or the roof beyond a valley: how far it extends away from this one.", 7.0, "m", above=0, most=1000)
    pitch_deg = Number("Pitch of its slope that falls towards this roof; 0: none does.", 30, "°", least=0, most=90)


class ParapetSchema(DocumentSchema):
    """A parapet along one side of the roof."""

    side = Word("Which side of the frame.", SIDES, required=True)
    height_m = Number("From the roof there to its top.", 0.6, "m", above=0, most=20, required=True)


class RoofSchema(DocumentSchema):
    """The roof the component belongs to."""

    ridge_height_m = Number("Height of the ridge above ground.", 8.1, "m", least=0, most=300)
    eaves_height_m = Number("Height of the eaves above ground.", 5.0, "m", least=0, most=300)
    building_length_m = Number("Length of the building.", 12, "m", above=0, most=1000)
    building_width_m = Number("Width of the building.", 8.4, "m", above=0, most=1000)
    pitch_deg = Number("Pitch.", 35, "°", least=0, most=90)
    ceiling = Word("What hangs below.", CEILINGS)
    bracing_by = Word("Whether it is braced to the standard pattern for domestic roofs or by an engineer's design.", BRACED_BY)
    exposed = Flag("Whether the site is exposed: coast, fen, moor, hilltop.")
    wall_run_m = Number("Longest run of masonry below it between walls or buttresses square to it.", 8.4, "m", above=0, most=1000)
    tank_litres = Number("Water stored in the loft.", 230, "l", least=0, most=1e6)
    tank_trusses = Whole("Over how many trusses the tank's platform spreads it.", 3, least=1, most=1000)
    snow_guards = Flag("Whether fences, guards or the like keep snow from sliding off.")
    openings = Word("Whether an opening of one face outweighs all others and may stand open in a gale.", OPENINGS)
    opening_times_others = Number(
        "With a dominant opening: its area over that of all openings of the other faces.", 3, "1", above=0, most=1000
    )
    hipped = Flag("Whether the roof has hipped ends.")
    stands = Word(
        "“inner”: this component is never within a quarter of the building's width or twice its height of a gable; “end” when absent.",
        STANDS,
    )
    neighbours = Items(Part(NeighbourSchema), "Higher buildings and roofs that adjoin it.", most=4)
    parapets = Items(Part(ParapetSchema), "Parapets along its sides.", most=2)


class BuildingSchema(DocumentSchema):
    """The building the component belongs to."""

    use = Word("What it is used for.", USES)
    storeys = Whole("How many storeys it has.", 2, least=1, most=200)


class DeckSchema(DocumentSchema):
    """The deck by what makes it share loads between joists."""

    what = Text("What it is.", "22 mm chipboard, glued", longest=120)
    thickness_mm = length("Thickness.", 22, most=LARGEST_SECTION_MM)
    e_mpa = Number("Mean modulus of elasticity in bending, across the joists.", 2700, "N/mm²", least=1, most=1e6)


class FloorSchema(DocumentSchema):
    """The floor the component belongs to."""

    width_mm = length("Width of the floor, square to the joists.", 4200)
    deck = ByType("The deck; in words, or with the stiffness that vibration asks for.", text=Text("In words.", "22 mm chipboard, glued", longest=120), part=Part(DeckSchema))  # fmt: skip
    transverse_stiffness_nm2_per_m = Number(
        "Bending stiffness of all that crosses the joists, per metre along them, where an engineer has worked it out; in place of the deck's.",
        2400, "N·m²/m", above=0, most=1e9,
    )  # fmt: skip
    ceiling = Word("What hangs below.", CEILINGS)
    strutting_rows = Whole("Rows of strutting.", 1, least=0, most=100)
    noggin_rows = Whole("Rows of noggins.", 1, least=0, most=100)


class LoadSharingSchema(DocumentSchema):
    """What spreads load between components alike, so that a weak one is helped by its neighbours."""

    by = Word("What is fixed across them.", SHARED_BY, required=True)
    spans = Whole("How many gaps between neighbours each of its pieces runs over.", 2, least=1, most=1000)
    staggered = Flag("Whether its joints are staggered; not, when absent.")


class ParameterSchema(DocumentSchema):
    """A value of a pack that this design replaces."""

    value = ByType(
        "The value to use.", number=Number("A number.", 1.3, "1"), text=Text("A word.", "yes", longest=120), required=True,
    )  # fmt: skip
    reason = Text("Why; shown on every finding it touches.", "agreed with the checking engineer", required=True)


class CodesSchema(DocumentSchema):
    """Which rules are asked for."""

    packs = Items(
        Text("A pack.", "eurocode-timber", longest=160, pattern=PACK), "Packs to check against; chosen from site and date when absent.",
        least=1, most=50, example=["eurocode-timber", "uk-national"],
    )  # fmt: skip
    as_of = Day("The day whose rules hold; today (UTC) when absent, and reported.", "2026-11-25")
    parameters = Table(IDENTIFIER, Part(ParameterSchema), "Pack values replaced, each with a reason.", most=200)
    levels = Table(
        RULE, Word("Level of its findings.", LEVELS), "Levels of rules, changed for this design; of strength none is lowered.", most=500
    )


_MPA = ("f_m_k_mpa", "f_t_0_k_mpa", "f_t_90_k_mpa", "f_c_0_k_mpa", "f_c_90_k_mpa", "f_v_k_mpa", "e_0_mean_mpa", "e_0_05_mpa", "g_mean_mpa")


def _strength(description: str, example: float) -> Number:
    return Number(description, example, "N/mm²", least=0.001, most=1e6)


def _density(description: str, example: float) -> Number:
    return Number(description, example, "kg/m³", least=1, most=30_000)


class MaterialSchema(DocumentSchema):
    """A grade no pack knows, by its properties."""

    id = Name("What members call it.", "LVL-X", required=True)
    kind = Word("What it is.", KINDS, required=True)
    tradition = Text("The code tradition whose reference values these are.", "en", longest=16, pattern=SLUG, required=True)
    f_m_k_mpa = _strength("Bending strength.", 44)
    f_t_0_k_mpa = _strength("Tension strength along the grain.", 35)
    f_t_90_k_mpa = _strength("Tension strength across the grain.", 0.8)
    f_c_0_k_mpa = _strength("Compression strength along the grain.", 35)
    f_c_90_k_mpa = _strength("Compression strength across the grain.", 6)
    f_v_k_mpa = _strength("Shear strength.", 4.2)
    e_0_mean_mpa = _strength("Mean modulus of elasticity along the grain.", 13_800)
    e_0_05_mpa = _strength("Fifth percentile of that modulus.", 11_600)
    g_mean_mpa = _strength("Mean shear modulus.", 600)
    rho_k_kg_per_m3 = _density("Characteristic density.", 480)
    rho_mean_kg_per_m3 = _density("Mean density.", 510)
    reference_values = Table(
        PROPERTY, Number("The value, in the unit its name ends in.", 10.3, "1", least=0.001, most=1e6),
        "Reference values of another code tradition, by the names its grades have (f_b_mpa, f_c_perp_mpa, …; see the pack's page).",
        most=30, example={"f_b_mpa": 10.3, "e_min_mpa": 4137},
    )  # fmt: skip
    family = Name("The family its tradition's tables treat it as, where they know several.", "4A")
    softwood = Flag("Whether it is softwood.")
    invented = Flag("The figures are made up for a demonstration; then nothing passes because of them.")


PROPERTIES = (*_MPA, "rho_k_kg_per_m3", "rho_mean_kg_per_m3")


class MaterialsSchema(DocumentSchema):
    """What the timber is, beyond the grades the packs know."""

    marking = Word("Whether each piece is marked, or only the package.", ("piece", "package"))
    grades = Items(Part(MaterialSchema), "Grades no pack knows.", most=LIMITS.grades)


class DeclinedSchema(DocumentSchema):
    """The statement that something is not there, and why."""

    none_because = Text("Why there is none.", "by others, drawing S-14", required=True)


class ElementSchema(DocumentSchema):
    """One element of the design."""

    kind = Word("What kind of element.", WAIVED_KINDS, required=True)
    id = Name("Its id; the reference, for the design itself.", "TC1", longest=128, required=True)


class WaiverSchema(DocumentSchema):
    """A finding that somebody accepts: by name, for a reason, until a day."""

    rule = Text("The rule, as pack/rule.", "workshop-practice/slender-web", longest=160, pattern=RULE, required=True)
    element = Part(ElementSchema, "The element it is about.", required=True)
    part = Text("The part of the finding it is about; empty for all of the element.", "span-final", shortest=0, longest=64)
    reason = Text("Why it is accepted.", "load test of 2026-03-02", required=True)
    approved_by = Text("Who accepts it.", "A. Engineer", longest=120, required=True)
    expires = Day("The last day it holds.", "2027-03-31", required=True)
    up_to_utilisation = Number("It holds up to this utilisation only.", 1.05, "1", above=0, most=1000)
    subject = Text(
        "Digest of the subject it was given for; a changed design needs a new one.", "sha256:" + 64 * "0", longest=71, pattern=DIGEST
    )
