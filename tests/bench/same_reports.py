"""Whether a change leaves every report as it was: writes the reports of many designs, one a file, to be held against those of another state.

    python tests/bench/same_reports.py before            # before the change
    python tests/bench/same_reports.py after             # after it
    diff -rq before after

Without a folder it prints one digest of all of them.

The designs: the demo's, every trade shape, and as many again (--random, 200 when not given) made of these by chance, always the same:
other spans, pitches, sections, grades, countries, packs and loads, with parts left out. Digests are left out of the reports; a refusal
is written down like a report.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy loads

import argparse
import copy
import datetime
import hashlib
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from rules.judge.options import Options
from rules.library import load_library
from rules.library.loading import Library
from rules.subject.faults import BirdsmouthError
from service.pipeline import check_document

Document = dict[str, Any]
TODAY = datetime.date(2026, 11, 25)
DEMO = Path(__file__).resolve().parents[2] / "service" / "demo" / "designs"
WAYS = (Options(), Options(include="all", working="all", response="combinations"))
ROOF = {"span_over_plates_mm": 8400, "pitch_deg": 35, "overhang_mm": 450, "plate_width_mm": 100, "plate_grade": "C16"}
SHAPES: dict[str, Document] = {
    **dict.fromkeys(("couple", "king-post", "queen-post", "fink", "fan", "howe"), ROOF),
    "mono": {**ROOF, "span_over_plates_mm": 4200, "pitch_deg": 20},
    "scissor": {**ROOF, "ceiling_pitch_deg": 17.5},
    "raised-tie": {**ROOF, "tie_height_mm": 900},
    "attic": {**ROOF, "pitch_deg": 45, "room_width_mm": 4200, "room_height_mm": 2500},
    "solid-joist": {"clear_span_mm": 4000, "bearing_mm": 90},
    "open-web-joist": {"clear_span_mm": 5000, "bearing_mm": 90, "depth_mm": 254, "panels": 8},
}
PIECES = {
    "solid-joist": ("joist",), "open-web-joist": ("top-chord", "bottom-chord", "post", "web"), "attic": ("rafter", "ceiling-tie", "post", "collar"),
    "couple": ("rafter", "ceiling-tie"), "raised-tie": ("rafter", "ceiling-tie"), "queen-post": ("rafter", "ceiling-tie", "post", "strut"),
    "fink": ("rafter", "ceiling-tie", "web"), "fan": ("rafter", "ceiling-tie", "web"),
}  # fmt: skip
SITES = (
    {"country": "GB", "subdivision": "GB-ENG", "snow_zone": 3, "wind_speed_m_per_s": 22, "terrain": "III"}, {"country": "FR", "snow_ground_kn_per_m2": 0.7},
    {"country": "US", "subdivision": "US-VT", "snow_ground_kn_per_m2": 2.4}, {"country": "CA", "snow_ground_kn_per_m2": 1.9}, {"country": "AU"},
    {"country": "DE", "snow_ground_kn_per_m2": 0.9, "wind_speed_m_per_s": 25}, {"country": "NZ"}, {},
)  # fmt: skip
EUROPEAN = ("C16", "C18", "C24", "C30", "D30")
GRADES = {"US": ("DF-L No.2", "DF-L No.1"), "CA": ("SPF No.1/No.2", "SPF SS"), "AU": ("MGP10", "MGP12", "F7")}
NEEDED = {
    "format",
    "reference",
    "component_type",
    "site",
    "id",
    "node",
    "nodes",
    "members",
    "supports",
    "shape",
    "grade",
    "section",
    "role",
    "holds",
}


def given() -> Iterator[tuple[str, Document]]:
    """The demo's designs and one of every form."""
    for path in sorted(DEMO.glob("*.json")):
        yield path.stem, json.loads(path.read_text("utf-8"))
    for form in SHAPES:
        yield f"form-{form}", drawn(form)


def drawn(form: str) -> Document:
    """A design of this form with tiles, a ceiling and a loft, or a floor."""
    sides = {"joist": (47, 220), "top-chord": (97, 47), "bottom-chord": (97, 47), "rafter": (47, 145)}
    roles = PIECES.get(form, ("rafter", "ceiling-tie", "post", "web"))
    pieces = {role: {"section": dict(zip(("b_mm", "h_mm"), sides.get(role, (47, 97)), strict=True)), "grade": "C24"} for role in roles}
    joist = form.endswith("joist")
    layers = [{"what": "boards", "on": "floor", "kn_per_m2": 0.3, "measured": "plan", "min_kn_per_m2": 0.2}] if joist else [
        {"what": "tiles", "on": "roof", "kn_per_m2": 0.6, "measured": "slope", "min_kn_per_m2": 0.5},
        {"what": "plasterboard", "on": "ceiling", "kn_per_m2": 0.2, "measured": "plan", "min_kn_per_m2": 0.2},
    ]  # fmt: skip
    return {
        "format": "birdsmouth-design-1", "reference": f"DRAWN-{form}", "component_type": form if joist else "trussed-rafter", "spacing_mm": 600,
        "site": {**SITES[0], "altitude_m": 90, "service_class": 2}, "materials": {"marking": "piece"},
        "shape": {"form": form, **SHAPES[form], "pieces": pieces},
        "loading": {"layers": layers, **({"floor_use": {"category": "A1"}} if joist else {"loft": "storage"})},
    }  # fmt: skip


