"""No step of the solver that nothing can interrupt is long: the time between two lines of Python, at the published limits.

A deadline, a signal or another thread comes in between lines; a call into a compiled library holds everything up until it returns.
"""

import gc
import sys
import time
from collections import defaultdict
from contextlib import contextmanager
from dataclasses import replace
from math import inf

import numpy as np
import pytest
from threadpoolctl import threadpool_limits

from rules.judge.analysis import MOST_BAYS, MOST_CELLS, STATIONS
from service.limits import LIMITS
from solver import (
    Frame,
    Imperfection,
    NodeLoad,
    Piece,
    PointLoad,
    Support,
    analyse,
    buckles_above,
    buckling,
    curves,
    envelopes,
    extremes,
    natural_modes,
    second_order,
)

LONGEST_S = 0.25
COMBINATIONS = 30


@contextmanager
def steps():
    """Longest processor time, s, from each line of Python to the next, by file and line. The test's own heap is kept from being searched."""
    longest, last = defaultdict(float), [("", 0), time.process_time()]

    def mark(frame, _event, _arg):
        took = time.process_time() - last[1]
        longest[last[0]] = max(longest[last[0]], took)
        last[:] = (frame.f_code.co_filename.rpartition("/")[2], frame.f_lineno), time.process_time()
        return mark

    gc.disable()
    before = sys.gettrace()  # of whoever measures coverage
    with threadpool_limits(1):  # as the service runs: processor time of waiting threads is no time of a step
        sys.settrace(mark)
        try:
            yield longest
        finally:
            sys.settrace(before)
            gc.enable()
        took = time.process_time() - last[1]
        longest[last[0]] = max(longest[last[0]], took)


def test_a_long_step_is_seen():
    with steps() as longest:
        pow(3, 3_000_000)
    assert max(longest.values()) > 1e-3
    with steps() as longest:
        for _ in range(50):
            pow(3, 3_000)
    assert max(longest.values()) < 1e-2


def braced(nodes):
    """A square grid with a diagonal in every field, joints rigid: about three bays a node, the most a plane frame can have."""
    side = int(nodes**0.5)
    xy = np.array([(900.0 * i, 700.0 * j) for j in range(side) for i in range(side)])
    piece = {"ea": 1e8, "ei": 1e11, "ga": 1e7, "mass": 0.01, "start": inf, "end": inf}
    rows = [range(j * side, (j + 1) * side) for j in range(1, side)]
    posts = [range(i, side * side, side) for i in range(side)]
    fields = [(j * side + i, (j + 1) * side + i + 1) for j in range(side - 1) for i in range(side - 1)]
    pieces = tuple(Piece(tuple(run), **piece) for run in (*rows, *posts, *fields))
    return Frame(xy, pieces, tuple(Support(i, x=True, y=True) for i in range(side)))


def bays_of(frame):
    return sum(len(piece.nodes) - 1 for piece in frame.pieces)


def at_the_limits():
    """The largest frame by nodes and bays with as many cases as go with it, and a small one with a great many."""
    wide = braced(LIMITS.nodes)
    assert MOST_BAYS * 0.9 < bays_of(wide) <= MOST_BAYS
    reach = 900.0 * round(len(wide.xy) ** 0.5 - 1)
    count = MOST_CELLS // (bays_of(wide) * STATIONS)
    yield (
        "nodes and bays",
        wide,
        [[PointLoad(k % 30, reach * 0.37, fy=-1000.0), NodeLoad(len(wide.xy) - 1 - k, fx=100.0, fy=-3000.0)] for k in range(count)],
    )
    small = braced(36)
    own = 0.25 * bays_of(small) * STATIONS  # each case brings two places of its own: count * (bays * stations + 2 * count) cells
    count = int((own**2 + 0.5 * MOST_CELLS) ** 0.5 - own)
    assert 0.98 * MOST_CELLS < count * (bays_of(small) * STATIONS + 2 * count) <= MOST_CELLS
    yield "cases", small, [[PointLoad(k % 5, 4500.0 * (k + 0.5) / count, fy=-1000.0)] for k in range(count)]


def combinations(response, factors):
    combined = response.combine(factors)
    return combined.n, combined.uy, combined.reactions, combined.displacements


def works(frame, cases):
    """Everything the solver is asked for, as (name, work)."""
    factors = np.random.default_rng(1).random((COMBINATIONS, len(cases)))
    response = analyse(frame, cases)
    lifting = replace(frame, supports=tuple(replace(s, x=k == 0, push_only=k > 0) for k, s in enumerate(frame.supports)))
    yield "analyse", lambda: analyse(frame, cases, stations=STATIONS)
    yield "proof", lambda: (response.residual, response.condition)
    yield "cases N V M", lambda: analyse(frame, cases).n
    yield "cases, movements", lambda: (response.rows(slice(0, None)).uy, response.ux)
    yield "combinations", lambda: combinations(response, factors)
    yield "some rows", lambda: response.rows(slice(0, len(cases))).rows(slice(1, None)).m
    yield "extremes", lambda: [extremes(curves(response, factors[:4]), line) for line in ("n", "v", "m", "across")]
    yield "envelopes", lambda: envelopes(response, factors)
    yield "lifting", lambda: analyse(lifting, cases).combine(factors).lifted
    yield "buckling", lambda: buckling(frame, cases, factors[:1])
    yield "buckles above", lambda: buckles_above(frame, cases, factors[:1], 2.0)
    yield "second order", lambda: second_order(frame, cases, factors[:1] * 1e-3, Imperfection(0.003, 0.0025))
    yield "vibration", lambda: natural_modes(frame)


@pytest.mark.prove
def test_no_step_is_long_at_the_limits(capsys):
    rows = []
    for what, frame, cases in at_the_limits():
        for name, work in works(frame, cases):
            start = time.process_time()
            with steps() as longest:
                work()
            whole = time.process_time() - start
            if max(longest.values()) > LONGEST_S:  # once more: what disturbs a shared machine does not strike one line twice
                with steps() as again:
                    work()
                longest = {place: min(took, again[place]) for place, took in longest.items()}
            place, most = max(longest.items(), key=lambda item: item[1])
            rows.append((what, name, most, whole, f"{place[0]}:{place[1]}"))
            with capsys.disabled():
                print(f"\n| {what} | {name} | {1e3 * most:.0f} ms | {whole:.1f} s | {place[0]}:{place[1]} |", end="", flush=True)
    assert [row for row in rows if row[2] > LONGEST_S] == []
