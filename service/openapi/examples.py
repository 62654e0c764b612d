"""The designs the reference shows. They are sent to the service in the tests, so what is shown works."""

from __future__ import annotations

from typing import Any

SMALL_ROOF: dict[str, Any] = {
    "format": "birdsmouth-design-1",
    "reference": "BOATHOUSE-R1",
    "title": "Boathouse, pair of rafters with a tie",
    "component_type": "cut-roof",
    "spacing_mm": 600,
    "site": {"country": "GB", "subdivision": "GB-ENG", "altitude_m": 80, "service_class": 2},
    "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 2000, "y_mm": 1400}, {"id": "C", "x_mm": 4000, "y_mm": 0}],
    "members": [
        {"id": "R1", "role": "rafter", "nodes": ["A", "B"], "section": {"b_mm": 47, "h_mm": 147}, "grade": "C24",
         "restraint_spacing": {"out_of_plane_mm": 400, "top_edge_mm": 400}},
        {"id": "R2", "role": "rafter", "nodes": ["B", "C"], "section": {"b_mm": 47, "h_mm": 147}, "grade": "C24",
         "restraint_spacing": {"out_of_plane_mm": 400, "top_edge_mm": 400}},
        {"id": "T", "role": "ceiling-tie", "nodes": ["A", "C"], "section": {"b_mm": 47, "h_mm": 147}, "grade": "C24"},
    ],
    "supports": [
        {"id": "S1", "node": "A", "holds": ["x", "y"], "seat": {"on": "wall-plate", "length_mm": 100, "grade": "C16"}},
        {"id": "S2", "node": "C", "holds": ["y"], "seat": {"on": "wall-plate", "length_mm": 100, "grade": "C16"}},
    ],
    "actions": [
        {"id": "tiles", "nature": "permanent", "loads": [
            {"member": "R1", "line_kn_per_m": 0.47, "along": "member", "direction": "down"},
            {"member": "R2", "line_kn_per_m": 0.47, "along": "member", "direction": "down"}]},
        {"id": "snow", "nature": "snow", "loads": [
            {"member": "R1", "line_kn_per_m": 0.36, "along": "plan", "direction": "down"},
            {"member": "R2", "line_kn_per_m": 0.36, "along": "plan", "direction": "down"}]},
        {"id": "no-wind", "nature": "wind", "declines": "wind", "none_because": "the roof stands inside a hall"},
    ],
}  # fmt: skip
"""A design that can be checked."""

SMALL_SHAPE: dict[str, Any] = {
    "format": "birdsmouth-design-1",
    "reference": "BOATHOUSE-R2",
    "title": "Boathouse, couple by its shape",
    "component_type": "cut-roof",
    "spacing_mm": 600,
    "site": {"country": "GB", "subdivision": "GB-ENG", "altitude_m": 80, "snow_zone": 3, "wind_speed_m_per_s": 22, "terrain": "country", "service_class": 2},
    "roof": {"ridge_height_m": 4.6, "building_length_m": 7.2, "building_width_m": 4.2},
    "shape": {
        "form": "couple", "span_over_plates_mm": 4000, "pitch_deg": 35, "overhang_mm": 300, "plate_width_mm": 100, "plate_grade": "C16",
        "pieces": {
            "rafter": {"section": {"b_mm": 47, "h_mm": 147}, "grade": "C24", "restraint_spacing": {"out_of_plane_mm": 400, "top_edge_mm": 400}},
            "ceiling-tie": {"section": {"b_mm": 47, "h_mm": 147}, "grade": "C24"}}},
    "loading": {"layers": [
        {"what": "tiles, battens, underlay", "on": "roof", "kn_per_m2": 0.785, "measured": "slope", "min_kn_per_m2": 0.6},
        {"what": "boarded ceiling", "on": "ceiling", "kn_per_m2": 0.2, "measured": "plan"}], "loft": "storage"},
}  # fmt: skip
"""A design by its shape and what it carries."""

_TRIAL_HEAD = """\
id: boathouse-practice
title: What the boathouse asks for
layer: practice
document: The boathouse's own book
edition: "1"
release: 1.0.0
engine: ">=1.0,<2"
what: Roofs steep enough to shed leaves.
not_covered: [everything else]
"""
_TRIAL_RULE = """\
id: steep-enough
title: The roof is steep enough to shed leaves
scope: design
severity: note
purpose: practice
why: Wet leaves lie on a flat roof and rot it.
when: design.is_roof
because: is no roof
demand: 30.0
limit: design.pitch_deg
unit: deg
message: "A pitch of {limit}° sheds no leaves; {demand}° is the least."
cite: {clause: roofs, seen: practice}
examples:
  - {name: steep, given: {design.is_roof: true, design.pitch_deg: 30}, expect: pass}
  - {name: barely too flat, given: {design.is_roof: true, design.pitch_deg: 29.99}, expect: fail}
  - {name: a floor, given: {design.is_roof: false, design.pitch_deg: 0}, expect: notApplicable}
"""
SMALL_TRIAL: tuple[str, str, dict[str, Any]] = (
    "one-rule",
    "A pack of one rule, tried on a pair of rafters",
    {"files": {"pack.yaml": _TRIAL_HEAD, "declared/steep-enough.yaml": _TRIAL_RULE}, "designs": [SMALL_ROOF]},
)
"""A trial: name, summary, value."""

SMALL_COMPARISON: tuple[str, str, dict[str, Any]] = (
    "two-traditions",
    "A pair of rafters under the Eurocode and under the NDS",
    {
        "design": SMALL_ROOF,
        "sides": [
            {"name": "Eurocode"},
            {
                "name": "NDS",
                "site": {"country": "US", "subdivision": "US-VT", "snow_ground_edition": "ASCE 7-16"},
                "grades": {"C24": "DF-L No.2", "C16": "SPF No.1/No.2"},
            },
        ],
    },
)
"""A comparison: name, summary, value."""

SMALL_SIZING: tuple[str, str, dict[str, Any]] = (
    "two-groups",
    "A pair of rafters and their tie from three sections",
    {
        "design": SMALL_SHAPE,
        "stock": [{"id": f"{b} x {h} C24", "b_mm": b, "h_mm": h, "grade": "C24"} for b, h in ((38, 120), (38, 147), (47, 147))],
        "vary": [{"name": "rafters", "role": "rafter"}, {"name": "tie", "role": "ceiling-tie"}],
        "allow": ["open", "review"],
    },
)
"""A sizing: name, summary, value."""

SMALL_JOB: tuple[str, str, dict[str, Any]] = (
    "two-roofs",
    "Two roofs of one house, the day given for both",
    {"format": "birdsmouth-job-1", "reference": "BOATHOUSE", "codes": {"as_of": "2026-11-25"}, "designs": [SMALL_ROOF, SMALL_SHAPE]},
)
"""A job: name, summary, value."""

FAULTY_ROOF: dict[str, Any] = {
    **SMALL_ROOF,
    "supports": [{**SMALL_ROOF["supports"][0], "node": "a"}, SMALL_ROOF["supports"][1]],
    "members": [{**SMALL_ROOF["members"][0], "grade": None}, *SMALL_ROOF["members"][1:]],
}
"""The same with two slips: a grade that is not stated, and a support on a node called a."""
PLACES = {"pack": "eurocode-timber", "rule": "shear", "name": "declared", "code": "bent-piece"}
"""A value for each part of a path."""
