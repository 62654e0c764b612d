"""Wind on roofs of one or two slopes and on flat ones: from either side and along the ridge, pressing and lifting, with the pressure inside.

On one face the signs are never mixed; windward and leeward faces take every mix (EN 1991-1-4, notes to Tables 7.3 and 7.4), each with both
pressures inside. Where the roof stands out over a windward wall, that wall's pressure is below it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from rules.library import Derivation, Derived, Doubt, Given, Known, Sheet, Step
from rules.packs.eurocode_basis.loads.asking import open_doubt, stated, width
from rules.packs.eurocode_basis.loads.inside import below_eaves, inside, inside_doubts
from rules.packs.eurocode_basis.loads.surfaces import RoofForm, laid, roof_form
from rules.packs.eurocode_basis.loads.wind_flat import flat_across, flat_along, flat_behind, flat_coefficient, flat_notes
from rules.packs.eurocode_basis.loads.wind_zones import Strip, WindOn, strips_across, strips_along
from rules.subject.actions import Action, LineLoad
from rules.subject.design import Design
from rules.subject.settled import Assumption

GROUP = "wind"
SIDES = ("left", "right")
MM = 1000.0
SIGNS = {"pressing": "pressed", "lifting": "lifted"}
INSIDE = ("sucked", "blown")
ACROSS = tuple(product(SIGNS, SIGNS, INSIDE))
"""Windward face, leeward face, and what the pressure inside does to the roof: sucks it down or blows it up."""
ASKS = {
    "/site/wind_speed_m_per_s": "What is the fundamental basic wind speed? (site.wind_speed_m_per_s)",
    "/site/terrain": "What is the terrain? (site.terrain)",
    "/roof/ridge_height_m": "How high is the ridge above ground? (roof.ridge_height_m)",
    "/roof/building_length_m": "How long is the building along the ridge? (roof.building_length_m)",
    "/roof/building_width_m": "How wide is the building across the ridge? (roof.building_width_m)",
}


def derive_wind(design: Design, known: Known, load_width: float) -> Derived:
    """Every case of wind, of which one acts at a time."""
    form, missing = roof_form(design), list(_missing(design, known))
    if form is None:
        message = "The roof is neither level, nor one slope, nor two that meet in a ridge, so its wind is not worked out."
        return open_doubt("wind", message, "What is the wind load on the roof? Give its cases under actions.", "/actions")
    if missing:
        return open_doubt("wind", "The wind on the roof cannot be worked out.", " ".join(ASKS[each] for each in missing), missing[0])
    wind = _begin(design, known, form, load_width)
    if wind is None:
        ask = "What is the wind load on the roof? Give its cases under actions."
        return open_doubt("wind", "No pressure coefficients are held for a roof of this pitch.", ask, "/actions")
    notes = Derived(doubts=tuple(_doubts(design, known)), assumptions=tuple(_taken(design)))
    return sum(_flat_cases(wind), notes + flat_notes(design, known)) if wind.is_flat else sum(_cases(wind), notes)


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
    sheet = known.sheet(
        width(load_width),
        stated("wind_speed", "v_map", "m/s", "basic wind speed of the map", float(site.wind_speed_m_per_s or 0.0)),
        stated("site_altitude", "A", "m", "altitude of the site", float(site.altitude_m or 0.0)),
        stated("ridge_height", "h", "m", "height of the ridge above ground", float(roof.ridge_height_m or 0.0)),
        roughness,
        least,
        *([] if site.hill_factor is None else [stated("c_o", "c_o", "1", "factor of the ground's form", site.hill_factor)]),
    )
    across, along = (_zone_length(sheet, float(wide or 0.0)) * MM for wide in (roof.building_length_m, roof.building_width_m))
    height = float(roof.ridge_height_m or 0.0)
    parapets = {each.side: each.height_m / height for each in roof.parapets}
    wind = WindOn(known, form, sheet, roof.stands == "inner", across, along, inside(roof, known), parapets)
    return _under_its_parapets(wind) if wind.is_flat else wind if _is_held(wind) else None


def _is_held(wind: WindOn) -> bool:
    """Whether there are coefficients for the pitch of every side."""
    sides = wind.form.sides.values()
    return all(wind.known.between("c_pe", wind.form.kind, "along", "H", "lifting", side.pitch_deg) for side in sides)


def _under_its_parapets(wind: WindOn) -> WindOn:
    """A flat roof with its peak pressure at the top of its parapets."""
    height = wind.sheet.given["ridge_height"].value * (1.0 + max(wind.parapets.values(), default=0.0))
    top = stated("ridge_height", "h + h_p", "m", "height of the roof with its parapets above ground", height)
    return replace(wind, sheet=wind.sheet.with_given(top))


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
    for side in SIDES:
        if wind.form.kind == "duopitch":
            for windward, leeward, inner in ACROSS:
                name = f"wind-{side}-{SIGNS[windward]}-{SIGNS[leeward]}-{inner}"
                told = f"wind from the {side}, windward face {SIGNS[windward]}, leeward face {SIGNS[leeward]}"
                yield _case(wind, name, told, _pitched(wind, strips_across(wind, side), "across", windward, leeward), inner)
        else:
            yield from _one_slope(wind, side)
    for inner in INSIDE:
        yield _case(
            wind, f"wind-along-ridge-{inner}", "wind along the ridge", _pitched(wind, strips_along(wind), "along", "lifting"), inner
        )


def _one_slope(wind: WindOn, side: str) -> Iterator[Derived]:
    """Wind on the low eaves presses or lifts; on the high edge it lifts."""
    low = side in wind.form.sides
    for sign, inner in product(SIGNS if low else ("lifting",), INSIDE):
        name, told = f"wind-{side}-{SIGNS[sign]}-{inner}", f"wind from the {side}, windward face {SIGNS[sign]}"
        yield _case(wind, name, told, _pitched(wind, strips_across(wind, side), "low" if low else "high", sign), inner)


def _flat_cases(wind: WindOn) -> Iterator[Derived]:
    """What lies far behind the windward edge is pressed or lifted; where nothing does, a roof is lifted only."""
    for side, inner in product(SIDES, INSIDE):
        strips = flat_across(wind, side)
        for sign in SIGNS if any(strip.zone == "I" for strip in strips) else ("lifting",):
            name, told = f"wind-{side}-{SIGNS[sign]}-{inner}", f"wind from the {side}, far from its edge {SIGNS[sign]}"
            yield _case(wind, name, told, [(strip, flat_coefficient(wind, strip.zone, sign, side)) for strip in strips], inner)
    for (sign, strips), inner in product((("lifting", flat_along(wind)), ("pressing", flat_behind(wind))), INSIDE):
        name, told = f"wind-along-{SIGNS[sign]}-{inner}", f"wind along the building, roof {SIGNS[sign]}"
        yield _case(wind, name, told, [(strip, flat_coefficient(wind, strip.zone, sign, None)) for strip in strips], inner)


LEEWARD = ("I", "J")
Pressed = tuple[Strip, Given]
"""A strip and its external pressure coefficient."""


def _pitched(wind: WindOn, strips: Iterable[Strip], direction: str, windward: str, leeward: str | None = None) -> Iterator[Pressed]:
    """The coefficients of slopes, by pitch: leeward faces with a sign of their own where wind comes across the ridge."""
    for strip in strips:
        sign = leeward if leeward and strip.zone in LEEWARD else windward
        outside = wind.known.between("c_pe", wind.form.kind, direction, strip.zone, sign, strip.pitch_deg)
        assert outside is not None, "every zone has rows for the same pitches"
        yield strip, outside


def _case(wind: WindOn, name: str, told: str, pressed: Iterable[Pressed], inner: str) -> Derived:
    """One load case: every strip under its net pressure; none where outside and inside are in balance everywhere."""
    loads: list[LineLoad] = []
    steps: dict[Step, None] = {}
    pieces = [piece for side in wind.form.sides.values() for piece in side.pieces]
    for strip, outside in pressed:
        sheet = wind.sheet.with_given(outside, below_eaves(wind.known) if strip.over and inner == "blown" else wind.inside[inner])
        line = sheet["wind_line"]
        way = "pressure" if line >= 0.0 else "suction"
        loads += laid(pieces, abs(line), "member", low=strip.low, high=strip.high, direction=way, face="upper")
        steps |= dict.fromkeys(sheet.steps("wind_line"))
    if not any(load.line_kn_per_m for load in loads):
        return Derived()
    action = Action(name, "wind", one_of=GROUP, loads=tuple(loads))
    return Derived((Derivation(action, f"{told}, roof {inner} from inside", tuple(steps)),))
