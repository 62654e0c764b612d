"""Which part of a roof lies in which zone of the wind's pressure, EN 1991-1-4 7.2.3 to 7.2.5: strips on plan, by where the wind comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.library import Given, Known, Sheet
from rules.packs.eurocode_basis.loads.surfaces import RoofForm

LEAST_OVERHANG_MM = 100.0
"""A roof that stands out less than this offers the wind below it nothing to lift."""


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
    """What every case starts from: the roof, and the sheet with all that leads to the pressure. inner: never near a gable; across, along:
    the length e by which zones go, mm, for wind across and along the ridge; parapets: height over that of the roof, by side."""

    known: Known
    form: RoofForm
    sheet: Sheet
    inner: bool
    across: float
    along: float
    inside: Mapping[str, Given]
    parapets: Mapping[str, float]

    @property
    def is_flat(self) -> bool:
        """Whether every slope is too flat for the tables of pitched roofs."""
        return all(side.pitch_deg < self.known.number("flat_below") for side in self.form.sides.values())

    @property
    def eave_zone(self) -> str:
        """The zone along the windward edge: at the corner, or between the corners."""
        return "G" if self.inner else "F"

    def windward(self, side: str) -> tuple[float, float, float]:
        """Edge and wall that the wind from this side meets first, and the way it goes from there: 1 or -1."""
        low, high = self.form.extent
        return (low, self.form.walls[0], 1.0) if side == "left" else (high, self.form.walls[1], -1.0)


Reach = tuple[str, float]
"""A zone and how far it reaches, mm from the windward edge."""


def strips_across(wind: WindOn, side: str) -> Iterator[Strip]:
    """Windward face: a strip at its edge and the rest; leeward face: a strip behind the ridge and the rest."""
    strip = wind.across * wind.known.number("strip")
    edge, _, turn = wind.windward(side)
    faces = wind.form.sides
    first = faces.get(side) or next(iter(faces.values()))
    ridge = first.high if side == "left" else first.low
    yield from parted(wind, side, [(wind.eave_zone, strip), ("H", abs(ridge - edge))], first.pitch_deg)
    other = next((face for name, face in faces.items() if name != side), None) if len(faces) == 2 else None
    if other is not None:
        far = other.high if side == "left" else other.low
        yield laid_out("J", ridge, ridge + turn * min(strip, abs(far - ridge)), other.pitch_deg)
        if abs(far - ridge) > strip:
            yield laid_out("I", ridge + turn * strip, far, other.pitch_deg)


def parted(wind: WindOn, side: str, reaches: Sequence[Reach], pitch: float) -> Iterator[Strip]:
    """Zones one behind the other from the windward edge, the last as far as the face goes, parted where the roof leaves its wall."""
    edge, wall, turn = wind.windward(side)
    out, end, start = turn * (wall - edge), reaches[-1][1], 0.0
    over = out if out >= LEAST_OVERHANG_MM else 0.0
    for zone, reach in reaches:
        stop = min(reach, end)
        for first, last, outside in ((start, min(stop, over), True), (max(start, over), stop, False)):
            if last > first:
                yield laid_out(zone, edge + turn * first, edge + turn * last, pitch, over=outside)
        start = max(start, stop)


def strips_along(wind: WindOn) -> Iterator[Strip]:
    """Wind along the ridge: the strip next to the gable, or the zone behind it."""
    corner = wind.along * wind.known.number("corner")
    for name, side in wind.form.sides.items():
        if wind.inner:
            yield laid_out("H", side.low, side.high, side.pitch_deg)
            continue
        names = ("F", "G") if wind.form.kind == "duopitch" else ("F-low", "G")
        edge, turn = (side.low, 1.0) if name == "left" else (side.high, -1.0)
        reach = min(corner, side.high - side.low)
        yield laid_out(names[0], edge, edge + turn * reach, side.pitch_deg)
        far = side.high if turn > 0 else side.low
        upper = min(corner, max(side.high - side.low - reach, 0.0)) if wind.form.kind == "monopitch" else 0.0
        if side.high - side.low > reach + upper:
            yield laid_out(names[1], edge + turn * reach, far - turn * upper, side.pitch_deg)
        if upper > 0.0:
            yield laid_out("F-up", far - turn * upper, far, side.pitch_deg)


def laid_out(zone: str, one: float, other: float, pitch: float, *, over: bool = False) -> Strip:
    """A strip between two places in either order."""
    return Strip(zone, min(one, other), max(one, other), pitch, over)
