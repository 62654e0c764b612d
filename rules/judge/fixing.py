"""Fasteners at one place with the timber they pass through and end in, and what of them is asked for there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rules.subject.fastening import Fasteners
from rules.subject.material import Material

DENSITY, BEARING, TENSION, SHEAR = "rho_k_kg_per_m3", "f_c_90_k_mpa", "f_t_0_k_mpa", "f_v_k_mpa"


@dataclass(frozen=True, slots=True)
class Fixing:
    """Fasteners at one place; None: none there. through_mm: of the timber on the head's side, nought under steel; room_mm: of that on the
    point's side, along the fastener; crosswise_mm: of that, square to the fastener and to the grain; head, point: their materials. needs_plate:
    a strap or hanger, whose steel must be known; outside: what the points end in is no piece of the design; one_of_many: crossings alike lie close
    together and share what a single one cannot take."""

    fasteners: Fasteners | None
    through_mm: float = 0.0
    room_mm: float = math.nan
    crosswise_mm: float = math.nan
    head: tuple[Material | None, ...] = ()
    point: tuple[Material | None, ...] = ()
    needs_plate: bool = False
    outside: bool = False
    one_of_many: bool = False

    def number(self, field: str) -> float:
        """As stated; NaN where it is not, or is invented."""
        value = getattr(self.fasteners, field) if self.fasteners and not self.fasteners.invented else None
        return math.nan if value is None else float(value)

    def on_demand(self, field: str, asked: bool) -> float:
        """As stated; where it is not, a question if it is asked for and nought if it is not."""
        value = self.number(field)
        return 0.0 if math.isnan(value) and not asked else value

    def least(self, field: str, sides: str) -> float:
        """Of the timbers on these sides; NaN where one of them is not known. Under steel the head's side is the point's."""
        return float(np.min(self._each(field, sides)))

    def greatest(self, field: str, sides: str) -> float:
        """The same, of the timber that has most of it."""
        return float(np.max(self._each(field, sides)))

    def _each(self, field: str, sides: str) -> list[float]:
        timbers = [each for side in sides.split() for each in (getattr(self, side) or self.point)]
        return [math.nan if each is None or each.invented else each.properties.get(field, math.nan) for each in timbers] or [math.nan]

    @property
    def in_row(self) -> float:
        """How many stand in one line."""
        fasteners = self.fasteners
        return math.nan if fasteners is None else float(fasteners.in_row or fasteners.count)

    @property
    def in_line(self) -> float:
        """The same where it is stated, or there is but one; NaN where it is not, since all in one line are the fewest side by side."""
        told = self.fasteners is not None and (self.fasteners.in_row is not None or self.fasteners.count == 1)
        return self.in_row if told else math.nan

    @property
    def family(self) -> str | None:
        """By which the least distances are told apart."""
        fasteners = self.fasteners
        if fasteners is None or fasteners.kind == "bolt":
            return None if fasteners is None else "bolt"
        return ("drilled " if fasteners.predrilled else "driven ") + fasteners.kind

    @property
    def form(self) -> str | None:
        """Of the shank; screws hold like ringed nails, bolts are smooth and round."""
        return None if self.fasteners is None else {"screw": "other", "bolt": "round"}.get(self.fasteners.kind, self.fasteners.form)

    def is_a(self, *kinds: str) -> bool:
        """Whether the fasteners are of one of these kinds."""
        return self.fasteners is not None and self.fasteners.kind in kinds

    @property
    def is_smooth(self) -> bool:
        """A smooth round nail."""
        return self.is_a("nail") and self.form == "round"

    @property
    def drawn(self) -> bool:
        """Pulled along, or along and across at once."""
        return self.fasteners is not None and self.fasteners.pulled in ("along", "both")

    @property
    def is_several_under_steel(self) -> bool:
        """Two or more through steel, a strap or hanger's among them whose thickness is not stated, unless they are said to be drawn along alone."""
        fasteners = self.fasteners
        if fasteners is None or fasteners.count < 2 or fasteners.pulled in ("along", "along-end-grain"):
            return False
        return self.needs_plate or fasteners.plate_mm is not None

    @property
    def pulled_both_ways(self) -> bool:
        """Pulled along and across at once."""
        return self.fasteners is not None and self.fasteners.pulled == "both"

    @property
    def plate_mm(self) -> float:
        """Of the steel under the head."""
        return self.on_demand("plate_mm", self.needs_plate)

    @property
    def reach_mm(self) -> float:
        """From the edge they pull towards to the farthest; where that is not stated, to the nearest edge, which is no farther. Nought where
        nothing pulls across them."""
        if self.fasteners is None or self.fasteners.pulled not in (None, "across", "both"):
            return 0.0
        return self.number("edge_to_farthest_mm") if self.says_reach else self.number("edge_mm")

    @property
    def says_reach(self) -> bool:
        """Whether it is stated how far the farthest is from the edge they pull towards."""
        return self.fasteners is not None and self.fasteners.edge_to_farthest_mm is not None

    @property
    def in_hardwood(self) -> bool:
        """Whether their points end in solid timber that is not known to be softwood."""
        return any(each is not None and each.kind == "solid-timber" and each.softwood is not True for each in self.point)
