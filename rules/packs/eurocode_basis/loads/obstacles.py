"""Snow drifted against higher buildings and parapets, and into valleys: lasting, or by Annex B an accident."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.library import Derivation, Derived, Given, Known, Sheet
from rules.packs.eurocode_basis.loads.asking import open_doubt, stated
from rules.packs.eurocode_basis.loads.surfaces import RoofForm, laid
from rules.subject.actions import Action, LineLoad
from rules.subject.design import Design
from rules.subject.site import Neighbour, Parapet

MM = 1000.0


@dataclass(frozen=True, slots=True)
class Drift:
    """A drift at one side of the roof: kN/m at the obstacle and at its far end, length in mm; rest: whether snow lies beyond it.

    where, what: for its id and in words; sheet, shown: its working.
    """

    side: str
    where: str
    what: str
    at: float
    far: float | None
    length: float
    sheet: Sheet
    shown: tuple[str, ...]


def drifts(design: Design, known: Known, form: RoofForm, sheet: Sheet, mu: Mapping[str, Given], lying: Sequence[str]) -> Derived:
    """A case for every obstacle stated. lying: the cases of snow that lies without it, which an accidental drift never joins."""
    roof = design.roof
    if roof is None:
        return Derived()
    accident = known.word("snow_at_obstacles") == "accidental"
    place = Site(known, form, sheet, mu, accident)
    found = Derived()
    for i, neighbour in enumerate(roof.neighbours):
        found += place.beside(neighbour, f"/roof/neighbours/{i}", lying)
    for parapet in roof.parapets:
        found += place.case(place.parapet(parapet), lying)
    return found


@dataclass(frozen=True, slots=True)
class Site:
    """What every drift starts from."""

    known: Known
    form: RoofForm
    sheet: Sheet
    mu: Mapping[str, Given]
    accident: bool

    @property
    def own_width(self) -> float:
        """From eaves to eaves, m."""
        low, high = self.form.extent
        return (high - low) / MM

    def beside(self, neighbour: Neighbour, pointer: str, lying: Sequence[str]) -> Derived:
        """The drift against a neighbour, or the question that stands in the way."""
        if neighbour.what == "roof":
            return self._valley(neighbour, pointer, lying)
        if neighbour.rise_m is None or neighbour.width_m is None:
            ask = "How far does the higher building rise above this roof, and how wide is it? (roof.neighbours, rise_m, width_m)"
            return open_doubt(
                f"snow-at-wall-{neighbour.side}", "Snow drifts against the higher building, by how much is not known.", ask, pointer
            )
        return self.case(self._wall(neighbour), lying)

    def _wall(self, neighbour: Neighbour) -> Drift:
        upper = self.known.between("mu_1", neighbour.pitch_deg or 0.0)
        assert upper is not None, "the table reaches from level to upright"
        rise, wide = neighbour.rise_m or 0.0, neighbour.width_m or 0.0
        sheet = self.sheet.with_given(
            stated("rise", "h", "m", "rise of the wall above this roof", rise),
            stated("upper_width", "b_1", "m", "width of the higher building", wide),
            stated("own_width", "b_2", "m", "width of this roof", self.own_width),
            stated("widest", "b", "m", "the greater of the two widths", max(wide, self.own_width)),
            stated("upper_pitch", "α_1", "deg", "pitch of the upper slope that falls this way", neighbour.pitch_deg or 0.0),
            Given("upper_mu", upper.symbol, upper.unit, f"upper roof: {upper.what}", upper.value, number=upper.number),
        )
        return self._drift(
            neighbour.side, f"wall-{neighbour.side}", "drifted against the higher building", sheet, "mu_at_wall", "wall_drift_length"
        )

    def parapet(self, parapet: Parapet) -> Drift:
        """The drift behind a parapet."""
        sheet = self.sheet.with_given(
            stated("rise", "h", "m", "height of the parapet above this roof", parapet.height_m),
            stated("own_width", "b_1", "m", "width of this roof", self.own_width),
            stated("widest", "b", "m", "width of this roof", self.own_width),
        )
        return self._drift(parapet.side, f"parapet-{parapet.side}", "drifted behind the parapet", sheet, "mu_obstacle", "wall_drift_length")

    def _drift(self, side: str, where: str, what: str, sheet: Sheet, lasting: str, lasting_length: str) -> Drift:
        shape, reach = ("mu_accident", "accident_length") if self.accident else (lasting, lasting_length)
        heaped = _with_mu(sheet, stated("mu", "μ", "1", "at the obstacle", sheet[shape]))
        far = None if self.accident else _with_mu(sheet, self.mu.get(side, next(iter(self.mu.values()))))["snow_line"]
        return Drift(side, where, what, heaped["snow_line"], far, sheet[reach] * MM, heaped, (shape, reach, "snow_line"))

    def _valley(self, neighbour: Neighbour, pointer: str, lying: Sequence[str]) -> Derived:
        own = self.form.sides.get(neighbour.side)
        if own is None or neighbour.pitch_deg is None:
            ask = "Which slope of what pitch meets this roof there? (roof.neighbours, side, pitch_deg)"
            return open_doubt(f"snow-in-valley-{neighbour.side}", "Snow gathers in the valley, by how much is not known.", ask, pointer)
        across = (own.high - own.low) / MM
        mean = (own.pitch_deg + neighbour.pitch_deg) / 2.0
        between = self.known.between("mu_2", mean)
        if between is None:
            ask = "What is the snow load in the valley? Give it under actions."
            return open_doubt(f"snow-in-valley-{neighbour.side}", f"No snow is known for a valley of {mean:.3g}° slopes.", ask, pointer)
        sheet = self.sheet.with_given(*self._blown(neighbour, across, own.pitch_deg), between)
        shape = "mu_accident_valley" if self.accident else "mu_2"
        heaped = _with_mu(sheet, stated("mu", "μ", "1", "in the valley", sheet[shape]))
        far = None if self.accident else _with_mu(sheet, self.mu[neighbour.side])["snow_line"]
        what = "gathered in the valley"
        drift = Drift(neighbour.side, f"valley-{neighbour.side}", what, heaped["snow_line"], far, across * MM, heaped, (shape, "snow_line"))
        return self.case(drift, lying) + (self._width_asked(neighbour, pointer) if self.accident else Derived())

    def _blown(self, neighbour: Neighbour, across: float, pitch: float) -> tuple[Given, ...]:
        """What may blow into a valley: all of either roof with the slope beyond, the wider way; of the roof beyond, a slope is taken as half
        its width, and the whole as twice this slope where nobody states it. The higher ridge counts."""
        wide = neighbour.width_m or 2.0 * across
        beyond = wide / 2.0
        ridge = max(across * math.tan(math.radians(pitch)), beyond * math.tan(math.radians(neighbour.pitch_deg or 0.0)))
        return (
            stated("rise", "h", "m", "rise of the higher ridge above the valley", neighbour.rise_m or ridge),
            stated(
                "blown_length", "b_3", "m", "roof from which snow may blow into the valley", max(self.own_width + beyond, wide + across)
            ),
            stated("valley_length", "l_s1 + l_s2", "m", "both slopes of the valley on plan", across + beyond),
        )

    def _width_asked(self, neighbour: Neighbour, pointer: str) -> Derived:
        if neighbour.width_m is not None:
            return Derived()
        message = "How wide the roof beyond the valley is, nobody says: the drift is worked out as if its slopes were like this one, and a wider roof brings more."
        return open_doubt(
            f"snow-in-valley-{neighbour.side}", message, "How wide is the roof beyond the valley? (roof.neighbours, width_m)", pointer
        )

    def case(self, drift: Drift, lying: Sequence[str]) -> Derived:
        """The load case: falling away from the obstacle to the snow beyond it, or by Annex B to nothing on a roof else bare."""
        words, steps = f"snow {drift.what} on the {drift.side}", drift.sheet.steps(*drift.shown)
        loads = (*self._heap(drift), *self._beyond(drift))
        if self.accident:
            action = Action(f"snow-{drift.where}", "accidental", duration=self._lasts(), never_with=tuple(lying), loads=loads)
            return Derived((Derivation(action, f"{words}, as an accident, no other snow", steps),))
        return Derived((Derivation(Action(f"snow-{drift.where}", "snow", one_of="snow", loads=loads), words, steps),))

    def _lasts(self) -> str | None:
        """As long as other snow: an accident by its rarity, not by its shortness."""
        table = self.known.values["duration"].table
        found = table.look_up(["snow", None]) if table else None
        return found if isinstance(found, str) else None

    def _reach(self, drift: Drift) -> tuple[float, float]:
        low, high = self.form.extent
        return (low, low + drift.length) if drift.side == "left" else (high - drift.length, high)

    def _heap(self, drift: Drift) -> tuple[LineLoad, ...]:
        low, high = self._reach(drift)
        far = drift.far or 0.0
        first, last = (drift.at, far) if drift.side == "left" else (far, drift.at)
        pieces = [piece for side in self.form.sides.values() for piece in side.pieces]
        return laid(pieces, first, "plan", low=low, high=high, end=last)

    def _beyond(self, drift: Drift) -> tuple[LineLoad, ...]:
        """Snow as it falls, where the drift does not reach."""
        if drift.far is None:
            return ()
        low, high = self._reach(drift)
        rest = (high, math.inf) if drift.side == "left" else (-math.inf, low)
        lines = {name: _with_mu(self.sheet, self.mu[name])["snow_line"] for name in self.form.sides}
        return tuple(
            load for name, side in self.form.sides.items() for load in laid(side.pieces, lines[name], "plan", low=rest[0], high=rest[1])
        )


def _with_mu(sheet: Sheet, mu: Given) -> Sheet:
    return sheet.with_given(Given("mu", mu.symbol, mu.unit, mu.what, mu.value, number=mu.number))
