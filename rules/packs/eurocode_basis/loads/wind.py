"""Wind on roofs of one or two slopes: from either side and along the ridge, pressing and lifting, with the pressure inside.

On one face the signs are never mixed; windward and leeward faces take every mix (EN 1991-1-4, notes to Tables 7.3 and 7.4), each with both
pressures inside. Where the roof stands out over a windward wall, that wall's pressure is below it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from rules.library import Derivation, Derived, Doubt, Given, Known, Sheet, Step
from rules.packs.eurocode_basis.loads.asking import open_doubt, stated, width
from rules.packs.eurocode_basis.loads.inside import below_eaves, inside, inside_doubts
from rules.packs.eurocode_basis.loads.surfaces import RoofForm, laid, roof_form
from rules.subject.actions import Action, LineLoad
from rules.subject.design import Design
from rules.subject.settled import Assumption

GROUP = "wind"
MM = 1000.0
SIGNS = {"pressing": "pressed", "lifting": "lifted"}
INSIDE = ("sucked", "blown")
ACROSS = tuple(product(SIGNS, SIGNS, INSIDE))
"""Windward face, leeward face, and what the pressure inside does to the roof: sucks it down or blows it up."""
LEAST_OVERHANG_MM = 100.0
"""A roof that stands out less than this offers the wind below it nothing to lift."""
ASKS = {
    "/site/wind_speed_m_per_s": "What is the fundamental basic wind speed? (site.wind_speed_m_per_s)",
    "/site/terrain": "What is the terrain? (site.terrain)",
    "/roof/ridge_height_m": "How high is the ridge above ground? (roof.ridge_height_m)",
    "/roof/building_length_m": "How long is the building along the ridge? (roof.building_length_m)",
    "/roof/building_width_m": "How wide is the building across the ridge? (roof.building_width_m)",
}


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of the roof under one coefficient, mm on plan. zone: as the code names it; over: it stands out over the windward wall."""

    zone: str
    low: float
    high: float
    pitch_deg: float
    over: bool = False


@dataclass(frozen=True, slots=True)
class WindOn:
    """What every case starts from: the roof, and the sheet with all that leads to the pressure. inner: never near a gable."""

    known: Known
    form: RoofForm
    sheet: Sheet
    inner: bool
    across: float
    along: float
    inside: Mapping[str, Given]


def derive_wind(design: Design, known: Known, load_width: float) -> Derived:
    """Every case of wind, of which one acts at a time."""
    form, missing = roof_form(design), list(_missing(design, known))
    if form is None:
        message = "The roof is neither one slope nor two that meet in a ridge, so its wind is not worked out."
        return open_doubt("wind", message, "What is the wind load on the roof? Give its cases under actions.", "/actions")
    if missing:
        return open_doubt("wind", "The wind on the roof cannot be worked out.", " ".join(ASKS[each] for each in missing), missing[0])
    wind = _begin(design, known, form, load_width)
    if wind is None:
        ask = "What is the wind load on the roof? Give its cases under actions."
        return open_doubt("wind", "No pressure coefficients are held for a roof of this pitch.", ask, "/actions")
    return sum(_cases(wind), Derived(doubts=tuple(_doubts(design, known)), assumptions=tuple(_taken(design))))


def _missing(design: Design, known: Known) -> Iterator[str]:
    site, roof = design.site, design.roof
    if site.wind_speed_m_per_s is None:
        yield "/site/wind_speed_m_per_s"
    if site.terrain is None or known.row("z_0", site.terrain) is None:
        yield "/site/terrain"
    for name in ("ridge_height_m", "building_length_m", "building_width_m"):
        if roof is None or getattr(roof, name) is None:
            yield f"/roof/{name}"


def _begin(design: Design, known: Known, form: RoofForm, load_width: float) -> WindOn | None:
    site, roof = design.site, design.roof
    assert roof is not None
    roughness, least = known.row("z_0", site.terrain), known.row("z_min", site.terrain)
    assert roughness is not None
    assert least is not None
    if any(known.between("c_pe", form.kind, "along", "H", "lifting", side.pitch_deg) is None for side in form.sides.values()):
        return None
    sheet = known.sheet(
        width(load_width),
        stated("wind_speed", "v_map", "m/s", "basic wind speed of the map", float(site.wind_speed_m_per_s or 0.0)),
        stated("site_altitude", "A", "m", "altitude of the site", float(site.altitude_m or 0.0)),
        stated("ridge_height", "h", "m", "height of the ridge above ground", float(roof.ridge_height_m or 0.0)),
        roughness,
        least,
        *([] if site.hill_factor is None else [stated("c_o", "c_o", "1", "factor of the ground's form", site.hill_factor)]),
    )
    lengths = [_zone_length(sheet, float(wide or 0.0)) for wide in (roof.building_length_m, roof.building_width_m)]
    return WindOn(known, form, sheet, roof.stands == "inner", lengths[0] * MM, lengths[1] * MM, inside(roof, known))


