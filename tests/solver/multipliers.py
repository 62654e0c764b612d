"""The same frame by another formulation: every bay floats free with textbook matrices, and joints, arms and supports are constraints.

Each bay end and each node has three unknowns of its own; Lagrange multipliers tie them, rotational springs join them. Loads reach the
bays as fixed-end forces integrated by Gauss quadrature against cubic shape functions (no shear) or against statics (shear), so nothing of
the solver's element, numbering, release or support code is used. Dense and slow: for small frames only.
"""

from __future__ import annotations

from math import cos, hypot, inf, sin

import numpy as np

from solver import LengthChange, LineLoad, NodeLoad, PointLoad, SettlementLoad

GAUSS, WEIGHTS = np.polynomial.legendre.leggauss(8)


def solve(frame, case):
    """Displacements (n, 3) and forces on the bays' ends (B, 6) in their own axes: axial, transverse, moment at each end."""
    bays = _bays(frame)
    nodes, size = len(frame.xy), 3 * len(frame.xy) + 6 * len(bays)
    stiff, force = np.zeros((size, size)), np.zeros(size)
    ties, values = [], []
    held = []
    for b, bay in enumerate(bays):
        at = 3 * nodes + 6 * b
        local, turn = _stiffness(bay), _turn(bay)
        held.append(_fixed(bay, case))
        stiff[at : at + 6, at : at + 6] += turn.T @ local @ turn
        force[at : at + 6] -= turn.T @ held[-1]
        for end, (node, arm, joint) in enumerate(((bay["i"], bay["a"], bay["start"]), (bay["j"], bay["b"], bay["end"]))):
            _join(stiff, ties, 3 * node, at + 3 * end, arm - frame.xy[node], joint)
    for number, support in enumerate(frame.supports):
        _support(
            stiff, force, ties, values, support, [load for load in case if isinstance(load, SettlementLoad) and load.support == number]
        )
    for load in case:
        if isinstance(load, NodeLoad):
            force[3 * load.node : 3 * load.node + 3] += (load.fx, load.fy, load.m)
    used = {3 * bay[k] + 2 for bay in bays for k, joint in (("i", bay["start"]), ("j", bay["end"])) if joint}
    for row in range(2, 3 * nodes, 3):
        if not stiff[row].any() and row not in used and not any(tie.get(row) for tie in ties):
            ties.append({row: 1.0})
    answer = _bordered(stiff, force, ties, values)
    ends = [_stiffness(bay) @ _turn(bay) @ answer[3 * nodes + 6 * b : 3 * nodes + 6 * b + 6] + held[b] for b, bay in enumerate(bays)]
    return answer[: 3 * nodes].reshape(-1, 3), np.array(ends)


def _bordered(stiff, force, ties, values):
    size, count = len(stiff), len(ties)
    whole = np.zeros((size + count, size + count))
    scale = np.abs(stiff).max()
    whole[:size, :size] = stiff / scale
    for k, tie in enumerate(ties):
        for row, value in tie.items():
            whole[size + k, row] = whole[row, size + k] = value
    wanted = np.zeros(count)
    for k, value in values:
        wanted[k] = value
    return np.linalg.solve(whole, np.concatenate((force / scale, wanted)))[:size]


def _join(stiff, ties, node, end, arm, joint):
    ties.append({node: 1.0, node + 2: -arm[1], end: -1.0})
    ties.append({node + 1: 1.0, node + 2: arm[0], end + 1: -1.0})
    if joint == inf:
        ties.append({node + 2: 1.0, end + 2: -1.0})
    elif joint:
        for a, b, sign in ((node, node, 1), (end, end, 1), (node, end, -1), (end, node, -1)):
            stiff[a + 2, b + 2] += sign * joint


def _support(stiff, force, ties, values, support, moves):
    c, s, base = cos(support.inclined), sin(support.inclined), 3 * support.node
    x, y = support.offset
    rows = ({base: c, base + 1: s, base + 2: x * s - y * c}, {base: -s, base + 1: c, base + 2: x * c + y * s}, {base + 2: 1.0})
    held = (support.x, support.y, support.rotation)
    springs = (support.spring_x, support.spring_y, support.spring_rotation)
    move = [sum(getattr(load, name) for load in moves) for name in ("x", "y", "rotation")]
    for row, fast, spring, value in zip(rows, held, springs, move, strict=True):
        if fast:
            values.append((len(ties), value))
            ties.append(row)
        elif spring:
            for a, p in row.items():
                force[a] += spring * p * value
                for b, q in row.items():
                    stiff[a, b] += spring * p * q


