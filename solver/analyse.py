"""The analysis: frame and cases in, response out. Assembled once, factored once; every case is a right-hand side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from .bending import AtEnd, at_end, fixed, states
from .elements import elements
from .faults import NonFinite, NothingHoldsDown
from .frame import Array, Case, Frame, SettlementLoad
from .loading import Loading, loading
from .mesh import Mesh, mesh
from .response import Response, Table, along, layout, reactions
from .soundness import equations
from .statics import Equations, gather, numbering


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


@dataclass(frozen=True, slots=True)
class Solution:
    """A response with what led to it, for stability to build on. ``held``: forces of the loads on a frame that cannot move."""

    equations: Equations
    loads: Loading
    end: AtEnd
    held: tuple[Array, Array]
    response: Response


def solve(frame: Frame, cases: Sequence[Case], stations: int) -> Solution:
    """As :func:`analyse`, keeping the equations."""
    if stations < 2:
        raise ValueError(f"stations must be 2 or more, not {stations}")
    bays = mesh(frame)
    pushing = _pushing(frame)
    raised = [(SettlementLoad(k, y=1.0),) for k in pushing]
    loads = loading(bays, [*cases, *raised])
    solved = equations(bays, elements(bays), numbering(bays))
    return _answer(solved, loads, stations, pushing)


def _pushing(frame: Frame) -> tuple[int, ...]:
    """Push-only bearings; a frame on nothing else may lift off, which is a fault of design."""
    bearing = [k for k, s in enumerate(frame.supports) if s.y or s.spring_y]
    pushing = tuple(k for k in bearing if frame.supports[k].push_only)
    if pushing and len(pushing) == len(bearing):
        raise NothingHoldsDown(pushing)
    return pushing


def _answer(solved: Equations, loads: Loading, stations: int, pushing: tuple[int, ...]) -> Solution:
    bays = solved.mesh
    end = at_end(bays, loads)
    held = fixed(bays, solved.elements, loads, end)
    moved = solved.displace(loads.nodal - gather(bays, held[1]), loads.settled)
    found = states(solved, loads, end, held, moved)
    if not np.isfinite(moved).all():
        raise NonFinite("displacements")
    missing = gather(bays, found.ends) - loads.nodal
    pushed = reactions(bays, missing)
    places = layout(bays, loads.brackets, stations)
    lines = along(places, loads, found.lines)
    residual = _residual(bays, loads, moved, missing, np.maximum(np.abs(found.ends), np.abs(held[1])), pushed)
    count = len(moved) - len(pushing)
    raised = Table(places, lines[count:], moved[count:], pushed[count:]) if pushing else None
    response = Response(places, lines[:count], moved[:count], pushed[:count], residual, solved, pushing, raised, loads, found.lines)
    return Solution(solved, loads, end, held, response)


def _residual(bays: Mesh, loads: Loading, moved: Array, missing: Array, ends: Array, pushed: Array) -> float:
    """Largest imbalance, of free nodes and of the whole, relative to the largest force of its case, sizes of which are ``ends``."""
    sprung = bays.springs * (moved if loads.settled is None else moved - loads.settled)
    open_ = np.where(bays.held, 0.0, missing + sprung).reshape(len(missing), -1, 3)
    arm = float(bays.length.mean())
    scale = ends[:, [0, 1, 3, 4]].max(axis=(1, 2))
    scale = np.maximum(scale, ends[:, [2, 5]].max(axis=(1, 2)) / arm)
    scale = np.maximum(scale, np.abs(pushed[..., :2]).max(axis=(1, 2), initial=0.0))
    if not scale.any():
        return 0.0
    worst = np.abs(open_ / (1.0, 1.0, arm)).max(axis=(1, 2))
    size = float(np.ptp(bays.frame.xy, axis=0).max())
    whole = np.abs(_whole(bays, loads, pushed) / (1.0, 1.0, size)).max(axis=1)
    scale = np.where(scale > 0.0, scale, 1.0)
    return float((np.maximum(worst, whole) / scale).max())


def _whole(bays: Mesh, loads: Loading, pushed: Array) -> Array:
    """(C, 3) sum of loads and reactions, moments about the middle of the nodes; knows nothing of elements."""
    stand = np.array([bays.frame.xy[s.node] + s.offset for s in bays.frame.supports]) - loads.about
    turn = stand[:, 0] * pushed[..., 1] - stand[:, 1] * pushed[..., 0] + pushed[..., 2]
    total = np.stack((pushed[..., 0], pushed[..., 1], turn), axis=-1).sum(axis=1)
    return np.asarray(total + loads.resultant)