def _zone_length(sheet: Sheet, crosswind: float) -> float:
    return sheet.with_given(stated("crosswind", "b", "m", "width of the building across the wind", crosswind))["zone_length"]


def _doubts(design: Design, known: Known) -> Iterator[Doubt]:
    roof = design.roof
    if known.number("wind_profile_held") == 0.0:
        message = "Wind pressure is worked out from the recommended terrain categories; the country's own annex has other charts, which are not held."
        yield Doubt(
            "wind-profile", "review", message, "An engineer must hold the pressure against the national annex.", "/site/wind_speed_m_per_s"
        )
    yield from inside_doubts(roof, known)
    yield from _form_doubts(design)
    if roof and (roof.ridge_height_m or 0.0) > known.number("highest_static"):
        message = f"The ridge is above {known.number('highest_static'):g} m: whether the wind shakes the building is not looked at."
        yield Doubt(
            "wind-height",
            "open",
            message,
            "What is the structural factor c_s·c_d? Give the wind cases under actions.",
            "/roof/ridge_height_m",
        )
    if known.number("wind_per_altitude") and design.site.altitude_m is None:
        message = "The basic wind speed grows with the altitude, which is not stated."
        yield Doubt("wind-altitude", "open", message, "How high does the site lie? (site.altitude_m)", "/site/altitude_m")


def _form_doubts(design: Design) -> Iterator[Doubt]:
    """What the design says of hill and hips that is not worked out here."""
    roof = design.roof
    if roof and roof.exposed and design.site.hill_factor is None:
        message = "The site is exposed; a hill or escarpment speeds up the wind, and nobody says whether there is one."
        ask = "What is the factor of the ground's form, c_o? 1 where the ground is level. (site.hill_factor)"
        yield Doubt("wind-hill", "open", message, ask, "/site/hill_factor")
    if roof and roof.hipped:
        message = (
            "The roof has hipped ends: the wind is worked out as on a roof with gables, and the components of the hips are not looked at."
        )
        yield Doubt("wind-hips", "open", message, "What is the wind on the hipped ends? Give the wind cases under actions.", "/roof/hipped")


def _taken(design: Design) -> Iterator[Assumption]:
    assert design.roof is not None
    if design.site.hill_factor is None:
        yield Assumption("/site/hill_factor", 1.0, "No hill or escarpment speeds up the wind (c_o = 1).", "site")
    if design.roof.openings is None:
        yield Assumption(
            "/roof/openings", "none", "No face of the building is more open than the others in a gale: +0.2 or -0.3 inside.", "site"
        )
    if design.roof.stands is None:
        yield Assumption("/roof/stands", "end", "The component may stand next to a gable, so the corner zones are taken.")


def _cases(wind: WindOn) -> Iterator[Derived]:
    sides = ("left", "right")
    for side in sides:
        if wind.form.kind == "duopitch":
            for windward, leeward, inner in ACROSS:
                name = f"wind-{side}-{SIGNS[windward]}-{SIGNS[leeward]}-{inner}"
                strips = list(_across(wind, side))
                yield _case(wind, name, f"wind from the {side}", strips, {"windward": windward, "leeward": leeward}, inner, "across")
        else:
            yield from _one_slope(wind, side)
    for inner in INSIDE:
        signs = {"windward": "lifting", "leeward": "lifting"}
        yield _case(wind, f"wind-along-ridge-{inner}", "wind along the ridge", list(_along(wind)), signs, inner, "along")


def _one_slope(wind: WindOn, side: str) -> Iterator[Derived]:
    """Wind on the low eaves presses or lifts; on the high edge it lifts."""
    low = side in wind.form.sides
    for sign, inner in product(SIGNS if low else ("lifting",), INSIDE):
        name = f"wind-{side}-{SIGNS[sign]}-{inner}"
        yield _case(wind, name, f"wind from the {side}", list(_across(wind, side)), {"windward": sign}, inner, "low" if low else "high")


