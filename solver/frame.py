"""What the solver is given: straight pieces through nodes, supports and loads. N, mm, rad, kg; x right, y up, moments counter-clockwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from .mesh import Mesh

Array: TypeAlias = NDArray[np.float64]
Index: TypeAlias = NDArray[np.intp]
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Piece:
    """One straight prismatic piece, continuous through its nodes, which are given in order along it.

    ``ea`` N; ``ei`` N mm²; ``ga`` shear area times shear modulus, N (inf: no shear deformation); ``mass`` kg/mm;
    ``start``, ``end`` rotational stiffness of the end joints, N mm/rad (0 pinned, inf rigid);
    ``start_offset``, ``end_offset`` mm from the node to the end of the piece, a rigid link that turns with the node.
    Places along the piece are measured from its first end, the offset included.
    """

    nodes: tuple[int, ...]
    ea: float
    ei: float
    ga: float = inf
    mass: float = 0.0
    start: float = 0.0
    end: float = 0.0
    start_offset: tuple[float, float] = (0.0, 0.0)
    end_offset: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Support:
    """What holds a node, in axes turned ``inclined`` rad counter-clockwise from x, y.

    ``x``, ``y``, ``rotation`` are held; ``spring_x``, ``spring_y`` N/mm and ``spring_rotation`` N mm/rad act where not held.
    The reaction stands ``offset`` mm from the node, rigidly joined to it. ``push_only``: the bearing pushes along its
    positive y axis and lets go rather than pull.
    """

    node: int
    x: bool = False
    y: bool = False
    rotation: bool = False
    spring_x: float = 0.0
    spring_y: float = 0.0
    spring_rotation: float = 0.0
    inclined: float = 0.0
    offset: tuple[float, float] = (0.0, 0.0)
    push_only: bool = False


@dataclass(frozen=True, slots=True)
class Frame:
    """Nodes ``xy`` (n, 2) mm, pieces and supports. Cannot be changed after it is made, so that it is checked once however often it is analysed.

    ``inner``: how many of the last nodes only divide bays; where pieces cross, several may lie at one place without being joined.
    ``checked``: its bays, once some analysis asked for them (see :func:`solver.mesh.mesh`).
    """

    xy: Array
    pieces: tuple[Piece, ...]
    supports: tuple[Support, ...]
    inner: int = 0
    checked: list[Mesh] = field(default_factory=list, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        xy = np.array(self.xy, dtype=float)
        xy.setflags(write=False)
        object.__setattr__(self, "xy", xy)


@dataclass(frozen=True, slots=True)
class LineLoad:
    """Force spread from ``start`` to ``end`` mm along the piece: N per mm of member length, global axes, linear between both ends."""

    piece: int
    start: float
    end: float
    qx: tuple[float, float] = (0.0, 0.0)
    qy: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class PointLoad:
    """Force N (global axes) and moment N mm (counter-clockwise) ``at`` mm along the piece."""

    piece: int
    at: float
    fx: float = 0.0
    fy: float = 0.0
    m: float = 0.0


@dataclass(frozen=True, slots=True)
class NodeLoad:
    """Force N (global axes) and moment N mm (counter-clockwise) on a node."""

    node: int
    fx: float = 0.0
    fy: float = 0.0
    m: float = 0.0


@dataclass(frozen=True, slots=True)
class LengthChange:
    """The piece would grow by ``strain`` (mm per mm; shrinkage negative) if it were free; or one of its bays alone, counted inside it."""

    piece: int
    strain: float
    bay: int | None = None


@dataclass(frozen=True, slots=True)
class SettlementLoad:
    """The ground under a support moves, mm and rad, along the support's own axes. ``support`` counts in ``Frame.supports``."""

    support: int
    x: float = 0.0
    y: float = 0.0
    rotation: float = 0.0


Load: TypeAlias = LineLoad | PointLoad | NodeLoad | LengthChange | SettlementLoad
Case: TypeAlias = Sequence[Load]
