"""The same frame in OpenSees (openseespy), a general finite-element library, element by element; N, mm.

Joints are zero-length springs or shared rotations, offsets rigid-link geometry, loads cut where they start and stop: nothing of our own
element theory is used. Used by the comparisons and the benchmarks. It cannot chain constraints, so joints behind rigid arms, bearings off
their node and held inclined axes are left to other tests.
"""

from __future__ import annotations

import ctypes
import importlib.util
from itertools import pairwise
from math import cos, hypot, inf, sin
from pathlib import Path

import numpy as np

from solver import LengthChange, LineLoad, NodeLoad, PointLoad


def library():
    """openseespy, whose wheel carries its own BLAS but does not say so to the loader; which Fortran library, differs from wheel to wheel."""
    home = Path(importlib.util.find_spec("openseespylinux").submodule_search_locations[0]) / "lib"
    for name in ("quadmath", "gfortran", "blas", "lapack"):
        ctypes.CDLL(str(next(home.glob(f"lib{name}.so.*"))), ctypes.RTLD_GLOBAL)
    import openseespy.opensees as ops

    return ops


class Model:
    """One frame built in OpenSees; ``run`` solves one case at a time."""

    def __init__(self, frame):
        self.ops, self.frame = library(), frame
        self.bays = _bays(frame)

    def run(self, case):
        """Displacements (n, 3), forces at the bays' ends (B, 6) in their own axes: N, V, M of the element on both ends."""
        marks = _marks(self.bays, case)
        self._build(marks)
        self._load(case, marks)
        ops = self.ops
        ops.system("ProfileSPD")
        ops.numberer("RCM")
        ops.constraints("Transformation")
        ops.integrator("LoadControl", 1.0)
        ops.algorithm("Linear")
        ops.analysis("Static")
        if ops.analyze(1):
            raise ArithmeticError("OpenSees did not solve")
        moved = np.array([[ops.nodeDisp(k + 1, axis) for axis in (1, 2, 3)] for k in range(len(self.frame.xy))])
        ends = [(ops.eleResponse(a, "localForce")[:3], ops.eleResponse(b, "localForce")[3:]) for a, b in self.outer]
        return moved, np.array(ends).reshape(-1, 6)

    def _build(self, marks):
        ops, frame = self.ops, self.frame
        ops.wipe()
        ops.model("basic", "-ndm", 2, "-ndf", 3)
        for k, (x, y) in enumerate(frame.xy):
            ops.node(k + 1, float(x), float(y))
        ops.geomTransf("Linear", 1)
        self.tag = len(frame.xy)
        self.element = 0
        self.turning = set()
        self.cuts, self.outer = {}, []
        for bay, places in zip(self.bays, marks, strict=True):
            self._bay(bay, places)
        self._supports()
        for k in set(range(len(frame.xy))) - self.turning:
            ops.fix(k + 1, 0, 0, 1)

    def _node(self, x, y):
        self.tag += 1
        self.ops.node(self.tag, float(x), float(y))
        return self.tag

    def _next(self):
        self.element += 1
        return self.element

    def _end(self, node, point, stiffness):
        """Tag of the node at which the bay ends: the frame's own, or one behind a rigid arm and a joint."""
        ops, base = self.ops, node + 1
        if hypot(*(point - self.frame.xy[node])) > 0.0:
            arm = self._node(*point)
            ops.rigidLink("beam", base, arm)
            self.turning.add(node)
            if stiffness < inf:
                raise NotImplementedError("a joint behind an arm: constraints that follow one another")
            return arm
        if stiffness == inf:
            self.turning.add(node)
            return base
        joint = self._node(*point)
        ops.equalDOF(base, joint, 1, 2)
        if stiffness > 0.0:
            self.turning.add(node)
            material = self._next()
            ops.uniaxialMaterial("Elastic", material, stiffness)
            ops.element("zeroLength", self._next(), base, joint, "-mat", material, "-dir", 6)
        return joint

    def _bay(self, bay, places):
        ops, piece = self.ops, bay["piece"]
        tags = [self._end(bay["i"], bay["a"], bay["start"])]
        tags += [self._node(*(bay["a"] + (bay["b"] - bay["a"]) * x / bay["length"])) for x in places[1:-1]]
        tags.append(self._end(bay["j"], bay["b"], bay["end"]))
        elements = []
        for one, other in pairwise(tags):
            tag = self._next()
            if piece.ga == inf:
                ops.element("elasticBeamColumn", tag, one, other, piece.ea, 1.0, piece.ei, 1)
            else:
                ops.element("ElasticTimoshenkoBeam", tag, one, other, 1.0, piece.ga, piece.ea, piece.ei, 1.0, 1)
            elements.append(tag)
        self.cuts[bay["number"]] = (places, tags, elements)
        self.outer.append((elements[0], elements[-1]))

    def _supports(self):
        ops = self.ops
        for support in self.frame.supports:
            here = support.node + 1
            if support.rotation or support.spring_rotation:
                self.turning.add(support.node)
            ground = self._node(*ops.nodeCoord(here))
            ops.fix(ground, 1, 1, 1)
            springs = (support.spring_x, support.spring_y, support.spring_rotation)
            if any(support.offset) or (support.inclined and (support.x or support.y)):
                raise NotImplementedError("bearings off the node, held inclined axes")
            ops.fix(here, int(support.x), int(support.y), int(support.rotation))
            if any(springs):
                self._springs(ground, here, support.inclined, springs)

    def _springs(self, ground, here, angle, springs):
        ops, materials, axes = self.ops, [], []
        for axis, spring in enumerate(springs):
            if spring:
                material = self._next()
                ops.uniaxialMaterial("Elastic", material, spring)
                materials.append(material)
                axes.append((1, 2, 6)[axis])
        turn = ("-orient", cos(angle), sin(angle), 0.0, -sin(angle), cos(angle), 0.0)
        ops.element("zeroLength", self._next(), ground, here, "-mat", *materials, "-dir", *axes, *turn)

    def _load(self, case, marks):
        ops = self.ops
        ops.timeSeries("Linear", 1)
        ops.pattern("Plain", 1, 1)
        for load in case:
            if isinstance(load, NodeLoad):
                ops.load(load.node + 1, load.fx, load.fy, load.m)
            elif isinstance(load, PointLoad):
                number, x = _find(self.bays, load.piece, load.at)
                places, tags, _ = self.cuts[number]
                ops.load(tags[int(np.argmin(np.abs(np.array(places) - x)))], load.fx, load.fy, load.m)
            elif isinstance(load, LineLoad):
                self._line(load)
            elif isinstance(load, LengthChange):
                raise NotImplementedError

    def _line(self, load):
        run = load.end - load.start
        for bay in self.bays:
            if bay["piece_number"] != load.piece:
                continue
            places, _, elements = self.cuts[bay["number"]]
            c, s = (bay["b"] - bay["a"]) / bay["length"]
            for (x0, x1), element in zip(pairwise(places), elements, strict=True):
                a, b = bay["at"] + x0, bay["at"] + x1
                if (a + b) / 2 < load.start or (a + b) / 2 > load.end:
                    continue
                q = [[v[0] + (v[1] - v[0]) * (x - load.start) / run for x in (a, b)] for v in (load.qx, load.qy)]
                axial = [c * q[0][k] + s * q[1][k] for k in (0, 1)]
                across = [c * q[1][k] - s * q[0][k] for k in (0, 1)]
                if q[0][0] != q[0][1] or q[1][0] != q[1][1]:
                    if bay["piece"].ga < inf:
                        raise NotImplementedError("trapezoid on a shear-flexible element")
                    self.ops.eleLoad("-ele", element, "-type", "-beamUniform", across[0], axial[0], 0.0, 1.0, across[1], axial[1])
                else:
                    self.ops.eleLoad("-ele", element, "-type", "-beamUniform", across[0], axial[0])