def _eave_zone(wind: WindOn) -> str:
    return "G" if wind.inner else "F"


def _across(wind: WindOn, side: str) -> Iterator[Strip]:
    """Windward face: a strip at its edge and the rest; leeward face: a strip behind the ridge and the rest."""
    strip = wind.across * wind.known.number("strip")
    low, high = wind.form.extent
    turn = 1.0 if side == "left" else -1.0
    edge, wall = (low, wind.form.walls[0]) if side == "left" else (high, wind.form.walls[1])
    faces = wind.form.sides
    first = faces.get(side) or next(iter(faces.values()))
    ridge = first.high if side == "left" else first.low
    out = turn * (wall - edge)
    start = out if out >= LEAST_OVERHANG_MM else 0.0
    if start:
        yield _strip(_eave_zone(wind), edge, edge + turn * min(strip, start), first.pitch_deg, over=True)
        if start > strip:
            yield _strip("H", edge + turn * strip, wall, first.pitch_deg, over=True)
    if strip > start:
        yield _strip(_eave_zone(wind), edge + turn * start, edge + turn * min(strip, abs(ridge - edge)), first.pitch_deg)
    if abs(ridge - edge) > max(strip, start):
        yield _strip("H", edge + turn * max(strip, start), ridge, first.pitch_deg)
    other = next((face for name, face in faces.items() if name != side), None) if len(faces) == 2 else None
    if other is not None:
        far = high if side == "left" else low
        yield _strip("J", ridge, ridge + turn * min(strip, abs(far - ridge)), other.pitch_deg)
        if abs(far - ridge) > strip:
            yield _strip("I", ridge + turn * strip, far, other.pitch_deg)


def _along(wind: WindOn) -> Iterator[Strip]:
    """Wind along the ridge: the strip next to the gable, or the zone behind it."""
    corner = wind.along * wind.known.number("corner")
    for name, side in wind.form.sides.items():
        if wind.inner:
            yield _strip("H", side.low, side.high, side.pitch_deg)
            continue
        names = ("F", "G") if wind.form.kind == "duopitch" else ("F-low", "G")
        edge, turn = (side.low, 1.0) if name == "left" else (side.high, -1.0)
        reach = min(corner, side.high - side.low)
        yield _strip(names[0], edge, edge + turn * reach, side.pitch_deg)
        far = side.high if turn > 0 else side.low
        upper = min(corner, max(side.high - side.low - reach, 0.0)) if wind.form.kind == "monopitch" else 0.0
        if side.high - side.low > reach + upper:
            yield _strip(names[1], edge + turn * reach, far - turn * upper, side.pitch_deg)
        if upper > 0.0:
            yield _strip("F-up", far - turn * upper, far, side.pitch_deg)


def _strip(zone: str, one: float, other: float, pitch: float, *, over: bool = False) -> Strip:
    return Strip(zone, min(one, other), max(one, other), pitch, over)


LEEWARD = ("I", "J")


def _case(wind: WindOn, name: str, words: str, strips: list[Strip], signs: dict[str, str], inner: str, direction: str) -> Derived:
    """One load case: every strip under its net pressure."""
    loads: list[LineLoad] = []
    steps: dict[Step, None] = {}
    pieces = [piece for side in wind.form.sides.values() for piece in side.pieces]
    for strip in strips:
        sign = signs["leeward" if direction == "across" and strip.zone in LEEWARD else "windward"]
        sheet = _net(wind, strip, sign, inner, direction)
        line = sheet["wind_line"]
        loads += laid(
            pieces, abs(line), "member", low=strip.low, high=strip.high, direction="pressure" if line >= 0.0 else "suction", face="upper"
        )
        steps |= dict.fromkeys(sheet.steps("wind_line"))
    told = ", ".join(
        [words, *(f"{face} face {SIGNS[sign]}" for face, sign in signs.items() if direction != "along"), f"roof {inner} from inside"]
    )
    return Derived((Derivation(Action(name, "wind", one_of=GROUP, loads=tuple(loads)), told, tuple(steps)),))


def _net(wind: WindOn, strip: Strip, sign: str, inner: str, direction: str) -> Sheet:
    outside = wind.known.between("c_pe", wind.form.kind, direction, strip.zone, sign, strip.pitch_deg)
    assert outside is not None, "every zone has rows for the same pitches"
    over = strip.over and direction != "along" and inner == "blown"
    return wind.sheet.with_given(outside, below_eaves(wind.known) if over else wind.inside[inner])
