"""What must hold of a frame before it is analysed; each check names what it finds. The quick test comes first, the search only after it fails."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, inf, isfinite, isnan, sin

import numpy as np

from .faults import BadGeometry, BadStiffness, BadSupport, Disconnected, NoHorizontalRestraint, NonFinite, NoSupport, SolverFault
from .frame import Array, Frame, Index, Piece, Support

STRAIGHT_MM = 1.0  # how far a node may stand off the line of its piece
COINCIDENT_MM = 1e-3  # nodes closer than this are one place
LEVEL = 1e-9  # a hold whose cosine with the horizontal is below this holds nothing sideways
SLOPE = np.array((1.0, 0.6180339887498949))  # the golden slope: no two nodes of a drawing fall together along it unless they are one
SPRINGS = ("spring_x", "spring_y", "spring_rotation")


def check_nodes(frame: Frame, xy: Array) -> None:
    """Finite and, those that do not only divide bays, apart from one another, and some pieces between them."""
    if xy.ndim != 2 or xy.shape[1] != 2 or not len(xy) or not frame.pieces:
        raise BadGeometry("too-short", None, ())
    if frame.inner:
        if not isfinite(np.add.reduce(xy, axis=None)):
            raise NonFinite("xy")
        xy = xy[: len(xy) - frame.inner]
    slope = xy.dot(SLOPE)
    slope.sort()
    if not (-inf < slope.item(0) and slope.item(-1) < inf):  # what is not a number is sorted last
        raise NonFinite("xy")
    if len(xy) > 1 and least(slope[1:] - slope[:-1]) < 2.0 * COINCIDENT_MM:
        _check_coincident(xy)


def least(values: Array) -> float:
    """The least of some numbers (k,), nan where one is; a third of what the minimum of an array takes for few."""
    return float(values.item(values.argmin()))


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


def bad_stiffness(number: int, piece: Piece) -> SolverFault:
    """What is wrong with a piece whose stiffness, mass or joints are not positive or, the last three, negative, or not finite where they must be."""
    finite = [getattr(piece, field) for field in ("ea", "ei", "mass")]
    if not all(map(isfinite, finite)) or any(map(isnan, (piece.ga, piece.start, piece.end))):
        return NonFinite("pieces")
    fields = [(field, getattr(piece, field)) for field in ("ea", "ei", "ga", "mass", "start", "end")]
    wrong = ((field, value) for field, value in fields if value < 0.0 or (value == 0.0 and field in ("ea", "ei", "ga")))
    return BadStiffness("piece", number, *next(wrong))


def check_length(number: int, piece: Piece, length: float) -> float:
    """The length of a piece from end to end, mm, where it has one."""
    if not length < inf:
        raise NonFinite("pieces")
    if length < COINCIDENT_MM:
        raise BadGeometry("no-length" if len(piece.nodes) == 2 else "doubles-back", number, piece.nodes)
    return length


def check_lines(frame: Frame, points: Array, run: Array, length: Array, way: Array, first: Index, piece: Index, plain: bool) -> None:
    """Every bay has a length, and those of one piece follow one line, from ``points`` (2, 2, B): axis, then end. ``plain``: no end stands off
    its node, so that nodes apart from one another make bays of some length."""
    if _same_way(length, way, first.take(piece)) and (plain or least(length) >= COINCIDENT_MM):
        return
    if least(length) >= COINCIDENT_MM and np.maximum.reduce(length) < inf and _follows(points, run, first, piece):
        return
    for number, (a, b) in enumerate(pairwise(first.tolist())):
        _check_line(number, frame.pieces[number], points[..., a:b].transpose(2, 1, 0).tolist())


def _same_way(length: Array, way: Array, heads: Index) -> bool:
    """The bays of every piece point so nearly one way that their nodes cannot stand off the line by as much as is allowed; false for what is
    not a number, and so for a bay without length or end."""
    turned = (way - way.take(heads, axis=1)).ravel()
    off = float(turned.dot(turned))
    return off < 0.25 and off * float(np.add.reduce(length)) ** 2 < (STRAIGHT_MM / 4.0) ** 2


def _follows(points: Array, run: Array, first: Index, piece: Index) -> bool:
    begin = points[:, 0].take(first[:-1], axis=1)
    chord = points[:, 1].take(first[1:] - 1, axis=1) - begin
    span = np.hypot(chord[0], chord[1])
    (x, y), (reach_x, reach_y) = (chord / span).take(piece, axis=1), points[:, 1] - begin.take(piece, axis=1)
    off = np.maximum.reduce(np.abs(x * reach_y - y * reach_x))
    ahead = np.minimum.reduce(x * run[0] + y * run[1])
    return bool(off <= STRAIGHT_MM and ahead > 0.0 and np.minimum.reduce(span) >= COINCIDENT_MM)


def _check_line(number: int, piece: Piece, bays: list[list[list[float]]]) -> None:
    """One piece: each bay from (x, y) to (x, y), in order along the line from end to end."""
    (x0, y0), (xn, yn) = bays[0][0], bays[-1][1]
    span = check_length(number, piece, hypot(xn - x0, yn - y0))
    c, s = (xn - x0) / span, (yn - y0) / span
    for (x1, y1), (x2, y2) in bays:
        if hypot(x2 - x1, y2 - y1) < COINCIDENT_MM:
            raise BadGeometry("no-length", number, piece.nodes)
        if abs(c * (y2 - y0) - s * (x2 - x0)) > STRAIGHT_MM:
            raise BadGeometry("bent", number, piece.nodes)
        if (x2 - x1) * c + (y2 - y1) * s <= 0.0:
            raise BadGeometry("doubles-back", number, piece.nodes)


def check_supports(frame: Frame, count: int) -> None:
    """One support a node, springs sound, and something that holds the frame, sideways too."""
    taken: set[int] = set()
    holds = sideways = False
    for number, s in enumerate(frame.supports):
        if not 0 <= s.node < count:
            raise BadSupport(number, s.node, "no such node")
        if s.node in taken:
            raise BadSupport(number, s.node, "another support stands here")
        taken.add(s.node)
        if not (0.0 <= s.spring_x < inf and 0.0 <= s.spring_y < inf and 0.0 <= s.spring_rotation < inf):
            field = next(field for field in SPRINGS if not 0.0 <= getattr(s, field) < inf)
            raise BadStiffness("support", number, field, getattr(s, field))
        if not (isfinite(s.inclined) and isfinite(s.offset[0]) and isfinite(s.offset[1])):
            raise NonFinite("supports")
        holds = holds or bool(s.x or s.y or s.rotation or s.spring_x or s.spring_y or s.spring_rotation)
        sideways = sideways or _holds_sideways(s)
    if not holds:
        raise NoSupport
    if not sideways:
        raise NoHorizontalRestraint


def _holds_sideways(support: Support) -> bool:
    if not support.inclined:
        return bool(support.x or support.spring_x)
    along, across = abs(cos(support.inclined)) > LEVEL, abs(sin(support.inclined)) > LEVEL
    return bool((along and (support.x or support.spring_x)) or (across and (support.y or support.spring_y)))


def check_parts(frame: Frame, count: int, starts: list[int], ends: list[int]) -> None:
    """Every node of a piece exists and all hang together: pieces are added to those reached, twice over at most, before they are looked at
    one bay at a time."""
    reached, waiting = set(frame.pieces[0].nodes), [piece.nodes for piece in frame.pieces]
    for _ in range(2):
        left = []
        for nodes in waiting:
            if reached.isdisjoint(nodes):
                left.append(nodes)
            else:
                reached.update(nodes)
        waiting = left
    if waiting or len(reached) != count or min(reached) < 0 or max(reached) >= count:
        _check_nodes_exist(frame, count)
        _check_one_part(count, starts, ends)


def _check_nodes_exist(frame: Frame, count: int) -> None:
    for number, piece in enumerate(frame.pieces):
        if min(piece.nodes) < 0 or max(piece.nodes) >= count:
            raise BadGeometry("unknown-node", number, piece.nodes)


def _check_one_part(count: int, starts: list[int], ends: list[int]) -> None:
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
