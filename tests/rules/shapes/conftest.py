"""A shape of every form, as documents have them."""

from __future__ import annotations

import copy
from typing import Any

import pytest

ROOF = {"span_over_plates_mm": 8400, "pitch_deg": 35, "overhang_mm": 450, "plate_width_mm": 100, "plate_grade": "C16"}
DIMENSIONS: dict[str, dict[str, Any]] = {
    **dict.fromkeys(("couple", "king-post", "queen-post", "fink", "fan", "howe"), ROOF),
    "mono": {**ROOF, "span_over_plates_mm": 4200, "pitch_deg": 20},
    "scissor": {**ROOF, "ceiling_pitch_deg": 17.5},
    "raised-tie": {**ROOF, "tie_height_mm": 900},
    "attic": {**ROOF, "pitch_deg": 45, "room_width_mm": 4200, "room_height_mm": 2500},
    "solid-joist": {"clear_span_mm": 4000, "bearing_mm": 90},
    "open-web-joist": {"clear_span_mm": 5000, "bearing_mm": 90, "depth_mm": 254, "panels": 8},
}
ROLES = {
    "couple": ("rafter", "ceiling-tie"),
    "king-post": ("rafter", "ceiling-tie", "post", "web"),
    "queen-post": ("rafter", "ceiling-tie", "post", "strut"),
    "fink": ("rafter", "ceiling-tie", "web"),
    "fan": ("rafter", "ceiling-tie", "web"),
    "howe": ("rafter", "ceiling-tie", "post", "web"),
    "mono": ("rafter", "ceiling-tie", "post", "web"),
    "scissor": ("rafter", "ceiling-tie", "post", "web"),
    "raised-tie": ("rafter", "ceiling-tie"),
    "attic": ("rafter", "ceiling-tie", "post", "collar"),
    "solid-joist": ("joist",),
    "open-web-joist": ("top-chord", "bottom-chord", "post", "web"),
}
DEPTH = {"rafter": 145, "ceiling-tie": 120, "joist": 220, "top-chord": 47, "bottom-chord": 47}
WIDTH = {"top-chord": 97, "bottom-chord": 97}


@pytest.fixture
def drawn_from():
    """A document of this form; more: its shape's members, others or in place of those given."""

    def make(form: str, **more: Any) -> dict[str, Any]:
        pieces = {role: {"section": {"b_mm": WIDTH.get(role, 47), "h_mm": DEPTH.get(role, 97)}, "grade": "C24"} for role in ROLES[form]}
        kind = form if form.endswith("joist") else "trussed-rafter"
        shape = {"form": form, **DIMENSIONS[form], "pieces": pieces, **more}
        return copy.deepcopy({
            "format": "birdsmouth-design-1", "reference": f"TARROWBY-{form}", "component_type": kind, "spacing_mm": 600,
            "site": {"country": "GB", "altitude_m": 90, "service_class": 2}, "materials": {"marking": "piece"},
            "shape": {name: value for name, value in shape.items() if value is not None},
        })  # fmt: skip

    return make
