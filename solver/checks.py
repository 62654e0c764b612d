"""What must hold of a frame before it is analysed; each check names what it finds. The quick test comes first, the search only after it fails."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, inf, isfinite, isnan, sin

import numpy as np

from .faults import BadGeometry, BadStiffness, BadSupport, Disconnected, NoHorizontalRestraint, NonFinite, NoSupport, SolverFault
from .frame import Array, Frame, Piece, Support

STRAIGHT_MM = 1.0  # how far a node may stand off the line of its piece
COINCIDENT_MM = 1e-3  # nodes closer than this are one place
LEVEL = 1e-9  # a hold whose cosine with the horizontal is below this holds nothing sideways
GOLDEN = 0.6180339887498949  # no two nodes of a drawing fall together along this slope unless they are one


def check_nodes(frame: Frame, xy: Array) -> None:
    """Finite, apart from one another, and every piece with at least two that exist."""
    if xy.ndim != 2 or xy.shape[1] != 2 or not frame.pieces:
        raise BadGeometry("too-short", None, ())
    if not np.isfinite(xy).all():
        raise NonFinite("xy")
    for number, piece in enumerate(frame.pieces):
        if len(piece.nodes) < 2:
            raise BadGeometry("too-short", number, piece.nodes)
        if min(piece.nodes) < 0 or max(piece.nodes) >= len(xy):
            raise BadGeometry("unknown-node", number, piece.nodes)
    slope = sorted((xy @ (1.0, GOLDEN)).tolist())
    if any(b - a < 2.0 * COINCIDENT_MM for a, b in pairwise(slope)):
        _check_coincident(xy)


def _check_coincident(xy: Array) -> None:
    """Pairs closer than the tolerance, by cells of its size and their neighbours."""
    cells: dict[tuple[int, int], list[int]] = {}
    for node, (x, y) in enumerate(xy.tolist()):
        here = (int(x // COINCIDENT_MM), int(y // COINCIDENT_MM))
        around = [(here[0] + dx, here[1] + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)]
        for other in (n for cell in around for n in cells.get(cell, ())):
            if np.hypot(*(xy[node] - xy[other])) < COINCIDENT_MM:
                raise BadGeometry("coincident", None, (other, node))
        cells.setdefault(here, []).append(node)


def check_pieces(frame: Frame) -> None:
    """Stiffnesses positive, mass and joints not negative, all finite but where infinity means rigid."""
    for number, piece in enumerate(frame.pieces):
        sound = 0.0 < piece.ea < inf and 0.0 < piece.ei < inf and piece.ga > 0.0 and 0.0 <= piece.mass < inf
        if not (sound and piece.start >= 0.0 and piece.end >= 0.0):
            raise _bad_stiffness(number, piece)


def _bad_stiffness(number: int, piece: Piece) -> SolverFault:
    finite = [getattr(piece, field) for field in ("ea", "ei", "mass")]
    if not all(map(isfinite, finite)) or any(map(isnan, (piece.ga, piece.start, piece.end))):
        return NonFinite("pieces")
    fields = [(field, getattr(piece, field)) for field in ("ea", "ei", "ga", "mass", "start", "end")]
    field, value = next((field, value) for field, value in fields if value < 0.0 or (value == 0.0 and field in ("ea", "ei", "ga")))
    return BadStiffness("piece", number, field, value)


def check_length(number: int, piece: Piece, length: float) -> float:
    """The length of a piece from end to end, mm, where it has one."""
    if not length < inf:
        raise NonFinite("pieces")
    if length < COINCIDENT_MM:
        raise BadGeometry("no-length" if len(piece.nodes) == 2 else "doubles-back", number, piece.nodes)
    return length


class Line:
    """The line of a piece from end to end, which its nodes must follow in order."""

    __slots__ = ("dx", "dy", "number", "piece", "start")

    def __init__(self, number: int, piece: Piece, start: list[float], end: list[float]) -> None:
        self.number, self.piece, self.start = number, piece, start
        span = check_length(number, piece, hypot(end[0] - start[0], end[1] - start[1]))
        self.dx, self.dy = (end[0] - start[0]) / span, (end[1] - start[1]) / span

    def check(self, x: float, y: float, dx: float, dy: float, length: float) -> None:
        """A bay dx, dy that ends at x, y."""
        if length < COINCIDENT_MM:
            raise BadGeometry("no-length", self.number, self.piece.nodes)
        if abs(self.dx * (y - self.start[1]) - self.dy * (x - self.start[0])) > STRAIGHT_MM:
            raise BadGeometry("bent", self.number, self.piece.nodes)
        if dx * self.dx + dy * self.dy <= 0.0:
            raise BadGeometry("doubles-back", self.number, self.piece.nodes)


def check_supports(frame: Frame, count: int) -> None:
    """One support a node, springs sound, and something that holds the frame, sideways too."""
    taken: set[int] = set()
    for number, support in enumerate(frame.supports):
        if not 0 <= support.node < count:
            raise BadSupport(number, support.node, "no such node")
        if support.node in taken:
            raise BadSupport(number, support.node, "another support stands here")
        taken.add(support.node)
        for field in ("spring_x", "spring_y", "spring_rotation"):
            if not 0 <= getattr(support, field) < np.inf:
                raise BadStiffness("support", number, field, getattr(support, field))
        if not (isfinite(support.inclined) and isfinite(support.offset[0]) and isfinite(support.offset[1])):
            raise NonFinite("supports")
    if not any(s.x or s.y or s.rotation or s.spring_x or s.spring_y or s.spring_rotation for s in frame.supports):
        raise NoSupport
    if not any(_holds_sideways(support) for support in frame.supports):
        raise NoHorizontalRestraint


def _holds_sideways(support: Support) -> bool:
    along, across = abs(cos(support.inclined)) > LEVEL, abs(sin(support.inclined)) > LEVEL
    return bool((along and (support.x or support.spring_x)) or (across and (support.y or support.spring_y)))


def check_parts(count: int, starts: list[int], ends: list[int]) -> None:
    """All nodes hang together."""
    parent = list(range(count))
    groups = count
    for a, b in zip(starts, ends, strict=True):
        while parent[a] != a:
            parent[a] = a = parent[parent[a]]
        while parent[b] != b:
            parent[b] = b = parent[parent[b]]
        if a != b:
            parent[b] = a
            groups -= 1
    if groups > 1:
        raise Disconnected(_parts(parent))


def _parts(parent: list[int]) -> tuple[tuple[int, ...], ...]:
    groups: dict[int, list[int]] = {}
    for node in range(len(parent)):
        root = node
        while parent[root] != root:
            root = parent[root]
        groups.setdefault(root, []).append(node)
    return tuple(sorted((tuple(group) for group in groups.values()), key=len, reverse=True))
