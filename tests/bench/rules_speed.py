"""Speed of the rules and of a whole check as ratios, timed in turns within one run; equal results are asserted before anything is timed.

    python tests/bench/rules_speed.py [--rounds 15]

Row 4: the member rules of the Eurocode set on whole arrays, against the same rules in loops of plain Python over every combination and
station. Row 5: a whole check in process with the default report, against factor and solve alone, decoding the design and encoding the
report. The loops are given every number that no combination changes (size factors, buckling factors, lengths) before the clock runs, and
keep the greatest ratio only; the arrays start from what is given, and tell where each piece governs: the row is the harder for it.

W1: a Fink truss of 11 nodes and 15 bays under eight loads, W2: a joist of 40 nodes and 58 bays, both as large as those of the solver's
workloads, all of timber, with nothing said of bracing. Beside them three of the demo: its trussed rafter, with all its bracing, nails,
anchorages and 15 loads, without its roving person and with it, and its joist with steel webs.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy loads

import argparse
import datetime
import json
import math
import sys
import time
from pathlib import Path

import msgspec
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from solver_speed import lapack_alone, turns

from rules.judge.checking import prepare
from rules.judge.gather import gather
from rules.judge.judging import judge_rules
from rules.judge.mechanics import build_frame
from rules.library import load_library
from service.memory import keep_memory, look_for_rings_seldom
from service.pipeline import check_document
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
DEMO = Path(__file__).resolve().parents[2] / "service" / "demo" / "designs"
PLAIN: tuple[tuple[str, str], ...] = (("ultimate", "member"),)
LOOPED = ("bending", "tension", "compression", "bending-with-compression", "bending-with-tension", "shear", "lateral-torsion")


def documents():
    """Name and bytes of every workload."""
    fink = json.loads((DEMO / "fink.json").read_text("utf-8"))
    still = [action for action in fink["actions"] if not any(each.get("anywhere") for each in action.get("loads", ()))]
    yield "W1", json.dumps(bare_truss(fink)).encode()
    yield "demo rafter", json.dumps(fink | {"actions": still}).encode()
    yield "W2", json.dumps(timber_joist(json.loads((DEMO / "open-web-joist.json").read_text("utf-8")))).encode()
    yield "demo joist", (DEMO / "open-web-joist.json").read_bytes()
    yield "demo rafter with a person", json.dumps(fink).encode()


def bare_truss(demo, span_mm=9000.0, pitch_deg=35.0, overhang_mm=450.0):
    """W1 as a design: the geometry and the eight loads of the solver's workload on the demo's site."""
    rise = math.tan(math.radians(pitch_deg))
    across = {
        "L0": -overhang_mm,
        "A": 0.0,
        "B": span_mm / 4,
        "C": span_mm / 2,
        "D": 3 * span_mm / 4,
        "E": span_mm,
        "R0": span_mm + overhang_mm,
    }
    top = [{"id": id, "x_mm": x, "y_mm": rise * min(x, span_mm - x)} for id, x in across.items()]
    low = [{"id": f"F{i}", "x_mm": i * span_mm / 6, "y_mm": 0.0} for i in (1, 2, 4, 5)]
    rafters, chord = {"TC1": ["L0", "A", "B", "C"], "TC2": ["R0", "E", "D", "C"]}, ["A", "F1", "F2", "F4", "F5", "E"]
    webs = {"W1": ["B", "F2"], "W2": ["F2", "C"], "W3": ["C", "F4"], "W4": ["F4", "D"]}
    lines = [
        *((id, "rafter", on, 145) for id, on in rafters.items()),
        ("BC", "ceiling-tie", chord, 120),
        *((id, "web", on, 72) for id, on in webs.items()),
    ]
    held = dict.fromkeys(("out_of_plane_mm", "top_edge_mm", "bottom_edge_mm"), 345)
    members = [
        {"id": id, "role": role, "nodes": on, "section": {"b_mm": 47, "h_mm": deep}, "grade": "C24",
         "ends": {"start": "pinned", "end": "pinned"}, "restraint_spacing": held | {"in_plane_mm": None}}
        for id, role, on, deep in lines
    ]  # fmt: skip
    parts = {name: part for name, part in demo.items() if name != "bracing"}
    return parts | {"nodes": [*top, *low], "members": members, "actions": eight_loads()}


def eight_loads():
    """On the truss: two that stay, three of snow, two of wind, and what lies on the ceiling."""

    def load(member, kn, **more):
        return {"member": member, "line_kn_per_m": kn, "along": "plan", "direction": "down"} | more

    def action(id, nature, *loads, **more):
        return {"id": id, "nature": nature, "loads": list(loads)} | more

    snow, wind = {"one_of": "snow"}, {"one_of": "wind"}
    square = {"along": "member", "face": "upper"}
    return [
        action("roof", "permanent", load("TC1", 0.41, along="member"), load("TC2", 0.41, along="member")),
        action("ceiling", "permanent", load("BC", 0.15)),
        action("snow", "snow", load("TC1", 0.45), load("TC2", 0.45), **snow),
        action("snow-left", "snow", load("TC1", 0.45), **snow),
        action("snow-right", "snow", load("TC2", 0.45), **snow),
        action("suction", "wind", *(load(id, 0.3, **square | {"direction": "suction"}) for id in ("TC1", "TC2")), **wind),
        action("pressure", "wind", *(load(id, 0.25, **square | {"direction": "pressure"}) for id in ("TC1", "TC2")), **wind),
        action("storage", "imposed", load("BC", 0.15), category="E", duration="long"),
    ]


def timber_joist(demo, panels=10, panel_mm=600.0, depth_mm=302.0):
    """W2 as a design: the geometry and sections of the solver's workload, the demo's loads and a store on the floor."""
    half = panel_mm / 2.0
    top = [{"id": f"T{i}", "x_mm": i * half, "y_mm": depth_mm} for i in range(2 * panels + 1)]
    low = [{"id": f"B{i}", "x_mm": half + i * half, "y_mm": 0.0} for i in range(2 * panels - 1)]
    ends = [pair for k in range(panels) for pair in ((f"T{2 * k}", f"B{2 * k}"), (f"B{2 * k}", f"T{2 * k + 2}"))]
    chords = [("TOP", "top-chord", [each["id"] for each in top]), ("BOT", "bottom-chord", [each["id"] for each in low])]
    webs = [(f"W{i}", "web", list(pair)) for i, pair in enumerate(ends)]
    members = [
        {
            "id": id, "role": role, "nodes": nodes, "section": {"b_mm": 60, "h_mm": 20} if role == "web" else {"b_mm": 72, "h_mm": 47},
            "grade": "C24", "ends": {"start": "pinned", "end": "pinned"},
            "restraint_spacing": dict.fromkeys(("out_of_plane_mm", "top_edge_mm", "bottom_edge_mm"), 300) | {"in_plane_mm": "none" if role == "web" else 300},
        }
        for id, role, nodes in (*chords, *webs)
    ]  # fmt: skip
    seat = {"on": "wall-plate", "length_mm": 90, "width_mm": 72, "member": "TOP"}
    supports = [
        {"id": id, "node": node, "holds": holds, "uplift": "held", "seat": seat}
        for id, node, holds in (("S1", "T0", ["x", "y"]), ("S2", f"T{2 * panels}", ["y"]))
    ]
    store = {"member": "TOP", "line_kn_per_m": 0.3, "along": "plan", "direction": "down"}
    more = [{"id": "store", "nature": "imposed", "category": "E", "loads": [store]}]
    met = dict.fromkeys(node for pair in ends for node in pair)
    joints = [{"id": f"J{i}", "node": node, "none_because": "a bench"} for i, node in enumerate(met)]
    parts = {name: part for name, part in demo.items() if name not in ("bracing", "materials")} | {
        "materials": {"marking": demo["materials"]["marking"]}
    }
    return parts | {"nodes": [*top, *low], "members": members, "supports": supports, "actions": [*demo["actions"], *more], "joints": joints}


PIECE = (
    "area", "w_y", "h", "b", "f_m_k", "f_t_0_k", "f_c_0_k", "f_v_k", "k_h_m", "k_h_t", "k_cr", "k_cy", "k_cz", "k_sys", "e_0_05", "g_05",
    "torsion_constant", "length_top", "length_bottom", "upwards", "is_solid_softwood", "is_timber", "is_stocky", "k_m",
)  # fmt: skip


def places(axis):
    """Every station's numbers that no combination changes, as plain floats, worked out before the loops."""
    columns = {name: np.broadcast_to(np.asarray(axis.evidence[name], dtype=float), (1, axis.shape[1]))[0].tolist() for name in PIECE}
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def in_loops(axis, stations):
    """The seven rules, one combination and one station after the other: the greatest ratio of each rule on each piece, NaN where none."""
    shape = axis.shape
    n, v, m, k_mod, gamma = (np.broadcast_to(axis.evidence[name], shape).tolist() for name in ("n", "v", "m", "k_mod", "gamma_m_d"))
    factor, depths = axis.evidence["lateral_torsion_factor"], axis.evidence["l_ef_edge_depths"]
    best = {(rule, place): math.nan for rule in LOOPED for place in range(len(axis.ids))}
    for index, part in enumerate(axis.slices):
        for row in range(shape[0]):
            for column in range(part.start, part.stop):
                here = stations[column]
                if here["is_timber"]:
                    strength = k_mod[row][column] / gamma[row][column]
                    for rule, ratio in ratios(here, n[row][column], v[row][column], m[row][column], strength, factor, depths):
                        if not best[rule, index] >= ratio:
                            best[rule, index] = ratio
    return best


