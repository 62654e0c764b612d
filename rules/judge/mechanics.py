"""From timber to mechanics: the settled design as a frame and its load cases, in N, mm and rad."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping

import solver
from rules.judge.geometry import Geometry, Line
from rules.library.value import Value
from rules.subject.actions import LineLoad, Load, NodeLoad, PointLoad
from rules.subject.design import Design
from rules.subject.frame import End, Member, Prism, Support
from rules.subject.material import MEAN_DENSITY, MODULUS, SHEAR_MODULUS, Material

KN = 1000.0
KNM = 1.0e6
SHEAR_AREA = 5.0 / 6.0
"""Shear area of a rectangle as a share of its area (Timoshenko's factor 6/5, as in EN 1995 worked practice)."""


def build_frame(design: Design, geometry: Geometry, materials: tuple[Material, ...]) -> solver.Frame:
    """The frame the solver sees. Stiffness by mean moduli, all plies together (EN 1995-1-1 5.4.2, first order)."""
    seated = _seated_alone(design)
    pieces = tuple(_piece(member, geometry, material, seated) for member, material in zip(design.members, materials, strict=True))
    supports = tuple(_support(support, geometry) for support in design.supports)
    return solver.Frame(geometry.xy, pieces, supports)


def section_area(member: Member) -> float:
    """mm², all plies."""
    section = member.section
    return member.plies * (section.area_mm2 if isinstance(section, Prism) else section.b_mm * section.h_mm)


def mass_per_mm(member: Member, material: Material) -> float:
    """kg/mm; 0 where the material does not say its mean density."""
    return section_area(member) * material.properties.get(MEAN_DENSITY, 0.0) * 1e-9


def _seated_alone(design: Design) -> frozenset[str]:
    """Nodes off which one piece alone bears, free to turn: they turn with its end, which a pin there would leave to nobody."""
    uses = Counter(node for member in design.members for node in member.nodes)
    return frozenset(
        support.node
        for support in design.supports
        if support.seat and any(support.seat.offset_mm) and uses[support.node] == 1 and "rotation" not in support.holds
    )


def _piece(member: Member, geometry: Geometry, material: Material, seated: frozenset[str]) -> solver.Piece:
    section = member.section
    second = section.second_moment_mm4 if isinstance(section, Prism) else section.b_mm * section.h_mm**3 / 12.0
    shear = material.properties.get(SHEAR_MODULUS, math.inf)
    return solver.Piece(
        nodes=tuple(geometry.at[node] for node in member.nodes),
        ea=material.properties[MODULUS] * section_area(member),
        ei=material.properties[MODULUS] * member.plies * second,
        ga=math.inf if isinstance(section, Prism) else SHEAR_AREA * section_area(member) * shear,
        mass=mass_per_mm(member, material),
        start=math.inf if member.nodes[0] in seated else _stiffness(member.start),
        end=math.inf if member.nodes[-1] in seated else _stiffness(member.end),
        start_offset=member.start_offset_mm,
        end_offset=member.end_offset_mm,
    )


def _stiffness(end: End) -> float:
    if end == "pinned":
        return 0.0
    return math.inf if end == "rigid" else float(end) * KNM


def _support(support: Support, geometry: Geometry) -> solver.Support:
    springs = support.springs
    return solver.Support(
        node=geometry.at[support.node],
        x="x" in support.holds,
        y="y" in support.holds,
        rotation="rotation" in support.holds,
        spring_x=(springs.x_kn_per_mm or 0.0) * KN,
        spring_y=(springs.y_kn_per_mm or 0.0) * KN,
        spring_rotation=(springs.rotation_knm_per_rad or 0.0) * KNM,
        inclined=math.radians(support.inclined_deg),
        offset=support.seat.offset_mm if support.seat else (0.0, 0.0),
        push_only=support.uplift == "free",
    )


def build_case(loads: Iterable[Load], design: Design, geometry: Geometry) -> list[solver.Load]:
    """The solver's loads of one stated action."""
    index = {member.id: i for i, member in enumerate(design.members)}
    return [load_of(load, geometry, index) for load in loads]


def self_weight(design: Design, geometry: Geometry, materials: tuple[Material, ...], values: Mapping[str, Value]) -> list[solver.Load]:
    """Every piece's own weight by mean density, straight down."""
    gravity = values["gravity"].number if "gravity" in values else None
    g = float(gravity) if isinstance(gravity, (int, float)) else 0.0
    loads: list[solver.Load] = []
    for index, (member, material) in enumerate(zip(design.members, materials, strict=True)):
        weight = mass_per_mm(member, material) * g
        loads.append(solver.LineLoad(index, 0.0, geometry.lines[index].length, (0.0, 0.0), (-weight, -weight)))
    return loads


def load_of(load: Load, geometry: Geometry, index: Mapping[str, int], *, at: float | None = None) -> solver.Load:
    """One stated load in the solver's terms. index: of every piece by id; at: where a load without a place stands, mm."""
    if isinstance(load, NodeLoad):
        return solver.NodeLoad(geometry.at[load.node], load.x_kn * KN, load.y_kn * KN, load.moment_knm * KNM)
    piece = index[load.member]
    line = geometry.lines[piece]
    if isinstance(load, PointLoad):
        at = load.at_mm if load.at_mm is not None else at or 0.0
        if load.moment_knm is not None:
            return solver.PointLoad(piece, at, m=load.moment_knm * KNM)
        x, y = direction(load.direction or "", load.face, line)
        force = (load.point_kn or 0.0) * KN
        return solver.PointLoad(piece, at, force * x, force * y)
    return _line_load(load, piece, line)


def _line_load(load: LineLoad, piece: int, line: Line) -> solver.LineLoad:
    x, y = direction(load.direction, load.face, line)
    share = {"plan": abs(line.cos), "height": abs(line.sin)}.get(load.along, 1.0)
    first = load.line_kn_per_m * share
    last = first if load.line_end_kn_per_m is None else load.line_end_kn_per_m * share
    end = line.length if load.to_mm is None else load.to_mm
    return solver.LineLoad(piece, load.from_mm or 0.0, end, (first * x, last * x), (first * y, last * y))


def direction(word: str, face: str | None, line: Line) -> tuple[float, float]:
    """Unit vector of a load's direction. pressure pushes the piece away from the loaded face, suction pulls it towards it."""
    plain = {"down": (0.0, -1.0), "up": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}
    if word in plain:
        return plain[word]
    out_x, out_y = _outward(face or "upper", line)
    return (out_x, out_y) if word == "suction" else (-out_x, -out_y)


def _outward(face: str, line: Line) -> tuple[float, float]:
    """The unit normal of the piece that points out of this face."""
    x, y = -line.sin, line.cos
    wanted = {"upper": y, "lower": -y, "right": x, "left": -x}[face]
    return (x, y) if wanted >= 0.0 else (-x, -y)
