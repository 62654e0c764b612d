"""Slip of joints in movements: each end of a piece gives by its force over the slip modulus declared there, and the frame follows.

The frame is given those changes of length, bay by bay, for every case: by the principle of virtual work that adds Σ N n / K to a movement.
Forces are those without slip; where triangles alone carry, that is exact. A joint creeps by a multiple of k_def of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.geometry import Geometry
from rules.judge.hanging import pieces_at
from rules.library.choosing import Selection
from rules.subject.design import Design
from rules.subject.frame import Member
from rules.subject.joints import Joint, Plates, PlateType, Splice
from rules.subject.settled import Assumption

Floats = NDArray[np.float64]
CREEP = "slip_creep_factor"
"""The pack's number: how many times k_def a joint creeps."""
LETS_GO = "Slip is not worked out where bearings can only push: hold them, or leave slip out. (supports.uplift, slip_kn_per_mm)"
NOT_IN = (
    "Nothing is stated of the slip of joints, so it is not in the movements: state slip_kn_per_mm of every joint and splice, or of their plate "
    "types, to have it there, growing with twice k_def."
)
CITED = {"document": "EN 1995-1-1", "edition": "2004+A2:2014", "clause": "2.2.2, 2.3.2.2, 7.1", "seen": "memory"}


@dataclass(frozen=True, slots=True)
class Slip:
    """moved: of every case what slip adds to its movements, at the stations; None where none is stated. creep: how many times k_def it
    grows. ask: what is missing where some of it is stated, and not all."""

    moved: solver.Table | None = None
    creep: float = 0.0
    ask: str = ""

    def grown(self, *, creeping: bool) -> float:
        """By how much it counts: once as the load comes on, its own multiple in the part that grows with k_def."""
        return self.creep if creeping else 1.0


@dataclass(frozen=True, slots=True)
class _End:
    """Where slip happens. piece; bay: inside it; last: at the bay's far end; modulus: N/mm, NaN where it is not stated."""

    piece: int
    bay: int
    last: bool
    modulus: float
    where: str


def slip_of(design: Design, selection: Selection, geometry: Geometry, built: solver.Frame, response: solver.Response) -> Slip:
    """The slip that the design states, worked out for every case."""
    if not is_stated(design) or CREEP not in selection.values:
        return Slip()
    ends = list(_ends(design, geometry))
    lacking = sorted({end.where for end in ends if math.isnan(end.modulus)})
    if lacking or any(support.push_only for support in built.supports):
        ask = f"What is the slip modulus at {', '.join(lacking)}? (joints, splices, plate_types, slip_kn_per_mm)" if lacking else LETS_GO
        return Slip(ask=ask)
    forces = response.n
    cases = [
        [_change(end, float(forces[case, _station(response, geometry, end)]), geometry) for end in ends] for case in range(len(response))
    ]
    creep = selection.values[CREEP].number
    assert isinstance(creep, float)
    return Slip(solver.analyse(built, cases).seen_at(response.layout), creep)


def is_stated(design: Design) -> bool:
    """Whether any slip is stated that some joint or splice has."""
    joints = design.joints if isinstance(design.joints, tuple) else ()
    parts: tuple[Joint | Splice | PlateType, ...] = (*joints, *design.splices, *design.plate_types)
    if all(each.slip_kn_per_mm is None for each in parts):
        return False
    return any(not math.isnan(each) for each in _moduli(design).values()) or any(
        not math.isnan(_modulus(design, splice.plates, splice.slip_kn_per_mm)) for splice in design.splices
    )


def said_of_slip(design: Design) -> tuple[Assumption, ...]:
    """That slip is left out, where pieces meet at joints and nothing is stated of it."""
    meet = any(_meets_others(design, each, each.nodes[end]) for each in design.members for end in (0, -1))
    if is_stated(design) or not (design.splices or meet):
        return ()
    return (Assumption("/joints", 0.0, NOT_IN, "engineer", CITED),)


def _ends(design: Design, geometry: Geometry) -> Iterator[_End]:
    moduli = _moduli(design)
    for index, member in enumerate(design.members):
        last = len(member.nodes) - 2
        for node, bay, far in ((member.nodes[0], 0, False), (member.nodes[-1], last, True)):
            if _meets_others(design, member, node):
                yield _End(index, bay, far, moduli.get((node, member.id), math.nan), f"node {node}")
    for splice in design.splices:
        index = next(i for i, member in enumerate(design.members) if member.id == splice.member)
        reach = np.cumsum(geometry.lines[index].bays)
        bay = min(int(np.searchsorted(reach, splice.at_mm)), len(reach) - 1)
        far = bool(splice.at_mm > reach[bay] - geometry.lines[index].bays[bay] / 2.0)
        yield _End(index, bay, far, _modulus(design, splice.plates, splice.slip_kn_per_mm), f"splice {splice.id}")


def _meets_others(design: Design, member: Member, node: str) -> bool:
    return any(node in other.nodes for other in design.members if other is not member)


def _moduli(design: Design) -> Mapping[tuple[str, str], float]:
    """N/mm by node and piece. Of several joints that hold a piece the softest counts, as if it alone took it."""
    joints = design.joints if isinstance(design.joints, tuple) else ()
    found: dict[tuple[str, str], float] = {}
    for joint in joints:
        for name in joint.pieces or pieces_at(design, joint.node):
            found[joint.node, name] = float(np.minimum(found.get((joint.node, name), math.inf), _of_joint(design, joint)))  # keeps NaN
    return found


def _of_joint(design: Design, joint: Joint) -> float:
    return _modulus(design, joint.plates, joint.slip_kn_per_mm)


def _modulus(design: Design, plates: Plates | None, own: float | None) -> float:
    declared = next((each.slip_kn_per_mm for each in design.plate_types if plates and each.id == plates.plate_type), None)
    found = own if own is not None else declared
    return math.nan if found is None else 1000.0 * found


def _change(end: _End, force: float, geometry: Geometry) -> solver.LengthChange:
    return solver.LengthChange(end.piece, force / end.modulus / geometry.lines[end.piece].bays[end.bay], end.bay)


def _station(response: solver.Response, geometry: Geometry, end: _End) -> int:
    number = sum(len(line.bays) for line in geometry.lines[: end.piece]) + end.bay
    return int(response.layout.edges[end.last][number])
