"""How long reading a design takes beside analysing it, and a house of alike trusses beside all of them judged. In this process, in turns.

python tests/bench/reading.py
python tests/bench/reading.py --rounds 5
"""

from __future__ import annotations

import argparse
import datetime
import json
import statistics
import time
from collections.abc import Callable

import service  # noqa: F401  first: it sets the BLAS threads to one before numpy loads
from rules.judge.checking import prepare
from rules.library.loading import load_library
from service.demo import design_names, read_design
from service.jobs import do_job
from service.memory import keep_memory, look_for_rings_seldom
from service.openapi.examples import SMALL_ROOF
from service.pipeline import check_document
from service.reading import read
from service.schemas import load
from service.schemas.loading import to_design

TODAY = datetime.date(2026, 11, 25)
SHAPES, TRUSSES = 12, 120


def milliseconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return 1000.0 * (time.perf_counter() - began)


def medians(works: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Each in turn, so many times; the first round is for warming up."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for round_ in range(rounds + 1):
        for name, work in works.items():
            taken = milliseconds(work)
            if round_:
                times[name].append(taken)
    return {name: statistics.median(each) for name, each in times.items()}


def house() -> list[dict[str, object]]:
    """So many roofs of so many depths, each with a name of its own."""
    depths = [147 + index for index in range(SHAPES)]
    roofs = []
    for index in range(TRUSSES):
        depth = depths[index % SHAPES]
        members = [{**member, "section": {"b_mm": 47, "h_mm": depth}} for member in SMALL_ROOF["members"]]
        roofs.append({**SMALL_ROOF, "reference": f"T{index}", "members": members})
    return roofs


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=20)
    rounds = parser.parse_args().rounds
    keep_memory()  # as the service and the command do
    library = load_library()
    look_for_rings_seldom()
    print(
        f"{'design':<16}{'gate':>10}{'schemas':>10}{'settle, solve':>15}{'gate/':>8}{'schemas/':>10}   ms, medians of {rounds} rounds in turns"
    )
    for name in design_names():
        body = read_design(name)
        design = load(body)
        told = medians(
            {
                "gate": lambda body=body: load(body),
                "schemas": lambda body=body: to_design(read(body)),
                "analysis": lambda design=design: prepare(design, library, TODAY),
            },
            rounds,
        )
        gate, slow, analysis = told["gate"], told["schemas"], told["analysis"]
        print(f"{name:<16}{gate:>10.2f}{slow:>10.2f}{analysis:>15.2f}{gate / analysis:>8.2f}{slow / analysis:>10.2f}")
    roofs = house()
    job = json.dumps({"format": "birdsmouth-job-1", "reference": "HOUSE", "designs": roofs}).encode()
    bodies = [json.dumps(roof).encode() for roof in roofs]
    told = medians(
        {
            "job": lambda: do_job(job, library, today=TODAY),
            "each": lambda: [check_document(body, library, today=TODAY) for body in bodies],
        },
        max(1, rounds // 10),
    )
    print(
        f"{TRUSSES} roofs, {SHAPES} of them different: job {told['job']:.0f} ms, each by itself {told['each']:.0f} ms, {told['job'] / told['each']:.3f}"
    )


if __name__ == "__main__":
    main()
