"""Where every element goes furthest under a rule: the combination, the place along it, and demand and limit there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis, Rows
from rules.judge.sweeping import TIE, Reach, Swept
from rules.library.rule import Rule

Floats = NDArray[np.float64]
TRACKS = {"decided": "known_ratio", "hidden": "hidden_size", "doubtful": "doubtful_ratio"}
"""What is swept -> the array of a Reach it is the greatest of."""


@dataclass(frozen=True, slots=True)
class Peak:
    """Where one element goes furthest: the combination, the place, and demand and limit there."""

    place: tuple[int, int]
    demand: float
    limit: float

    @property
    def exceeds(self) -> bool:
        """Beyond round-off."""
        return self.demand > self.limit * (1.0 + TIE)

    @property
    def numbers(self) -> dict[str, Any]:
        """Those that are numbers."""
        numbers = {name: number for name, number in (("demand", self.demand), ("limit", self.limit)) if math.isfinite(number)}
        if self.limit > 0.0 and math.isfinite(self.demand / self.limit):
            numbers["utilisation"] = self.demand / self.limit
        return numbers

    def where(self, axis: Axis, key: tuple[str, str]) -> dict[str, Any]:
        """For a judgement."""
        column = self.place[1]
        at = None if axis.at is None else float(axis.at[column])
        return {"axis": key, "place": self.place, "at_mm": at, "spot": axis.spots[column] if axis.spots else None}


def peaks(rule: Rule, axis: Axis, swept: Swept, track: str) -> list[Peak | None]:
    """Of every element; None where it goes nowhere."""
    found: list[Peak | None] = [None] * len(axis.ids)
    most = swept.furthest(track)
    held = [axis.of(row) for row in most.rows.tolist()]
    there = np.array([place for _, place in held], dtype=np.intp)
    for evidence in {id(evidence): evidence for evidence, _ in held}.values():
        reach = swept.reach(rule, axis, evidence)
        assert reach is not None
        own = np.flatnonzero([each is evidence for each, _ in held])
        columns = _first(reach, getattr(reach, TRACKS[track]), most.elements[own], there[own], most.floors[own])
        sides = zip(*(reach.at(side, there[own], columns).tolist() for side in (reach.demand, reach.limit)), strict=True)
        whose = zip(most.elements[own].tolist(), most.rows[own].tolist(), columns.tolist(), sides, strict=True)
        for element, row, column, (demand, limit) in whose:
            found[element] = Peak((row, column), demand, limit)
    return found


def _first(reach: Reach, values: Floats, elements: Rows, there: Rows, floors: Floats) -> Rows:
    """The first place of each of these elements, in its row, that counts as its furthest."""
    columns, starts, own = reach.axis.places_of(elements)
    along = reach.at(values, there[own], columns)
    hit = along >= np.fmin(floors, np.maximum.reduceat(along, starts))[own]
    first = np.minimum.reduceat(np.where(hit, columns, reach.axis.shape[1]), starts)
    return np.asarray(np.where(first < reach.axis.shape[1], first, columns[starts]))
