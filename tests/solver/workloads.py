"""Frames that tests and benchmarks share: a Fink truss, an open-web joist, an attic truss, long chords, a lattice, random frames.

Softwood-like sections, E 11 000 N/mm². Each is (frame, cases, factors): 8 load cases, 24 combinations.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, radians, tan

import numpy as np

from solver import Frame, LengthChange, LineLoad, NodeLoad, Piece, PointLoad, SettlementLoad, Support

E0 = 11000.0
CASES, COMBINATIONS = 8, 24
ROLLER = {"y": True}
PIN = {"x": True, "y": True}


def combinations(seed=7):
    random = np.random.default_rng(seed)
    factors = random.choice([0.0, 1.0, 1.05, 1.35, 1.5, 0.7, 0.6, 0.9], size=(COMBINATIONS, CASES))
    factors[:, 0] = random.choice([0.9, 1.0, 1.35], COMBINATIONS)
    return factors


def piece(nodes, b, h, **more):
    return Piece(tuple(nodes), E0 * b * h, E0 * b * h**3 / 12.0, **more)


def eight_cases(frame, upper, lower, point_node):
    """Permanent, snow whole, left and right, wind both ways, storage, a person; N/mm of member length."""
    xy = frame.xy
    reach = [float(np.hypot(*np.diff(xy[list(p.nodes)], axis=0).T).sum()) for p in frame.pieces]
    middle = (xy[:, 0].min() + xy[:, 0].max()) / 2.0
    left = [k for k in upper if xy[list(frame.pieces[k].nodes), 0].mean() < middle] or upper[:1]
    right = [k for k in upper if k not in left] or upper[-1:]

    def spread(pieces, qx, qy):
        return [LineLoad(k, 0.0, reach[k], (qx, qx), (qy, qy)) for k in pieces]

    def normal(pieces, q):
        rows = []
        for k in pieces:
            (x1, y1), (x2, y2) = xy[frame.pieces[k].nodes[0]], xy[frame.pieces[k].nodes[-1]]
            c, s = (x2 - x1) / reach[k], (y2 - y1) / reach[k]
            rows += spread([k], -s * q, c * q)
        return rows

    return [
        spread(upper, 0.0, -0.41) + spread(lower, 0.0, -0.15),
        spread(upper, 0.0, -0.45),
        spread(left, 0.0, -0.45),
        spread(right, 0.0, -0.45),
        normal(upper, 0.30),
        normal(left, -0.25) + normal(right, 0.15),
        spread(lower, 0.0, -0.15),
        [NodeLoad(point_node, fy=-900.0)],
    ]


def fink(span=9000.0, pitch=35.0, depth=97.0):
    """W1: 11 nodes, 15 bays, continuous chords, pinned webs."""
    t, o = tan(radians(pitch)), 450.0
    xy = [
        (-o, -o * t), (0, 0), (span / 4, span / 4 * t), (span / 2, span / 2 * t), (3 * span / 4, span / 4 * t), (span, 0), (span + o, -o * t),
        (span / 6, 0), (span / 3, 0), (2 * span / 3, 0), (5 * span / 6, 0),
    ]  # fmt: skip
    chords = [piece((0, 1, 2, 3), 38, depth), piece((3, 4, 5, 6), 38, depth), piece((1, 7, 8, 9, 10, 5), 38, depth)]
    webs = [piece(ends, 38, 72) for ends in ((2, 8), (8, 3), (3, 9), (9, 4))]
    frame = Frame(np.array(xy, dtype=float), (*chords, *webs), (Support(1, **PIN), Support(5, **ROLLER)))
    return frame, eight_cases(frame, [0, 1], [2], 8), combinations()


def joist(span=6000.0, depth=302.0, panels=10, bearings=()):
    """W2 (10 panels): 40 nodes, 58 bays; with many panels and ``bearings`` (top node numbers) the long chords of W5."""
    p = span / panels
    top, bottom = 2 * panels + 1, 2 * panels - 1
    xy = [(i * p / 2, depth) for i in range(top)] + [(p / 2 + i * p / 2, 0.0) for i in range(bottom)]
    chords = [piece(range(top), 72, 47), piece(range(top, top + bottom), 72, 47)]
    webs = []
    for k in range(panels):
        webs += [piece((2 * k, top + 2 * k), 60, 20), piece((top + 2 * k, 2 * k + 2), 60, 20)]
    supports = [Support(0, **PIN), *(Support(k, **ROLLER) for k in bearings), Support(top - 1, **ROLLER)]
    frame = Frame(np.array(xy, dtype=float), (*chords, *webs), tuple(supports))
    return frame, eight_cases(frame, [0], [1], top + bottom // 2), combinations()


def attic(span=9000.0, pitch=45.0):
    """W3: 17 nodes, 25 bays, a room without diagonals."""
    t, o = tan(radians(pitch)), 400.0
    a, b, q, h = 0.13 * span, 0.30 * span, 0.38 * span, span / 2
    xy = [
        (0, 0), (a, 0), (b, 0), (h, 0), (span - b, 0), (span - a, 0), (span, 0),
        (-o, -o * t), (b, b * t), (q, q * t), (h, h * t), (span - q, q * t), (span - b, b * t), (span + o, -o * t),
        (h, q * t), (b, b * t / 2), (span - b, b * t / 2),
    ]  # fmt: skip
    main = [piece((7, 0, 8, 9, 10), 47, 197), piece((10, 11, 12, 6, 13), 47, 197), piece(range(7), 47, 197)]
    room = [piece(ends, 47, 122) for ends in ((9, 14, 11), (2, 15, 8), (4, 16, 12))]
    webs = [piece(ends, 47, 97) for ends in ((1, 8), (5, 12), (14, 10), (1, 15), (5, 16))]
    frame = Frame(np.array(xy, dtype=float), (*main, *room, *webs), (Support(0, **PIN), Support(6, **ROLLER)))
    return frame, eight_cases(frame, [0, 1], [2], 3), combinations()


def chord(nodes):
    """W5: parallel chords of about ``nodes`` nodes, a bearing every twenty panels."""
    panels = nodes // 4
    return joist(600.0 * panels, panels=panels, bearings=range(40, 2 * panels, 40))


def lattice(nodes):
    """W5: a square grid of rigid joints on fixed feet, about ``nodes`` nodes."""
    side = round(nodes**0.5)
    xy = [(4000.0 * i, 3000.0 * j) for j in range(side) for i in range(side)]
    beams = [piece(range(j * side, (j + 1) * side), 300, 400, start=inf, end=inf) for j in range(1, side)]
    posts = [piece(range(i, side * side, side), 300, 400, start=inf, end=inf) for i in range(side)]
    feet = tuple(Support(i, x=True, y=True, rotation=True) for i in range(side))
    frame = Frame(np.array(xy), (*beams, *posts), feet)
    return frame, eight_cases(frame, list(range(side - 1)), list(range(side - 1, 2 * side - 1)), side * side // 2), combinations()


def archive(count, seed=3):
    """W6: ``count`` Fink trusses, all different."""
    random = np.random.default_rng(seed)
    for span, pitch in zip(random.uniform(6000, 12000, count), random.uniform(25, 45, count), strict=True):
        yield fink(span, pitch)


def random_frame(seed):
    """A stable frame of triangles and quadrilaterals: any joint, shear, eccentric ends, springs, inclined and offset supports, any load."""
    random = np.random.default_rng(seed)
    panels = int(random.integers(2, 7))
    xs = np.cumsum(random.uniform(700, 2500, panels + 1))
    bottom = np.stack((xs, random.uniform(-200, 200, panels + 1)), axis=1)
    run = int(random.integers(2, panels + 1))  # the bottom chord starts as one straight piece
    bottom[: run + 1, 1] = np.interp(xs[: run + 1], xs[[0, run]], bottom[[0, run], 1])
    top = np.stack((xs + random.uniform(-150, 150, panels + 1), random.uniform(600, 2500, panels + 1)), axis=1)
    xy = np.concatenate((bottom, top))
    off = panels + 1
    runs = [tuple(range(run + 1)), *((k, k + 1) for k in range(run, panels)), *((off + k, off + k + 1) for k in range(panels))]
    runs += [(k, off + k) for k in range(panels + 1)]
    braced = random.random(panels) < 0.6
    runs += [(k, off + k + 1) if random.random() < 0.5 else (k + 1, off + k) for k in range(panels) if braced[k]]
    stiff = not braced.all()
    pieces = tuple(_random_piece(random, nodes, stiff) for nodes in runs)
    supports = (
        Support(0, x=True, y=True, rotation=bool(random.random() < 0.3)),
        Support(panels, spring_x=2.0, spring_y=4e3, inclined=random.choice([0.0, -0.4]), spring_rotation=1e6),
        Support(panels // 2, spring_y=random.uniform(100, 5000), spring_x=random.choice([0.0, 300.0])),
    )
    frame = Frame(xy, pieces, supports)
    return frame, [_random_case(random, frame) for _ in range(4)]


def harder_frame(seed):
    """As :func:`random_frame`, with all it leaves out: joints behind arms, bearings off their nodes, held inclined axes, settlement, length
    change, trapezoids on shear-flexible pieces."""
    frame, _ = random_frame(seed)
    random = np.random.default_rng(1000 + seed)
    pieces = list(frame.pieces)
    for k in random.choice(len(pieces), 3, replace=False):
        joint = {name: random.choice([1e8, 1e9]) for name in ("start", "end")}
        pieces[k] = replace(pieces[k], **joint, start_offset=(0.0, 0.0) if len(pieces[k].nodes) > 2 else tuple(random.uniform(-60, 60, 2)))
    one, two, three = frame.supports
    supports = (
        replace(one, inclined=0.2, offset=tuple(random.uniform(-60, 60, 2)), rotation=True),
        replace(two, y=True, offset=tuple(random.uniform(-60, 60, 2)), inclined=-0.4),
        replace(three, offset=(0.0, 45.0), spring_rotation=1e8),
    )
    frame = Frame(frame.xy, tuple(pieces), supports)
    moved = [SettlementLoad(0, x=1.5, y=-2.0, rotation=0.001), SettlementLoad(1, y=3.0), SettlementLoad(2, y=-4.0)]
    cases = [_random_case(random, frame) for _ in range(3)]
    reach = float(np.hypot(*(frame.xy[pieces[1].nodes[-1]] - frame.xy[pieces[1].nodes[0]]))) - 250.0
    spread = [LineLoad(1, 90.0, reach, (0.1, -0.4), (-0.2, 0.6)), LengthChange(0, 2e-4)]
    return frame, [cases[0], [*cases[1], *moved], [*cases[2], *spread], moved]


def _random_piece(random, nodes, stiff):
    b, h = random.uniform(35, 60), random.uniform(60, 220)
    ga = random.choice([inf, 690.0 * b * h / 1.2])
    offsets = {
        name: tuple(random.uniform(-60, 60, 2)) for name in ("start_offset", "end_offset") if len(nodes) == 2 and random.random() < 0.2
    }
    joints = [inf] if stiff or offsets else [0.0, inf, random.uniform(1e6, 1e9)]
    return piece(nodes, b, h, ga=ga, start=random.choice(joints), end=random.choice(joints), **offsets)


def _random_case(random, frame):
    loads = [NodeLoad(int(random.integers(len(frame.xy))), *random.uniform(-2000, 2000, 2))]
    for k, p in enumerate(frame.pieces):
        xy = frame.xy[[p.nodes[0], p.nodes[-1]]] + (p.start_offset, p.end_offset)
        reach = float(np.hypot(*(xy[1] - xy[0])))
        # places well apart from one another and from the nodes: slivers cost the other library digits
        first, last = (np.hypot(*np.diff(frame.xy[list(pair)], axis=0)[0]) for pair in (p.nodes[:2], p.nodes[-2:]))
        share = np.sort(random.choice([0.22, 0.45, 0.71], 2, replace=False))
        places = (share[0] * first, reach - (1.0 - share[1]) * last)
        ends = random.uniform(-1, 1, (2, 2))
        if p.ga < inf:
            ends[:, 1] = ends[:, 0]  # the library compared with has no trapezoid on a shear-flexible element
        if random.random() < 0.4:
            loads.append(LineLoad(k, 0.0, reach, *ends))
        if random.random() < 0.3:
            loads.append(LineLoad(k, *places, *ends))
        if random.random() < 0.3:
            loads.append(PointLoad(k, places[0], *random.uniform(-1500, 1500, 2), random.choice([0.0, 4e5])))
    return loads
