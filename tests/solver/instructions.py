"""Instructions that one analysis of W1 and of W2 executes, N V M of its combinations included, counted by callgrind: a measure of work that
no neighbour on the machine disturbs.

    python tests/solver/instructions.py

Needs valgrind. Nothing is counted while Python starts and loads, which would take minutes; then each frame is analysed a few times, without and
with the proof of balance, and so is what LAPACK alone takes. What handing over to the counter takes is counted by itself and left out. The last is
counted twice: both must agree within 5e-3 for a change of the code to be told from noise. Half a minute to two.
"""

from __future__ import annotations

import gc
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

TIMES = 20
EQUAL = 5e-3
WARM = 10  # runs after which Python has settled how it executes what it runs often
FRAMES = {"fink": "W1", "joist": "W2"}
WORDS = ("LAPACK alone", "N V M of 24 combinations", "the same of a frame known", "the same and the proof of balance", "again")
STEADY = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "OPENBLAS_CORETYPE": "Haswell", "PYTHONHASHSEED": "0"}


def works(name):
    """What is counted, in the order of :data:`WORDS`."""
    sys.path[:0] = [str(Path(__file__).resolve().parents[part]) for part in (0, 2)]
    import workloads
    from scipy.linalg import lapack

    from solver import Frame, analyse
    from solver.analyse import solve
    from solver.held import called
    from solver.statics import Dense

    frame, cases, factors = getattr(workloads, name)()
    found = solve(frame, cases, 11)
    solved, numbers = found.equations, found.equations.numbers
    assert isinstance(solved.factor, Dense)
    right = called(solved.mesh, found.loads, found.held)[:, numbers.order].T
    lower = solved.factor.lower.copy(order="F")
    lower[range(numbers.size), range(numbers.size)] *= 2.0  # still one to be factored

    def alone():
        lapack.dpotrs(lapack.dpotrf(lower, lower=1, clean=0)[0], right, lower=1)

    def answered(proof=False, known=False):
        response = analyse(frame if known else Frame(frame.xy, frame.pieces, frame.supports), cases)
        combined = response.combine(factors)
        assert combined.n.shape == combined.v.shape == combined.m.shape
        assert not proof or response.balanced

    return alone, answered, lambda: answered(known=True), lambda: answered(True), lambda: answered(True)


def run(name, count):
    """Hand each work to ``count``, a function of a work and its name."""
    parts = works(name)
    for work in parts * WARM:
        work()
    gc.disable()
    for words in ("first", "nothing"):
        count(lambda: None, words)
    for work, words in zip(parts, WORDS, strict=True):
        count(work, words)


def counted(work, words):
    """Run a work with the counter set to nought before and read after."""
    control("-i", "on")
    control("-z")
    for _ in range(TIMES):
        work()
    control("-d", words.replace(" ", "."))


def control(*asked):
    """Tell the counter; by the shell, because little of this process runs then."""
    if os.system(f"callgrind_control {' '.join(asked)} {os.getpid()} >{os.devnull} 2>&1"):
        raise RuntimeError("callgrind_control did not answer")


def instructions(name):
    """Of each of :data:`WORDS`."""
    with tempfile.TemporaryDirectory() as where:
        command = [
            "valgrind",
            "--tool=callgrind",
            "--instr-atstart=no",
            f"--callgrind-out-file={where}/out",
            sys.executable,
            __file__,
            name,
        ]
        subprocess.run(command, env={**os.environ, **STEADY}, capture_output=True, check=True)
        texts = [path.read_text(encoding="utf-8") for path in Path(where).glob("out.*")]
    found = {}
    for text in texts:
        words = re.search(r"Trigger: dump (\S+)", text)
        total = re.search(r"^totals: (\d+)", text, re.MULTILINE)
        if words and total:
            found[words[1].replace(".", " ")] = int(total[1])
    return [(found[words] - found["nothing"]) / TIMES for words in WORDS]


def main():
    if not shutil.which("valgrind"):
        print("callgrind: valgrind is not installed; nothing was counted. Debian and Ubuntu: apt-get install valgrind", file=sys.stderr)
        return 2
    print("| frame | instructions of | thousands | over LAPACK alone |\n|---|---|---|---|")
    steady = True
    for name, frame in FRAMES.items():
        least, *_, once, again = found = instructions(name)
        for words, number in zip(WORDS, found, strict=True):
            print(f"| {frame} | {words} | {number / 1e3:.0f} | {number / least:.1f} |", flush=True)
        steady &= abs(once - again) <= EQUAL * once
    return 0 if steady else 1


if __name__ == "__main__":
    if len(sys.argv) == 2:
        run(sys.argv[1], counted)
        sys.stdout.flush()
        os._exit(0)  # what ending Python takes is not our work
    else:
        raise SystemExit(main())
