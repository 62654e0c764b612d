"""Instructions that one analysis of W1 and of W2 executes, N V M of its combinations included, counted by callgrind: a measure of work that
no neighbour on the machine disturbs.

    python tests/solver/instructions.py

Needs valgrind. Each frame is analysed a few times and more often in another process; the difference is the analyses alone. The longer run is
counted twice: both must agree within 1e-5 for a change of the code to be told from noise. A minute or two.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

FEW, MANY = 5, 25
EQUAL = 1e-5
STEADY = {
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",
    "OPENBLAS_CORETYPE": "Haswell",
    "PYTHONHASHSEED": "0",
    "PYTHONMALLOC": "malloc",
}


def run(name, times):
    """What is counted."""
    sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "solver"), str(Path(__file__).resolve().parents[2])]
    import gc

    import workloads

    from solver import analyse

    gc.disable()
    frame, cases, factors = getattr(workloads, name)()
    for _ in range(times):
        combined = analyse(frame, cases).combine(factors)
        assert combined.n.shape == combined.v.shape == combined.m.shape


def instructions(name, times):
    with tempfile.TemporaryDirectory() as where:
        command = ["valgrind", "--tool=callgrind", f"--callgrind-out-file={where}/out", sys.executable, __file__, name, str(times)]
        ended = subprocess.run(command, env={**os.environ, **STEADY}, capture_output=True, text=True, check=True)
    return int(re.search(r"Collected : (\d+)", ended.stderr)[1])


def main():
    if not shutil.which("valgrind"):
        print("callgrind: valgrind is not installed; nothing was counted. Debian and Ubuntu: apt-get install valgrind", file=sys.stderr)
        return 2
    print("| frame | instructions an analysis | runs apart |\n|---|---|---|")
    steady = True
    for name, words in (("fink", "W1"), ("joist", "W2")):
        few, *many = (instructions(name, times) for times in (FEW, MANY, MANY))
        apart = abs(many[0] - many[1]) / many[0]
        steady &= apart <= EQUAL
        print(f"| {words} | {(many[0] - few) / (MANY - FEW):.0f} | {apart:.1e} |", flush=True)
    return 0 if steady else 1


if __name__ == "__main__":
    if len(sys.argv) == 3:
        run(sys.argv[1], int(sys.argv[2]))
    else:
        raise SystemExit(main())
