"""Snow on roofs of one or two slopes and on level ones: as it falls, drifted over the ridge, against walls and parapets, in valleys, over the eaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rules.library import Derivation, Derived, Given, Known, Sheet, Step
from rules.packs.eurocode_basis.loads.asking import one, open_doubt, stated, width
from rules.packs.eurocode_basis.loads.obstacles import drifts
from rules.packs.eurocode_basis.loads.surfaces import RoofForm, Side, laid, nine, roof_form
from rules.subject.actions import Action, Load, PointLoad
from rules.subject.design import Design

GROUP = "snow"
SAME = 0.01
"""Two statements of the ground snow that differ by less than this share are one."""


@dataclass(frozen=True, slots=True)
class SnowOn:
    """What every case starts from. sheet: with ground snow and load width; mu: of each side, as snow falls."""

    design: Design
    known: Known
    form: RoofForm
    sheet: Sheet
    mu: dict[str, Given]

    def side(self, name: str, mu: Given | None = None) -> Sheet:
        """The sheet of one side, with this shape coefficient or its own."""
        given = self.mu[name] if mu is None else mu
        return self.sheet.with_given(Given("mu", given.symbol, given.unit, given.what, given.value, number=given.number))


def derive_snow(design: Design, known: Known, load_width: float) -> Derived:
    """Every case of snow, of which one acts at a time; drifts that count as accidents apart."""
    ground, doubts = _ground(design, known)
    form = roof_form(design)
    if form is None:
        message = "The roof is neither level, nor one slope, nor two that meet in a ridge, so its snow is not worked out."
        return doubts + open_doubt("snow", message, "What is the snow load on the roof? Give its cases under actions.", "/actions")
    if ground is None:
        return doubts
    mu = {name: _mu(design, known, name, side) for name, side in form.sides.items()}
    snow = SnowOn(design, known, form, known.sheet(width(load_width), *ground), mu)
    found = sum(_drifted(snow), doubts + _even(snow))
    lying = tuple(each.action.id for each in found.derivations)
    return found + drifts(snow.design, known, form, snow.sheet, mu, lying)


def _ground(design: Design, known: Known) -> tuple[tuple[Given, ...] | None, Derived]:
    """Snow on the ground: by zone and altitude where a pack in force says how, or as stated; both only if they agree."""
    site = design.site
    own = site.snow_ground_kn_per_m2
    by_zone = site.snow_zone is not None and "ground_snow" in known.book
    if by_zone and site.altitude_m is None:
        ask = "How high does the site lie? (site.altitude_m)"
        return None, open_doubt("snow", "The zone's snow depends on the altitude, which is not stated.", ask, "/site/altitude_m")
    if not by_zone and own is None:
        ask = "What is the characteristic snow load on the ground, and which edition does it come from? (site.snow_ground_kn_per_m2, or snow_zone)"
        return None, open_doubt(
            "snow", "Neither a snow zone that a pack in force knows nor the snow on the ground is stated.", ask, "/site"
        )
    if own == 0.0 and not by_zone:
        ask = 'If no snow falls there, decline it: {"id": "no-snow", "nature": "snow", "declines": "snow", "none_because": "…"} (actions)'
        return None, open_doubt("snow", "The snow on the ground is stated as nothing.", ask, "/site/snow_ground_kn_per_m2")
    stated_ground = None if own is None else stated("ground_snow", "s_k", "kN/m²", _source(design), own)
    if not by_zone:
        assert stated_ground is not None
        return (stated_ground,), _edition(design)
    zone = (
        stated("snow_zone", "Z", "1", "zone of the snow map", float(site.snow_zone or 0.0)),
        stated("site_altitude", "A", "m", "altitude of the site", float(site.altitude_m or 0.0)),
    )
    return _agreed(zone, stated_ground, known.sheet(*zone)["ground_snow"])


def _agreed(zone: tuple[Given, ...], own: Given | None, by_zone: float) -> tuple[tuple[Given, ...] | None, Derived]:
    if by_zone <= 0.0:
        message = f"Zone and altitude give {by_zone:.3g} kN/m² of snow on the ground."
        return None, open_doubt("snow", message, "What is the snow on the ground? (site.snow_ground_kn_per_m2)", "/site/snow_zone")
    if own is None or abs(own.value - by_zone) <= SAME * by_zone:
        return zone, Derived()
    message = f"The snow zone gives {by_zone:.3g} kN/m² on the ground, the design states {own.value:g} kN/m²; the greater is used until one is withdrawn."
    doubt = open_doubt(
        "snow-ground", message, "Which of the two holds? (site.snow_zone, site.snow_ground_kn_per_m2)", "/site/snow_ground_kn_per_m2"
    )
    return ((own,) if own.value > by_zone else zone), doubt


def _source(design: Design) -> str:
    return f"snow on the ground, {design.site.snow_ground_edition or 'edition not stated'}"


def _edition(design: Design) -> Derived:
    if design.site.snow_ground_edition:
        return Derived()
    message = "The snow on the ground is stated without the edition of the map or annex it comes from; an early one may hold a mistake since put right."
    return open_doubt("snow-ground", message, "Which edition does it come from? (site.snow_ground_edition)", "/site/snow_ground_edition")


def _mu(design: Design, known: Known, name: str, side: Side) -> Given:
    """The shape coefficient of a slope as snow falls; not below a least one where snow is kept from sliding off."""
    found = known.between("mu_1", side.pitch_deg)
    assert found is not None, "the table reaches from level to upright"
    roof = design.roof
    keeps = roof is not None and (bool(roof.snow_guards) or any(each.side == name for each in roof.parapets))
    least = known.values["mu_kept"]
    if keeps and found.value < known.number("mu_kept"):
        return Given("mu", found.symbol, "1", least.what, known.number("mu_kept"), number=least)
    return found


def _even(snow: SnowOn) -> Derived:
    sheets = {name: snow.side(name) for name in snow.form.sides}
    loads: list[Load] = [load for name, sheet in sheets.items() for load in laid(snow.form.sides[name].pieces, sheet["snow_line"], "plan")]
    eaves = list(_over_the_eaves(snow, sheets))
    loads += [load for _, load in eaves]
    hanging = {name for name, _ in eaves}
    shown = {name: ("snow_line", *(("eaves_point",) if name in hanging else ())) for name in sheets}
    steps = _together(*((sheet, shown[name]) for name, sheet in sheets.items()))
    action = Action("snow-even", "snow", one_of=GROUP, loads=tuple(loads))
    return Derived((Derivation(action, "snow as it falls, on every slope", steps),)) if any(map(_weighs, loads)) else _bare(steps)


def _bare(steps: tuple[Step, ...]) -> Derived:
    """A roof too steep for snow to lie on: said, and not forgotten."""
    told = "no snow lies on slopes of 60° and more"
    declined = Action("no-snow", "snow", declines="snow", none_because=told)
    return Derived((Derivation(declined, told, steps),))


def _weighs(load: Load) -> bool:
    return isinstance(load, PointLoad) or getattr(load, "line_kn_per_m", 0.0) > 0.0


def _over_the_eaves(snow: SnowOn, sheets: dict[str, Sheet]) -> Iterator[tuple[str, Load]]:
    """High up, snow hangs over the eaves and weighs on the end of the rafter."""
    altitude = snow.design.site.altitude_m
    if altitude is None or altitude <= snow.known.number("overhang_above"):
        return
    for name, edge, wall in snow.form.eaves():
        sheet = sheets[name]
        if sheet["roof_snow"] > 0.0 and abs(edge - wall) > 1.0:
            piece = next(p for p in snow.form.sides[name].pieces if edge in (p.low_x, p.high_x))
            yield name, PointLoad(piece.member, nine(abs(piece.along(edge))), nine(sheet["eaves_point"]), direction="down")


def _drifted(snow: SnowOn) -> Iterator[Derived]:
    """Snow that has gone from one slope of two, half of it or all of it onto the other, to each side."""
    if snow.form.kind != "duopitch":
        return
    leeward = snow.known.word("snow_drifted") == "leeward"
    for name, side in snow.form.sides.items():
        if side.pitch_deg > snow.known.number("drifted_above"):
            yield _all_on(snow, name) if leeward else _less_beside(snow, name)


def _all_on(snow: SnowOn, name: str) -> Derived:
    mu = snow.known.between("mu_drifted", snow.form.sides[name].pitch_deg)
    assert mu is not None, "the table reaches from level to upright"
    sheet = snow.side(name, mu)
    action = Action(f"snow-drifted-{name}", "snow", one_of=GROUP, loads=laid(snow.form.sides[name].pieces, sheet["snow_line"], "plan"))
    return one(action, f"snow drifted to the {name} slope, the other bare", sheet, "snow_line") if sheet["snow_line"] > 0.0 else Derived()


def _less_beside(snow: SnowOn, name: str) -> Derived:
    beside = next(other for other in snow.form.sides if other != name)
    full, other = snow.side(name), snow.side(beside)
    half = snow.side(beside, stated("mu", "μ", "1", "half of it", other["half_mu"]))
    loads = (
        *laid(snow.form.sides[name].pieces, full["snow_line"], "plan"),
        *laid(snow.form.sides[beside].pieces, half["snow_line"], "plan"),
    )
    if not any(map(_weighs, loads)):
        return Derived()
    steps = _together((full, ("snow_line",)), (other, ("half_mu",)), (half, ("snow_line",)))
    action = Action(f"snow-drifted-{name}", "snow", one_of=GROUP, loads=loads)
    return Derived((Derivation(action, f"snow drifted to the {name} slope, half of it gone from the other", steps),))


def _together(*shown: tuple[Sheet, Sequence[str]]) -> tuple[Step, ...]:
    return tuple(dict.fromkeys(step for sheet, names in shown for step in sheet.steps(*names)))
