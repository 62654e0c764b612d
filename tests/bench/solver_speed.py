"""Speed and agreement of the solver as ratios, each pair timed in turns within one run.

    python tests/bench/solver_speed.py [--rounds 30] [--small]

Prints a table of ratios of processor time. ``--small`` leaves out the frames of 2 000 and 20 000 nodes (a minute or two).

Rows 1 and 2 ask the same of both sides: the answer of 8 cases, and from it N, V and M of 24 combinations at 11 stations of every bay. What they start
from differs, so both ways are printed, like with like first. LAPACK is handed arrays, and the library less its build a model: against these stands a
frame "known", analysed before, whose bays are kept with it; all else counts, from sorting the loads to N, V and M. The library with its build makes its
model anew from lists of numbers: against it stands a frame made anew each time of pieces, supports and loads that there are. This holds more than the
library's build: that nodes stand apart, pieces are straight, stiffnesses sound, all parts joined and held is proved first. Either way ours looks for
mechanisms and lost digits, which the others do not; the proof of balance, which they do not have either, is asked for in rows of its own.
Memory of the size of an answer is given back once at the start, as in any process that has answered a larger frame: the C library then keeps it for the
next, and does not fetch it from the system page by page, for neither side.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy loads

import argparse
import resource
import sys
import time
from itertools import islice
from math import inf, log10
from pathlib import Path

import numpy as np
from scipy.linalg import lapack

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "solver"))

import opensees
import workloads

from solver import Frame, Imperfection, LineLoad, analyse, buckling, second_order
from solver.loading import loading
from solver.mesh import mesh
from solver.numbering import numbering


def turns(rounds, *works):
    """Least processor time of each work, seconds, all in turns: neighbours on a shared machine strike alike, and the least least."""
    best = [inf] * len(works)
    for _ in range(rounds):
        for k, work in enumerate(works):
            start = time.process_time()
            work()
            best[k] = min(best[k], time.process_time() - start)
    return best


def repeated(work, times):
    def run():
        for _ in range(times):
            work()

    return run


def settle_memory():
    """Let the C library keep what is given back from now on."""
    taken = np.ones(1_000_000)
    del taken


def anew(frame):
    """The same frame, not analysed before."""
    return Frame(frame.xy, frame.pieces, frame.supports)


def answered(frame, cases, factors):
    """All cases, all combinations, N V M at every station."""
    combined = analyse(frame, cases).combine(factors)
    return combined.n, combined.v, combined.m


def everything(frame, cases, factors):
    """The same, and the proof of balance."""
    response = analyse(frame, cases)
    combined = response.combine(factors)
    return response.residual, combined.n, combined.v, combined.m


def lapack_alone(frame, cases):
    """Factor and solve of a matrix of the same size and width with as many right-hand sides, dense or banded, whichever is quicker: nothing can
    be faster."""
    bays = mesh(frame)
    numbers = numbering(bays, 0)
    random = np.random.default_rng(1)
    right = np.asfortranarray(random.random((numbers.size, len(loading(bays, cases).nodal))))
    full = random.random((numbers.size, numbers.size))
    full = np.asfortranarray(full @ full.T + numbers.size * np.eye(numbers.size))
    band = np.asfortranarray(0.1 * random.random((numbers.width + 1, numbers.size)))
    band[0] = 10.0 * (numbers.width + 1)

    def dense():
        lower, _ = lapack.dpotrf(full, lower=1, clean=0)
        return lapack.dpotrs(lower, right, lower=1)

    def banded():
        lower, _ = lapack.dpbtrf(band, lower=1)
        return lapack.dpbtrs(lower, right, lower=1)

    slow, quick = turns(50, dense, banded)
    return banded if quick < slow else dense


class Library:
    """OpenSees in the best form known to us: pins as releases, one factorisation for all cases, end forces read, N V M from them by statics."""

    def __init__(self, frame, cases, stations=11):
        self.ops, self.frame = opensees.library(), frame
        self.bays = opensees._bays(frame)
        self.cases = [self._loads(case) for case in cases]
        self.length = np.array([bay["length"] for bay in self.bays])
        self.spread = np.zeros((2, len(cases), len(self.bays)))  # N/mm across and along, as the library takes them
        for case, rows in enumerate(self.cases):
            for row in rows:
                if len(row) == 3:
                    self.spread[:, case, row[0] - 1] += row[1:]
        self.powers = (np.arange(stations) / (stations - 1)) ** np.arange(3)[:, None]

    def _loads(self, case):
        rows = []
        for load in case:
            if not isinstance(load, LineLoad):
                rows.append((load.node + 1, load.fx, load.fy, load.m))
                continue
            for bay in self.bays:
                if bay["piece_number"] == load.piece:
                    c, s = (bay["b"] - bay["a"]) / bay["length"]
                    qx, qy = load.qx[0], load.qy[0]
                    rows.append((bay["number"] + 1, float(c * qy - s * qx), float(c * qx + s * qy)))
        return rows

    def build(self):
        ops = self.ops
        ops.wipe()
        ops.model("basic", "-ndm", 2, "-ndf", 3)
        for k, (x, y) in enumerate(self.frame.xy.tolist()):
            ops.node(k + 1, x, y)
        ops.geomTransf("Linear", 1)
        turning = set()
        for bay in self.bays:
            p, release = bay["piece"], (0 if bay["start"] else 1) + (0 if bay["end"] else 2)
            ops.element("elasticBeamColumn", bay["number"] + 1, bay["i"] + 1, bay["j"] + 1, p.ea, 1.0, p.ei, 1, "-release", release)
            turning |= {bay["i"]} if bay["start"] else set()
            turning |= {bay["j"]} if bay["end"] else set()
        held = {s.node: [int(s.x), int(s.y), int(s.rotation)] for s in self.frame.supports}
        for node in range(len(self.frame.xy)):
            fix = held.get(node, [0, 0, 0])
            fix[2] |= node not in turning
            if any(fix):
                ops.fix(node + 1, *fix)
        for number, case in enumerate(self.cases, start=1):
            steps = [float(k == number) for k in range(len(self.cases) + 2)]
            ops.timeSeries("Path", number, "-dt", 1.0, "-values", *steps)
            ops.pattern("Plain", number, number)
            for row in case:
                if len(row) == 4:
                    ops.load(*row)
                else:
                    ops.eleLoad("-ele", row[0], "-type", "-beamUniform", *row[1:])
        ops.constraints("Plain")
        ops.numberer("RCM")
        ops.system("BandSPD")
        ops.integrator("LoadControl", 1.0)
        ops.algorithm("Linear", "-factorOnce")
        ops.analysis("Static")

    def run(self):
        self.build()
        ops, forces = self.ops, []
        for _ in self.cases:  # one time step a case, each case alive at its own step: nothing is assembled or factored twice
            if ops.analyze(1):
                raise ArithmeticError("OpenSees did not solve")
            forces.append([ops.eleResponse(bay["number"] + 1, "localForce") for bay in self.bays])
        return np.array(forces)

    def everything(self, factors):
        """The same as ours: N V M of the combinations at the stations, from the end forces and the loads on the bays."""
        start, length = self.run()[:, :, :3].transpose(2, 0, 1), self.length
        across, along = self.spread * length
        terms = np.zeros((3, *across.shape, 3))
        terms[0, ..., 0], terms[0, ..., 1] = -start[0], -along
        terms[1, ..., 0], terms[1, ..., 1] = start[1], across
        terms[2, ..., 0], terms[2, ..., 1], terms[2, ..., 2] = -start[2], start[1] * length, 0.5 * across * length
        mixed = factors @ terms.reshape(3, len(across), -1)
        return (mixed.reshape(-1, 3) @ self.powers).reshape(3, len(factors), -1)


def end_forces(response):
    a, b = response.layout.edges
    n, v, m = response.n, response.v, response.m
    return np.stack((-n[:, a], v[:, a], -m[:, a], n[:, b], -v[:, b], m[:, b]), axis=2)


def agreement(frame, cases, factors=None):
    """Largest difference of forces and of moments at the ends of bays, and at stations of combinations, over the largest of their kind."""
    if factors is not None:
        combined = analyse(frame, cases).combine(factors)
        pairs = zip((combined.n, combined.v, combined.m), Library(frame, cases).everything(factors), strict=True)
        return max(agreement(frame, cases), *(float(np.abs(a - b).max() / np.abs(b).max()) for a, b in pairs))
    ours, theirs = end_forces(analyse(frame, cases, stations=2)), Library(frame, cases).run()
    kinds = ([0, 1, 3, 4], [2, 5])
    return max(float(np.abs(ours[..., k] - theirs[..., k]).max() / np.abs(theirs[..., k]).max()) for k in kinds)


def small_rows(rounds):
    for name, make in (("W1", workloads.fink), ("W2", workloads.joist), ("W3", workloads.attic)):
        frame, cases, factors = make()
        floor, theirs = lapack_alone(frame, cases), Library(frame, cases)
        times = 5  # each work runs so often at a stretch, all alike
        found = turns(
            rounds,
            repeated(floor, times),
            repeated(lambda f=frame, c=cases: analyse(anew(f), c), times),
            repeated(lambda f=frame, c=cases, k=factors: answered(anew(f), c, k), times),
            repeated(lambda f=frame, c=cases, k=factors: answered(f, c, k), times),
            repeated(lambda f=frame, c=cases, k=factors: everything(anew(f), c, k), times),
            repeated(lambda f=frame, c=cases, k=factors: everything(f, c, k), times),
            repeated(lambda t=theirs, k=factors: t.everything(k), times),
            repeated(theirs.build, times),
        )
        least, moved, ours, known, whole, proved, library, built = (best / times for best in found)
        target = {"W1": "≤ 25", "W2": "≤ 10"}.get(name, "")
        yield (
            1,
            f"{name} N V M of 24 combinations, frame known / LAPACK alone",
            known / least,
            target,
            f"{1e6 * known:.0f} / {1e6 * least:.0f} µs",
        )
        yield 1, f"{name} the same, frame anew / LAPACK alone", ours / least, target, f"{1e6 * ours:.0f} µs"
        yield 1, f"{name} displacements only, frame anew / LAPACK alone", moved / least, "", f"{1e6 * moved:.0f} µs"
        yield 1, f"{name} with the proof of balance, frame known / LAPACK alone", proved / least, "", f"{1e6 * proved:.0f} µs"
        yield 1, f"{name} with the proof of balance, frame anew / LAPACK alone", whole / least, "", f"{1e6 * whole:.0f} µs"
        target = {"W1": "≥ 3", "W2": "≥ 4", "W3": "≥ 4"}[name]
        yield (
            2,
            f"{name} finite-element library less its build / ours, frame known",
            (library - built) / known,
            "",
            f"{1e6 * (library - built):.0f} µs",
        )
        yield 2, f"{name} finite-element library / ours, frame anew", library / ours, target, f"{1e6 * library:.0f} µs"
        yield 2, f"{name} finite-element library / ours with the proof, frame anew", library / whole, "", ""
        yield 11, f"{name} agreement with the library", agreement(frame, cases, factors), "≤ 1e-11", ""


def second_rows(rounds):
    wrong = Imperfection(0.003, 0.0025)
    for name, make, target in (("W1", workloads.fink, "≤ 3.5"), ("W2", workloads.joist, "≤ 6")):
        frame, cases, factors = make()
        first, one, four, buckled = turns(
            max(3, rounds // 5),
            lambda f=frame, c=cases, k=factors: everything(anew(f), c, k),
            lambda f=frame, c=cases, k=factors: second_order(anew(f), c, k, wrong, divisions=1, stations=11),
            lambda f=frame, c=cases, k=factors: second_order(anew(f), c, k, wrong),
            lambda f=frame, c=cases, k=factors: buckling(anew(f), c, k),
        )
        yield 9, f"{name} second order, bays whole / first order", one / first, target, f"{1e3 * one:.1f} / {1e3 * first:.1f} ms"
        yield 9, f"{name} second order, bays in four / first order", four / first, "", f"{1e3 * four:.1f} ms"
        yield 9, f"{name} buckling of 24 combinations / first order", buckled / first, "", f"{1e3 * buckled:.1f} ms"


def archive_rows(many=10_000, few=100):
    """Frames that come one by one and are gone before the next, as from an archive; the median of ten stretches over that of LAPACK alone, timed in
    turns with them: over so long a time the machine itself changes pace."""
    frames, ratios, before = workloads.archive(many), [], 0
    floor = lapack_alone(*workloads.fink()[:2])
    for _ in range(many // few):
        spent = [0.0, 0.0]
        for frame, cases, _ in islice(frames, few):
            for k, work in enumerate((lambda f=frame, c=cases: analyse(f, c), repeated(floor, 10))):
                start = time.process_time()
                work()
                spent[k] += time.process_time() - start
        ratios.append(spent[0] / spent[1])
        before = before or resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    first, last = (float(np.median(part)) for part in (ratios[:10], ratios[-10:]))
    yield 7, f"W6 cost a frame, the last {10 * few} of {many} / the first", last / first, "≤ 1.05", f"{grown} KiB more at peak"


def large_rows():
    for name, make, target in (("chord", workloads.chord, "≤ 1.2"), ("lattice", workloads.lattice, "≤ 1.65")):
        models = [make(nodes) for nodes in (2000, 20000)]
        small, large = turns(3, *(lambda m=m: analyse(anew(m[0]), m[1]) for m in models))
        exponent = log10(large / small) / log10(len(models[1][0].xy) / len(models[0][0].xy))
        yield 8, f"W5 {name} growth 2 000 to 20 000 nodes, exponent", exponent, target, f"{1e3 * small:.0f} / {1e3 * large:.0f} ms"
        frame, cases, factors = models[0]
        theirs = Library(frame, cases)
        whole, library = turns(3, lambda f=frame, c=cases, k=factors: answered(anew(f), c, k), lambda t=theirs, k=factors: t.everything(k))
        yield (
            2,
            f"W5 {name} 2 000 nodes, library / ours",
            library / whole,
            "≥ 4",
            f"{1e3 * library:.0f} / {1e3 * whole:.0f} ms",
        )
        yield 11, f"W5 {name} 2 000 nodes, agreement with the library", agreement(frame, cases), "≤ 1e-9", ""


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=30)
    parser.add_argument("--small", action="store_true")
    asked = parser.parse_args()
    settle_memory()
    print("| row | measure | ratio | target | times |\n|---|---|---|---|---|")
    for part in (small_rows(asked.rounds), second_rows(asked.rounds), archive_rows(), () if asked.small else large_rows()):
        for row, words, ratio, target, times in part:
            print(f"| {row} | {words} | {ratio:.3g} | {target} | {times} |", flush=True)


if __name__ == "__main__":
    main()
