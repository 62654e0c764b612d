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

FAULTY_ROOF: dict[str, Any] = {
    **SMALL_ROOF,
    "supports": [{**SMALL_ROOF["supports"][0], "node": "a"}, SMALL_ROOF["supports"][1]],
    "members": [{**SMALL_ROOF["members"][0], "grade": None}, *SMALL_ROOF["members"][1:]],
}
"""The same with two slips: a grade that is not stated, and a support on a node called a."""