def by_chance(count: int) -> Iterator[tuple[str, Document]]:
    """As many designs made of the given ones."""
    chance, known = random.Random(8400), list(given())
    for place in range(count):
        name, document = chance.choice(known)
        yield f"random-{place:03}-{name}", _changed(copy.deepcopy(document), chance)


def _changed(document: Document, chance: random.Random) -> Document:
    for _ in range(chance.randint(1, 5)):
        chance.choice((_scaled, _thinned, _regraded, _moved, _left_out, _reloaded))(document, chance)
    return document


def _scaled(document: Document, chance: random.Random) -> None:
    shape = document.get("shape")
    if shape is None:
        factor = chance.uniform(0.6, 1.3)
        for node in document["nodes"]:
            node["x_mm"], node["y_mm"] = node["x_mm"] * factor, node["y_mm"] * factor
    for name in sorted({"span_over_plates_mm", "clear_span_mm", "pitch_deg"} & set(shape or ())):
        document["shape"][name] *= chance.uniform(0.75, 1.25)


def _thinned(document: Document, chance: random.Random) -> None:
    for piece in _pieces(document):
        if "h_mm" in piece.get("section", {}) and chance.random() < 0.5:
            piece["section"]["h_mm"] = chance.choice((35, 72, 97, 120, 145, 195, 220))


def _regraded(document: Document, chance: random.Random) -> None:
    """Other grades, of those that are known where it is to be built."""
    own = {each["id"] for each in document.get("materials", {}).get("grades", ())}
    known = GRADES.get(document["site"].get("country", ""), EUROPEAN)
    for part in (*_pieces(document), document.get("shape", {}), *(each.get("seat", {}) for each in document.get("supports", ()))):
        for name in sorted({"grade", "plate_grade"} & set(part)):
            part[name] = part[name] if part[name] in own else chance.choice(known)


def _pieces(document: Document) -> list[Document]:
    return [*document.get("members", ()), *document.get("shape", {}).get("pieces", {}).values()]


def _moved(document: Document, chance: random.Random) -> None:
    kept = {name: value for name, value in document["site"].items() if name in ("altitude_m", "service_class") and chance.random() < 0.8}
    document["site"] = {**chance.choice(SITES), **kept}
    _regraded(document, chance)


def _left_out(document: Document, chance: random.Random) -> None:
    part = document if chance.random() < 0.5 else chance.choice([*_pieces(document), document["site"], *document.get("supports", ())])
    names = sorted(set(part) - NEEDED)
    if names:
        del part[chance.choice(names)]


def _reloaded(document: Document, chance: random.Random) -> None:
    for action in document.get("actions", ()):
        for load in action.get("loads", ()):
            for name in sorted({"line_kn_per_m", "point_kn"} & set(load)):
                load[name] *= chance.uniform(0.3, 3.0)
    for layer in document.get("loading", {}).get("layers", ()):
        layer["kn_per_m2"] *= chance.uniform(1.0, 3.0)


def said(document: Document, library: Library, options: Options) -> str:
    """The report without digests, a member a line; or the refusal."""
    try:
        report = json.loads(check_document(json.dumps(document).encode(), library, today=TODAY, options=options))
    except BirdsmouthError as refusal:
        return repr(getattr(refusal, "faults", refusal))
    report.pop("receipt")
    return json.dumps(report, indent=0, ensure_ascii=False)


def main() -> None:
    """Write."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path, nargs="?", help="where to; only a digest of all is printed when not given")
    parser.add_argument("--random", type=int, default=200)
    asked = parser.parse_args()
    if asked.folder:
        asked.folder.mkdir(parents=True, exist_ok=True)
    library, refused, all_of_them = load_library(), 0, hashlib.sha256()
    designs = [*given(), *by_chance(asked.random)]
    for place, (name, document) in enumerate(designs):
        for way in WAYS if not name.startswith("random") else (WAYS[place % 2],):
            text = said(document, library, way)
            refused += not text.startswith("{")
            all_of_them.update(text.encode())
            if asked.folder:
                (asked.folder / f"{name}-{way.include}.txt").write_text(text, "utf-8")
    print(f"{len(designs)} designs, {refused} refused, all together {all_of_them.hexdigest()[:16]}")


if __name__ == "__main__":
    main()