def ratios(p, n, v, m, strength, factor, depths):
    """Those of the seven rules that apply at one place, written out again without numpy."""
    f_m, f_t, f_c = (strength * p[name] for name in ("f_m_k", "f_t_0_k", "f_c_0_k"))
    f_m, f_t, f_v = f_m * p["k_h_m"] * p["k_sys"], f_t * p["k_h_t"], strength * p["k_sys"] * p["f_v_k"]
    bent, pulled, pressed = abs(m) > 0.1, n > 1e-3, n < -1e-3
    bending, pull, push = abs(m) / p["w_y"] / f_m, max(n, 0.0) / p["area"] / f_t, max(-n, 0.0) / p["area"]
    if abs(v) > 1e-3:
        yield "shear", 1.5 * abs(v) / (p["k_cr"] * p["area"]) / f_v
    if pulled:
        yield "tension", pull
    if pressed:
        yield "compression", push / (min(p["k_cy"], p["k_cz"]) * f_c)
    if not bent:
        return
    yield "bending", bending
    if pulled:
        yield "bending-with-tension", pull + bending
    if pressed:
        stocky, both = (push / f_c) ** 2 + bending, max(push / (p["k_cy"] * f_c) + bending, push / (p["k_cz"] * f_c) + p["k_m"] * bending)
        yield "bending-with-compression", stocky if p["is_stocky"] else both
    tipped = bending / tipping(p, m, factor, depths)
    yield "lateral-torsion", max(tipped**2 + push / (p["k_cz"] * f_c), tipped) if pressed else tipped