def _bays(frame):
    bays = []
    for number, piece in enumerate(frame.pieces):
        at = 0.0
        for k in range(len(piece.nodes) - 1):
            first, last = k == 0, k == len(piece.nodes) - 2
            a = frame.xy[piece.nodes[k]] + (piece.start_offset if first else (0.0, 0.0))
            b = frame.xy[piece.nodes[k + 1]] + (piece.end_offset if last else (0.0, 0.0))
            length = hypot(*(b - a))
            bays.append(
                {
                    "number": len(bays), "piece_number": number, "piece": piece, "i": piece.nodes[k], "j": piece.nodes[k + 1],
                    "a": a, "b": b, "length": length, "at": at, "start": piece.start if first else inf, "end": piece.end if last else inf,
                }
            )  # fmt: skip
            at += length
    return bays


def _find(bays, piece, at):
    own = [b for b in bays if b["piece_number"] == piece]
    bay = next((b for b in own if b["at"] <= at < b["at"] + b["length"]), own[-1])
    return bay["number"], at - bay["at"]


def _marks(bays, case):
    """Places at which each bay must be cut for a case."""
    marks = [{0.0, bay["length"]} for bay in bays]
    for load in case:
        if isinstance(load, PointLoad):
            number, x = _find(bays, load.piece, load.at)
            marks[number].add(min(x, bays[number]["length"]))
        elif isinstance(load, LineLoad):
            for bay in bays:
                if bay["piece_number"] == load.piece:
                    marks[bay["number"]].update(
                        x for x in (load.start - bay["at"], load.end - bay["at"]) if 1e-6 < x < bay["length"] - 1e-6
                    )
    return [_apart(sorted(m)) for m in marks]


def _apart(places):
    """Places less than a micrometre apart are one: a sliver would cost all digits."""
    return [x for k, x in enumerate(places) if k == 0 or x - places[k - 1] > 1e-3]
