"""Loads that may stand anywhere, and loads that may act in part: their alternatives, and where the worst of them stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.geometry import Geometry
from rules.judge.mechanics import load_of
from rules.subject.actions import Action, Load, PointLoad
from rules.subject.design import Design

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Place:
    """Where one alternative stands: a stretch of a piece in mm from its first node, or one place where both are equal; node: on a node."""

    member: str | None
    start: float
    end: float
    node: str | None = None

    def words(self) -> str:
        """As printed after the name of the action."""
        if self.node is not None:
            return f"at node {self.node}"
        return (
            f"at {self.start:.0f} mm of {self.member}"
            if self.start == self.end
            else f"on {self.member} {self.start:.0f} to {self.end:.0f} mm"
        )


@dataclass(frozen=True, slots=True)
class Alternatives:
    """Rows of the response that belong to one action. exclusive: one of them acts at a time (a person is one person); otherwise
    each acts or not by itself. places: where each stands."""

    action: int
    exclusive: bool
    rows: slice
    places: tuple[Place, ...]


Case = list[solver.Load]


def alternatives(action: Action, design: Design, geometry: Geometry, frame: solver.Frame) -> tuple[list[Case], tuple[Place, ...], bool]:
    """The cases of an action's roving or free loads, where each stands, and whether they exclude one another."""
    if action.free:
        return *_patches(action, design, geometry, frame), False
    return *_stances(action, design, geometry, frame), True


def roves(action: Action) -> bool:
    """Whether part of the action has no place of its own."""
    return action.free or any(isinstance(load, PointLoad) and load.anywhere for load in action.loads)


def fixed_loads(action: Action) -> tuple[Load, ...]:
    """The loads of an action that do have one."""
    return () if action.free else tuple(load for load in action.loads if not (isinstance(load, PointLoad) and load.anywhere))


def _stances(action: Action, design: Design, geometry: Geometry, frame: solver.Frame) -> tuple[list[Case], tuple[Place, ...]]:
    index = {member.id: i for i, member in enumerate(design.members)}
    cases: list[Case] = []
    places: list[Place] = []
    for load in action.loads:
        if isinstance(load, PointLoad) and load.anywhere:
            for stance in solver.stances(frame, [index[load.member]]):
                placed = load_of(load, geometry, index, at=stance.at)
                cases.append([placed])
                places.append(Place(load.member, stance.at, stance.at))
    return cases, tuple(places)


def _patches(action: Action, design: Design, geometry: Geometry, frame: solver.Frame) -> tuple[list[Case], tuple[Place, ...]]:
    index = {member.id: i for i, member in enumerate(design.members)}
    cut = [list(case) for case in solver.patches(frame, [load_of(load, geometry, index) for load in action.loads])]
    return cut, tuple(_place(case, design) for case in cut)


def _place(case: Sequence[solver.Load], design: Design) -> Place:
    load = case[0]
    if isinstance(load, solver.LineLoad):
        return Place(design.members[load.piece].id, load.start, load.end)
    if isinstance(load, solver.PointLoad):
        return Place(design.members[load.piece].id, load.at, load.at)
    assert isinstance(load, solver.NodeLoad)
    return Place(None, 0.0, 0.0, node=design.nodes[load.node].id)