def _bays(frame):
    bays = []
    for number, piece in enumerate(frame.pieces):
        at, last = 0.0, len(piece.nodes) - 2
        for k in range(last + 1):
            a = frame.xy[piece.nodes[k]] + (piece.start_offset if k == 0 else (0.0, 0.0))
            b = frame.xy[piece.nodes[k + 1]] + (piece.end_offset if k == last else (0.0, 0.0))
            bay = {"piece": piece, "number": number, "i": piece.nodes[k], "j": piece.nodes[k + 1], "a": a, "b": b, "at": at}
            bay |= {"length": hypot(*(b - a)), "start": piece.start if k == 0 else inf, "end": piece.end if k == last else inf}
            bays.append(bay)
            at += bay["length"]
    return bays


def _stiffness(bay):
    """Przemieniecki's beam with shear, rigid ends."""
    p, length = bay["piece"], bay["length"]
    phi = 12.0 * p.ei / (p.ga * length**2)
    k = p.ei / (length**3 * (1.0 + phi))
    a = p.ea / length
    l6, l4, l2 = 6.0 * length * k, (4.0 + phi) * length**2 * k, (2.0 - phi) * length**2 * k
    return np.array(
        [
            [a, 0, 0, -a, 0, 0],
            [0, 12 * k, l6, 0, -12 * k, l6],
            [0, l6, l4, 0, -l6, l2],
            [-a, 0, 0, a, 0, 0],
            [0, -12 * k, -l6, 0, 12 * k, -l6],
            [0, l6, l2, 0, -l6, l4],
        ]
    )


def _turn(bay):
    c, s = (bay["b"] - bay["a"]) / bay["length"]
    turn = np.zeros((6, 6))
    for k in (0, 3):
        turn[k : k + 2, k : k + 2] = [[c, s], [-s, c]]
        turn[k + 2, k + 2] = 1.0
    return turn


def _shapes(bay, x):
    """(2, 6) movement along and across at x under unit movements of the ends; work-equivalent for shear-flexible bays too."""
    length = bay["length"]
    z, phi = x / length, 12.0 * bay["piece"].ei / (bay["piece"].ga * bay["length"] ** 2)
    f = 1.0 / (1.0 + phi)
    rows = np.zeros((2, 6))
    rows[0, 0], rows[0, 3] = 1.0 - z, z
    rows[1, 1] = f * (1.0 - 3 * z**2 + 2 * z**3 + phi * (1.0 - z))
    rows[1, 2] = f * length * (z - 2 * z**2 + z**3 + phi / 2.0 * (z - z**2))
    rows[1, 4] = f * (3 * z**2 - 2 * z**3 + phi * z)
    rows[1, 5] = f * length * (-(z**2) + z**3 - phi / 2.0 * (z - z**2))
    return rows


def _slope(bay, x):
    """(6,) rotation of the section at x under unit movements of the ends."""
    length = bay["length"]
    z, phi = x / length, 12.0 * bay["piece"].ei / (bay["piece"].ga * bay["length"] ** 2)
    f = 1.0 / (1.0 + phi)
    a = f * 6.0 / length * (z**2 - z)
    return np.array([0, a, f * (1 - 4 * z + 3 * z**2 + phi * (1 - z)), 0, -a, f * (3 * z**2 - 2 * z + phi * z)])


def _fixed(bay, case):
    """Forces (6,) on the ends of the clamped bay, in its own axes: less the work of the loads on its shapes."""
    work, length = np.zeros(6), bay["length"]
    c, s = (bay["b"] - bay["a"]) / length
    own = np.array([[c, s], [-s, c]])
    last = bay["piece"].nodes[-1] == bay["j"]
    for load in case:
        if isinstance(load, LineLoad) and load.piece == bay["number"]:
            a, b = max(load.start - bay["at"], 0.0), min(load.end - bay["at"], length)
            if b > a:
                for g, w in zip(GAUSS, WEIGHTS, strict=True):
                    x = 0.5 * (a + b) + 0.5 * (b - a) * g
                    share = (x + bay["at"] - load.start) / (load.end - load.start)
                    q = [e[0] + (e[1] - e[0]) * share for e in (load.qx, load.qy)]
                    work += 0.5 * (b - a) * w * (own @ q) @ _shapes(bay, x)
        elif isinstance(load, PointLoad) and load.piece == bay["number"]:
            x = load.at - bay["at"]
            if 0.0 <= x < length or (last and x == length):
                work += (own @ (load.fx, load.fy)) @ _shapes(bay, x) + load.m * _slope(bay, x)
        elif isinstance(load, LengthChange) and load.piece == bay["number"]:
            work += bay["piece"].ea * load.strain * np.array([-1.0, 0, 0, 1.0, 0, 0])
    return -work
