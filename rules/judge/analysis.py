"""The one way down to the solver: every case analysed at once, and what cannot be analysed told in the document's own words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import solver
from rules.judge.cases import SELF_WEIGHT, SETTLEMENT
from rules.judge.framed import Frame
from rules.judge.geometry import Geometry
from rules.judge.mechanics import build_case, build_frame, self_weight
from rules.judge.methods import SIMPLIFIED, method
from rules.judge.simplified import firm
from rules.judge.slip import slip_of
from rules.judge.standing import Alternatives, alternatives, fixed_loads, roves
from rules.library.choosing import Selection
from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, pointer
from rules.subject.settled import Settled

T = TypeVar("T")


STATIONS = 11


def analyse_frame(settled: Settled, selection: Selection, geometry: Geometry, *, stations: int = STATIONS) -> Frame:
    """All characteristic cases, and every place of loads without one, in one factorisation.

    stations: places looked at in every bay, both ends included.
    Raises DesignRefused where the frame cannot stand.
    """
    design = settled.design
    bays = sum(len(line.bays) for line in geometry.lines)
    _drawn(bays)
    frame = build_frame(design, geometry, settled.materials)
    cases: list[list[solver.Load]] = []
    for each in settled.actions:
        if each.id == SELF_WEIGHT:
            cases.append(self_weight(design, geometry, settled.materials, selection.values))
        elif each.id == SETTLEMENT:
            cases.append(_settlements(design))
        else:
            cases.append(build_case(fixed_loads(each.action), design, geometry))
    groups: list[Alternatives] = []
    for index, each in enumerate(settled.actions):
        if roves(each.action):
            more, places, exclusive = alternatives(each.action, design, geometry, frame)
            groups.append(Alternatives(index, exclusive, slice(len(cases), len(cases) + len(more)), places))
            cases += more
    _bounded(len(cases), bays * stations + _places(cases))
    response = in_words(design, lambda: solver.analyse(frame, cases, stations=stations))
    stiff = in_words(design, lambda: solver.analyse(firm(frame), cases, stations=stations)) if method(selection) == SIMPLIFIED else None
    slip = in_words(design, lambda: slip_of(design, selection, geometry, frame, response))
    fixed = len(settled.actions)
    return Frame(settled, selection, geometry, response, tuple(cases[:fixed]), tuple(groups), tuple(cases[fixed:]), firm=stiff, slip=slip)


def _places(cases: Sequence[Sequence[solver.Load]]) -> int:
    """Stations that loads ask for, at most: two where a force stands, one where a load starts or stops."""
    points = {(load.piece, load.at) for case in cases for load in case if isinstance(load, solver.PointLoad)}
    lines = {(load.piece, end) for case in cases for load in case if isinstance(load, solver.LineLoad) for end in (load.start, load.end)}
    return 2 * len(points) + len(lines)


MOST_BAYS = 4_500
"""Published bound: stretches of pieces between neighbouring nodes; a plane frame of the most nodes has no more unless pieces lie on one another."""


def _drawn(bays: int) -> None:
    if bays > MOST_BAYS:
        detail = (
            f"The pieces run over {bays} stretches between neighbouring nodes; {MOST_BAYS} is the most that is analysed in one request."
        )
        hint = "Check a part of the frame, or leave out nodes at which nothing happens."
        raise DesignRefused((Fault("/members", "too-much-to-judge", detail, bays, MOST_BAYS, hint),))


MOST_CELLS = 3_000_000
"""Published bound: load cases, each place of a moving load counting as one, times places in the frame."""


def _bounded(cases: int, places: int) -> None:
    if cases * places > MOST_CELLS:
        detail = f"{cases} load cases (every place of a moving load is one) at {places} places are more than are analysed in one request."
        hint = "Let fewer pieces carry loads that may stand anywhere or act in part, or check a smaller frame."
        raise DesignRefused((Fault("/actions", "too-much-to-judge", detail, cases * places, MOST_CELLS, hint),))


def _settlements(design: Design) -> list[solver.Load]:
    return [
        solver.SettlementLoad(i, support.settlement.x_mm, support.settlement.y_mm)
        for i, support in enumerate(design.supports)
        if support.settlement.x_mm or support.settlement.y_mm
    ]


def in_words(design: Design, work: Callable[[], T]) -> T:
    """Do the work; a fault of mechanics becomes a refusal that names nodes and pieces by their own ids."""
    try:
        return work()
    except solver.SolverFault as fault:
        raise DesignRefused(tuple(_explain(fault, design)), title="The frame cannot be analysed") from fault


def _explain(fault: solver.SolverFault, design: Design) -> list[Fault]:
    if isinstance(fault, solver.Mechanism):
        in_bays = len(design.nodes)  # second order divides bays: from here on nodes are places within them
        return [_loose(design, node, direction) for node, direction in fault.loose if node < in_bays] or [_unnamed()]
    if isinstance(fault, solver.Disconnected):
        return [_apart(design, part) for part in fault.parts[1:]]
    if isinstance(fault, solver.NoSupport):
        return [
            Fault("/supports", "no-support", "Nothing holds the frame.", hint="Give at least two supports, one of them holding x and y.")
        ]
    if isinstance(fault, solver.NoHorizontalRestraint):
        hint = 'Let exactly one support hold "x" as well as "y".'
        return [Fault("/supports", "no-horizontal-restraint", "No support holds the frame sideways.", hint=hint)]
    if isinstance(fault, solver.NothingHoldsDown):
        pushing = [design.supports[i].id for i in fault.supports]
        hint = "A bearing that can only push must be one of several; let at least one hold down, or show its anchorage."
        return [Fault("/supports", "nothing-holds-down", "All bearings can only push, so the frame may lift off.", pushing, None, hint)]
    return [_other(fault, design)]


WORDS = {"x": "sideways", "y": "up and down", "rotation": "by turning"}


def _unnamed() -> Fault:
    return Fault(
        "", "mechanism", "The frame is a mechanism, and no single node could be named for it.", hint="Check supports and triangles."
    )


def _loose(design: Design, node: int, direction: str) -> Fault:
    name = design.nodes[node].id
    return Fault(
        pointer("nodes", node),
        "mechanism",
        f"The frame is a mechanism: node {name!r} can move {WORDS[direction]} without anything being strained.",
        found={"node": name, "direction": direction},
        hint="Add a piece that makes a triangle, let a piece run through the node, or hold the node by a support.",
    )


def _apart(design: Design, part: tuple[int, ...]) -> Fault:
    named = [design.nodes[node].id for node in part]
    return Fault(
        pointer("nodes", part[0]),
        "disconnected",
        "A part of the frame touches nothing else.",
        named,
        None,
        "Join it at a common node, or check it as a design of its own.",
    )


def _other(fault: solver.SolverFault, design: Design) -> Fault:
    if isinstance(fault, solver.BadGeometry):
        where = "/nodes" if fault.piece is None else pointer("members", fault.piece, "nodes")
        return Fault(
            where,
            "bad-geometry",
            f"The piece cannot be drawn: {fault.kind}.",
            [design.nodes[i].id for i in fault.nodes if i < len(design.nodes)],
            None,
            "Check the coordinates and offsets.",
        )
    if isinstance(fault, solver.BadStiffness):
        part = "members" if fault.part == "piece" else "supports"
        return Fault(
            pointer(part, fault.index),
            "bad-stiffness",
            f"{fault.field} is not a usable stiffness.",
            fault.value,
            "greater than 0",
            "Check section, modulus and springs.",
        )
    if isinstance(fault, solver.BadSupport):
        return Fault(
            pointer("supports", fault.support),
            "bad-support",
            f"The support cannot stand here: {fault.because}.",
            hint="Give one support a node.",
        )
    if isinstance(fault, solver.BadLoad):
        return Fault(pointer("actions"), "bad-load", f"A load cannot be applied: {fault.because}.", hint="Check where the load stands.")
    if isinstance(fault, solver.IllConditioned):
        hint = "Stiffnesses differ too much; check springs, sections and units."
        return Fault("", "ill-conditioned", "Too few digits of the answer would be left.", float(f"{fault.condition:.2g}"), None, hint)
    return Fault("", "not-analysable", f"The frame cannot be analysed: {fault}.", hint="Check geometry, supports and loads.")
