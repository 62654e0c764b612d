"""What holds of whole combinations, wherever one looks at them: duration, equation, service class, floors. Worked out once a set."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rules.judge.arranging import Arrangement
from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.judge.trusses import is_node_loaded
from rules.library.given import Given, taken
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
class OfDesign:
    """What holds whichever combination acts: worked out once, for every set."""

    frame: Frame

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

    @cached_property
    def points(self) -> Floats:
        """(actions,) N: the concentrated loads of each."""
        return np.array([1000.0 * _concentrated(each.action.loads) for each in self.frame.settled.actions])

    @cached_property
    def down(self) -> Floats:
        """(actions,) N: the vertical force that each puts on the bearings."""
        pushed = self.frame.response.reactions[: len(self.frame.settled.actions), :, 1]
        return np.asarray(np.abs(pushed.sum(axis=1)), dtype=np.float64)


@dataclass(frozen=True)
class OfCombinations:
    """Of one set of combinations."""

    whole: OfDesign
    base: CombinationSet

    @property
    def frame(self) -> Frame:
        """The frame they act on."""
        return self.whole.frame

    def of(self, arranged: Arrangement) -> dict[str, Given]:
        """In the rows of this arrangement."""
        every = np.arange(len(self.base))
        return self.each_once if np.array_equal(arranged.rows, every) else self._in(arranged.rows)

    @cached_property
    def each_once(self) -> dict[str, Given]:
        """Where nothing roves and nothing is solved twice over: then every axis takes the combinations as they are."""
        return self._in(np.arange(len(self.base)))

    def _in(self, rows: NDArray[np.intp]) -> dict[str, Given]:
        """In these rows, each a combination of the set."""
        base = self.base
        ask = self.frame.ask or "How long does each action last? (actions, duration)"
        small = "greatest of the concentrated loads, such as a person"
        varying = named(
            Given("duration", "duration", "", "shortest load duration in the combination", _down(base.durations, rows), ask),
            Given("equation", "equation", "", "which combination of the code", _down(base.equations, rows)),
            Given("permanent_over_variable", "P_L/P_S", "1", "all permanent over the other vertical load, unfactored", self._heavy[rows]),
            Given("is_accidental", "accidental", "", "accidental combination", taken(base.accidental[:, None], rows)),
            Given("small_load", "F", "N", small, taken(self._points, rows)),
        )
        return varying | self.whole.constant

    @cached_property
    def _points(self) -> Floats:
        """(K, 1) N: the greatest concentrated load among the actions of each combination; 0 without any."""
        return np.asarray((self.base.present * self.whole.points).max(axis=1, initial=0.0, keepdims=True))

    @cached_property
    def _heavy(self) -> Floats:
        """(K, 1) all permanent load over the other load that takes part, by the vertical forces they put on the bearings."""
        base, down = self.base, self.whole.down
        permanent = np.array(base.permanent, dtype=np.bool_)
        other = np.maximum((base.present & ~permanent) @ down, FORCE_FLOOR)
        return np.asarray(down[permanent].sum() / other, dtype=np.float64)[:, None]


def _down(words: Sequence[str | None], rows: NDArray[np.intp]) -> Labels:
    """As a column over these rows."""
    return Labels.of(words).spread(rows).down()


def _concentrated(loads: Sequence[Load]) -> float:
    """kN of the point loads of an action together; one that may stand anywhere is given for every piece it may stand on, and is one all the same."""
    points = [load for load in loads if isinstance(load, PointLoad)]
    roving = max((load.point_kn or 0.0 for load in points if load.anywhere), default=0.0)
    return roving + sum(load.point_kn or 0.0 for load in points if not load.anywhere)
