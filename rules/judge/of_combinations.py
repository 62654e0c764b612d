"""What holds of whole combinations, wherever one looks at them: duration, equation, service class, floors. Worked out once a set."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.judge.trusses import is_node_loaded
from rules.library.evidence import Given
from rules.library.labels import Labels
from rules.subject.actions import Load, PointLoad
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]
FORCE_FLOOR = 1e-3
MOMENT_FLOOR = 1e-1
"""N and N·mm: far below anything a frame feels, far above the solver's round-off."""
MARKING_ASK = 'Is each piece marked with its grade, or only the package? (materials.marking: "piece" or "package")'
ALTITUDE_ASK = "How high does the site lie? (site.altitude_m)"


@dataclass(frozen=True)
class OfCombinations:
    """Of one set of combinations."""

    frame: Frame
    base: CombinationSet

    def of(self, rows: NDArray[np.intp]) -> dict[str, Given]:
        """In these rows, each a combination of the set."""
        spread = {name: replace(each, value=_rows_of(each.value, rows)) for name, each in self.varying.items()}
        return spread | self.constant

    @cached_property
    def varying(self) -> dict[str, Given]:
        """Of each combination, (K,)."""
        base = self.base
        ask = self.frame.ask or "How long does each action last? (actions, duration)"
        small = "greatest of the concentrated loads, such as a person"
        return named(
            Given("duration", "duration", "", "shortest load duration in the combination", Labels.of(base.durations), ask),
            Given("equation", "equation", "", "which combination of the code", Labels.of(base.equations)),
            Given("permanent_over_variable", "P_L/P_S", "1", "all permanent over the other vertical load, unfactored", self._heavy()),
            Given("is_accidental", "accidental", "", "accidental combination", base.accidental),
            Given("small_load", "F", "N", small, self._points()),
        )

    @cached_property
    def constant(self) -> dict[str, Given]:
        """Of the whole design."""
        settled, design = self.frame.settled, self.frame.settled.design
        altitude = math.nan if design.site.altitude_m is None else design.site.altitude_m
        return named(
            Given("service_class", "service class", "", "service class", Labels.one(str(settled.service_class))),
            Given("marking", "marking", "", "how the timber is marked", Labels.one(design.marking), MARKING_ASK),
            Given("is_node_loaded_truss", "node loads", "", "a truss loaded at its nodes only", np.array(is_node_loaded(design))),
            Given("altitude_m", "A", "m", "height above sea level", altitude, ALTITUDE_ASK),
            Given("axial_floor", "0", "N", "force below which nothing is judged", FORCE_FLOOR),
            Given("moment_floor", "0", "N·mm", "moment below which nothing is judged", MOMENT_FLOOR),
        )

    def _points(self) -> Floats:
        """N: the greatest concentrated load among the actions of each combination; 0 without any."""
        points = [1000.0 * _concentrated(each.action.loads) for each in self.frame.settled.actions]
        return np.asarray((self.base.present * np.array(points)).max(axis=1, initial=0.0))

    def _heavy(self) -> Floats:
        """All permanent load over the other load that takes part, by the vertical forces they put on the bearings."""
        base = self.base
        down = np.abs(self.frame.response.reactions[: len(base.actions), :, 1].sum(axis=1))
        permanent = np.array(base.permanent, dtype=np.bool_)
        return np.asarray(down[permanent].sum() / np.maximum((base.present & ~permanent) @ down, FORCE_FLOOR), dtype=np.float64)


def _rows_of(value: Labels | NDArray[np.generic], rows: NDArray[np.intp]) -> Labels | NDArray[np.generic]:
    """As a column over these rows."""
    return value.spread(rows).down() if isinstance(value, Labels) else value[rows][:, None]


def _concentrated(loads: Sequence[Load]) -> float:
    """kN of the point loads of an action together; one that may stand anywhere is given for every piece it may stand on, and is one all the same."""
    points = [load for load in loads if isinstance(load, PointLoad)]
    roving = max((load.point_kn or 0.0 for load in points if load.anywhere), default=0.0)
    return roving + sum(load.point_kn or 0.0 for load in points if not load.anywhere)
