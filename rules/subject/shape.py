"""A frame by its trade shape: a form and a few dimensions instead of nodes and pieces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rules.subject.frame import Prism, Rectangle, Restraints, Treatment


@dataclass(frozen=True, slots=True)
class Make:
    """What all pieces of one role are made of."""

    section: Rectangle | Prism
    grade: str
    plies: int = 1
    restraints: Restraints = Restraints()
    treatment: Treatment | Literal["none"] | None = None


@dataclass(frozen=True, slots=True)
class Shape:
    """A form by name and its dimensions; None: not stated. Which of them a form needs is the form's to say (rules.shapes).

    pieces: what its pieces are made of, by role. span_over_plates_mm: from outer edge to outer edge of the wall plates;
    overhang_mm: from the outer edge of a plate to the end of the rafter, on plan; tie_height_mm: of a raised tie above the rafter's
    foot, centre line to centre line; clear_span_mm: between bearings, bearing_mm: length of each; depth_mm: overall, of an open-web
    joist; panels: bays of its bottom chord.
    """

    form: str
    pieces: Mapping[str, Make] = field(default_factory=dict)
    span_over_plates_mm: float | None = None
    pitch_deg: float | None = None
    ceiling_pitch_deg: float | None = None
    overhang_mm: float | None = None
    plate_width_mm: float | None = None
    plate_grade: str | None = None
    tie_height_mm: float | None = None
    room_width_mm: float | None = None
    room_height_mm: float | None = None
    clear_span_mm: float | None = None
    bearing_mm: float | None = None
    depth_mm: float | None = None
    panels: int | None = None


FORMS = (
    "couple", "king-post", "queen-post", "fink", "fan", "howe", "mono", "scissor", "raised-tie", "attic", "solid-joist", "open-web-joist",
)  # fmt: skip
"""The forms there are; rules.shapes holds a module for each."""

DIMENSIONS = (
    "span_over_plates_mm", "pitch_deg", "ceiling_pitch_deg", "overhang_mm", "plate_width_mm", "plate_grade", "tie_height_mm",
    "room_width_mm", "room_height_mm", "clear_span_mm", "bearing_mm", "depth_mm", "panels",
)  # fmt: skip
"""What a shape may state besides its form and its pieces."""
