"""Givens of load shared between components alike: which pieces take part, and what is known of what spreads it."""

from __future__ import annotations

import math

import numpy as np

from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.library.given import Given
from rules.subject.design import Design, LoadSharing

UNDER_THE_LOAD = ("rafter", "top-chord", "joist")
"""Roles of the pieces that what spreads the load is fixed to."""


def sharing_givens(frame: Frame) -> dict[str, Given]:
    """Of every station. Nothing here is asked for: where it is not stated, nothing is shared."""
    design, layout = frame.settled.design, frame.response.layout
    takes_part = np.array([member.role in UNDER_THE_LOAD and member.plies == 1 for member in design.members], dtype=np.bool_)
    stated = design.load_sharing or LoadSharing("nothing", 0)
    return named(
        Given("takes_part", "takes part", "", "a single piece right under what spreads the load", takes_part[layout.piece]),
        Given("sharing_spans", "spans", "1", "gaps that each piece of what spreads the load runs over", float(stated.spans or 0)),
        Given("is_staggered", "staggered", "", "its joints are staggered", np.array(stated.staggered)),
        Given("is_even", "even", "", "loaded like its neighbours, not beside an opening", np.array(_even(design))),
        Given("spacing", "s", "mm", "spacing of the components", math.nan if design.spacing_mm is None else design.spacing_mm),
        Given("is_truss_roof", "truss", "", "a roof truss", np.array(design.component_type == "trussed-rafter")),
    )


def _even(design: Design) -> bool:
    return design.load_width_mm is None or design.load_width_mm == design.spacing_mm
