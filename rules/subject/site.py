"""Where the component will stand, and what holds there."""

from __future__ import annotations

from dataclasses import dataclass

TERMITES = ("none", "slight", "moderate", "heavy", "very-heavy", "present", "giant-northern")
"""What an authority says of termites at a site; "present" where it grades nothing, "giant-northern" where that species is common."""
PROTECTIONS = ("none", "soil-treatment", "bait", "barrier", "treated-timber", "resistant-timber", "steel-frame")
"""How a building is protected from termites."""
BRACED_BY = ("standard", "engineer")
USES = ("house", "flats", "offices", "hotel", "school", "shops", "farm", "other")


@dataclass(frozen=True, slots=True)
class Site:
    """Place and exposure. Every field may be None: not stated.

    country, subdivision: ISO 3166 codes ("GB", "GB-ENG"); district: official code or name; service_class: 1, 2 or 3.
    hill_factor: c_o, by which a hill or escarpment speeds up the wind.
    termites: what the authority says of them there, one of TERMITES; termite_protection: how the building is protected, one of
    PROTECTIONS. district_from: whose word the district is, where the document gave a postcode and no district.
    """

    country: str | None = None
    subdivision: str | None = None
    district: str | None = None
    parish: str | None = None
    postcode: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    snow_zone: float | None = None
    snow_ground_kn_per_m2: float | None = None
    snow_ground_edition: str | None = None
    wind_speed_m_per_s: float | None = None
    terrain: str | None = None
    service_class: int | None = None
    termites: str | None = None
    termite_protection: str | None = None
    district_from: str | None = None
    hill_factor: float | None = None


SIDES = ("left", "right")
NEIGHBOURS = ("taller-building", "roof")
OPENINGS = ("none", "dominant")
STANDS = ("inner", "end")


@dataclass(frozen=True, slots=True)
class Neighbour:
    """What adjoins one side of the roof, its wall or eaves along the whole of it.

    what: "taller-building", whose wall rises rise_m above this roof there, width_m across, under a roof of pitch_deg falling towards
    this one (0 where none does); "roof", a slope of pitch_deg that meets this one in a valley, of a roof width_m across.
    """

    side: str
    what: str
    rise_m: float | None = None
    width_m: float | None = None
    pitch_deg: float | None = None


@dataclass(frozen=True, slots=True)
class Parapet:
    """A parapet along one side of the roof, rising height_m above it there."""

    side: str
    height_m: float


@dataclass(frozen=True, slots=True)
class Roof:
    """The roof and building the component belongs to; None: not stated. ceiling: "brittle", "flexible" or "none". bracing_by:
    "standard" (the pattern for domestic roofs) or "engineer" (a design of its own). exposed: coast, fen, moor or hilltop.
    wall_run_m: longest run of masonry between walls or buttresses square to it. tank_litres, tank_trusses: water stored in
    the loft, and over how many trusses its platform spreads it.

    snow_guards: whether fences or the like keep snow from sliding off. openings: "none", or "dominant" when one face of the
    building may stand open in a gale; opening_times_others: by how many times it outweighs them. hipped: with hipped ends. stands: "inner" when this component is never near a gable, "end" otherwise.
    """

    ridge_height_m: float | None = None
    eaves_height_m: float | None = None
    building_length_m: float | None = None
    building_width_m: float | None = None
    pitch_deg: float | None = None
    ceiling: str | None = None
    bracing_by: str | None = None
    exposed: bool | None = None
    wall_run_m: float | None = None
    tank_litres: float | None = None
    tank_trusses: int | None = None
    snow_guards: bool | None = None
    openings: str | None = None
    stands: str | None = None
    neighbours: tuple[Neighbour, ...] = ()
    parapets: tuple[Parapet, ...] = ()
    opening_times_others: float | None = None
    hipped: bool | None = None


@dataclass(frozen=True, slots=True)
class Building:
    """The building the component is part of; None: not stated. use: one of USES."""

    use: str | None = None
    storeys: int | None = None


@dataclass(frozen=True, slots=True)
class Deck:
    """What is fixed on the joists. e_mpa: mean modulus of elasticity in bending across the joists, N/mm²."""

    what: str | None = None
    thickness_mm: float | None = None
    e_mpa: float | None = None


@dataclass(frozen=True, slots=True)
class Floor:
    """The floor the component belongs to; None: not stated. ceiling: "brittle", "flexible" or "none" (what hangs below).
    transverse_stiffness_nm2_per_m: bending stiffness of all that crosses the joists, per metre along them; in place of the deck's."""

    width_mm: float | None = None
    deck: Deck | None = None
    transverse_stiffness_nm2_per_m: float | None = None
    ceiling: str | None = None
    strutting_rows: int | None = None
    noggin_rows: int | None = None
