"""A settled design that has been solved: what gathering, judging and reporting all start from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import solver
from rules.judge.geometry import Geometry
from rules.judge.restraints import Reliance, reliances
from rules.judge.slip import Slip
from rules.judge.standing import Alternatives
from rules.library import Derived
from rules.library.choosing import Selection
from rules.subject.actions import Action
from rules.subject.settled import Settled


@dataclass(frozen=True)
class Frame:
    """settled, selection, geometry: of the design; response: the solver's, its rows the characteristic cases of the settled actions
    and, after them, those of loads that may stand anywhere or act in part, told apart by alternatives. cases: the loads of the
    settled actions, without the latter; moving: the loads of those. derived: how those came about that are not the design's own.
    firm: the same of pieces that hardly bend, where the simplified analysis was chosen. slip: of joints, in movements."""

    settled: Settled
    selection: Selection
    geometry: Geometry
    response: solver.Response
    cases: tuple[solver.Case, ...]
    alternatives: tuple[Alternatives, ...] = ()
    moving: tuple[solver.Case, ...] = ()
    derived: Derived = Derived()
    firm: solver.Response | None = None
    slip: Slip = Slip()

    @cached_property
    def reliances(self) -> tuple[Reliance, ...]:
        """Every restraint its pieces rely on."""
        return reliances(self.settled.design, self.geometry)

    @cached_property
    def own(self) -> tuple[Action, ...]:
        """Actions with loads that the design states itself, beside those that were worked out."""
        derived = {each.action.id for each in self.derived.derivations if not each.replaced}
        return tuple(action for action in self.settled.design.actions if action.loads and action.id not in derived)

    @property
    def width_mm(self) -> float | None:
        """The width that loads one component; None: not stated."""
        return self.settled.design.load_width_mm or self.settled.design.spacing_mm

    @property
    def ask(self) -> str:
        """What must be answered before every combination has numbers; empty when all have."""
        return " ".join(self.settled.questions)
