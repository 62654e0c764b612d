"""The analysis: frame and cases in, response out. Assembled once, factored once; every case is a right-hand side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import isfinite
from typing import NamedTuple

import numpy as np

from .bending import States
from .elements import elements
from .faults import NonFinite, NothingHoldsDown
from .frame import Array, Case, Frame, SettlementLoad
from .held import Held, called, fixed
from .loading import Loading, combined_loading, loading
from .mesh import mesh
from .numbering import DENSE_OFTEN, numbering
from .response import Response
from .soundness import equations
from .statics import Equations


def analyse(frame: Frame, cases: Sequence[Case], stations: int = 11) -> Response:
    """Forces and movements of a frame under load cases, first order.

    ``stations`` a bay, both ends included, at least two. Raises a :class:`~solver.faults.SolverFault` that names what is wrong;
    never returns a number that does not balance because the frame was loose.
    """
    return solve(frame, cases, stations).response


def analyse_all(jobs: Iterable[tuple[Frame, Sequence[Case]]], stations: int = 11) -> list[Response]:
    """Responses of many frames with their cases, in order; identical ones are analysed once and share a response."""
    known: dict[object, Response] = {}
    answers = []
    for frame, cases in jobs:
        key = (np.asarray(frame.xy, dtype=float).tobytes(), frame.pieces, frame.supports, tuple(map(tuple, cases)))
        if key not in known:
            known[key] = analyse(frame, cases, stations)
        answers.append(known[key])
    return answers


class Solution(NamedTuple):
    """A response with what led to it, for stability to build on."""

    equations: Equations
    loads: Loading
    held: Held
    response: Response


def solve(frame: Frame, cases: Sequence[Case], stations: int) -> Solution:
    """As :func:`analyse`, keeping the equations."""
    if stations < 2:
        raise ValueError(f"stations must be 2 or more, not {stations}")
    pushing = _pushing(frame)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        bays = mesh(frame)
        solved = equations(bays, elements(bays), numbering(bays))
        loads = loading(bays, [*cases, *([SettlementLoad(k, y=1.0)] for k in pushing)])
        return _under(solved, loads, stations, pushing)


def solve_combined(frame: Frame, cases: Sequence[Case], factors: Array, stations: int) -> Solution:
    """As :func:`solve`, with the combinations (K, C) of the cases as the load cases; bearings that only push hold both ways."""
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        bays = mesh(frame)
        solved = equations(bays, elements(bays), numbering(bays, DENSE_OFTEN))
        return _under(solved, combined_loading(bays, cases, factors), stations, ())


def _under(solved: Equations, loads: Loading, stations: int, pushing: tuple[int, ...]) -> Solution:
    """What the loads do."""
    bays, parts = solved.mesh, solved.elements
    held = fixed(bays, parts, loads)
    moved = solved.displace(called(bays, loads, held), loads.settled)
    if not isfinite(np.add.reduce(moved, axis=None)):
        raise NonFinite("displacements")
    return Solution(solved, loads, held, Response(solved, States(bays, parts, loads, held, moved), stations, pushing))


def _pushing(frame: Frame) -> tuple[int, ...]:
    """Push-only bearings; a frame on nothing else may lift off, which is a fault of design."""
    if not any(support.push_only for support in frame.supports):
        return ()
    bearing = [k for k, s in enumerate(frame.supports) if s.y or s.spring_y]
    pushing = tuple(k for k in bearing if frame.supports[k].push_only)
    if pushing and len(pushing) == len(bearing):
        raise NothingHoldsDown(pushing)
    return pushing