def tipping(p, m, factor, depths):
    """k_crit of the edge that this moment presses."""
    length = (p["length_top"] if m * p["upwards"] >= 0.0 else p["length_bottom"]) + depths * p["h"]
    if p["is_solid_softwood"]:
        critical = factor * p["b"] ** 2 * p["e_0_05"] / (p["h"] * length)
    else:
        stiff = p["e_0_05"] * p["h"] * p["b"] ** 3 / 12.0 * p["g_05"] * p["torsion_constant"]
        critical = math.pi * math.sqrt(stiff) / (length * p["w_y"])
    slender = math.sqrt(p["f_m_k"] / critical)
    return 1.0 if slender <= 0.75 else 1.56 - 0.75 * slender if slender <= 1.4 else 1.0 / slender**2


def row_4(frame, rounds):
    """Rules on arrays against the same rules in loops, evidence made afresh each time so that nothing is remembered."""
    rules = [rule for rule in frame.selection.rules if rule.slug in LOOPED and rule.pack == "eurocode-timber"]

    def fresh():
        return gather(frame, PLAIN)

    axis = fresh()["ultimate", "member"]
    stations = places(axis)
    looped = in_loops(axis, stations)
    for each in judge_rules(rules, fresh()):
        expected = looped[each.rule.slug, each.element_index]
        found = math.nan if each.utilisation is None else each.utilisation
        assert math.isclose(found, expected, rel_tol=1e-9) or (math.isnan(found) and math.isnan(expected)), (each, expected)
    held = [fresh() for _ in range(rounds)]
    arrays, loops = turns(rounds, lambda: judge_rules(rules, held.pop()), lambda: in_loops(axis, stations))
    return arrays, loops, axis.shape


def row_5(frame, body, library, rounds):
    """A whole check against the parts that nobody can do without."""
    report = msgspec.json.decode(check_document(body, library, today=TODAY))
    built = build_frame(frame.settled.design, frame.geometry, frame.settled.materials)
    solve = lapack_alone(built, frame.cases)

    def least():
        solve()
        msgspec.json.decode(body)
        msgspec.json.encode(report)

    return turns(rounds, lambda: check_document(body, library, today=TODAY), least)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=15)
    rounds = parser.parse_args().rounds
    keep_memory()  # as the service and the command do
    library = load_library()
    look_for_rings_seldom()
    for name, body in documents():
        frame = prepare(load(body), library, TODAY)
        arrays, loops, shape = row_4(frame, rounds)
        whole, least = row_5(frame, body, library, rounds)
        print(f"{name}: {shape[0]} combinations, {shape[1]} stations")
        print(f"  row 4  {len(LOOPED)} rules on arrays {1e3 * arrays:8.2f} ms   in loops {1e3 * loops:8.1f} ms   {loops / arrays:6.1f} x")
        print(f"  row 5  whole check {1e3 * whole:8.2f} ms   solve, decode, encode {1e3 * least:6.3f} ms   {whole / least:6.1f} x")
    print(f"measured {time.strftime('%Y-%m-%d')}")


if __name__ == "__main__":
    main()
