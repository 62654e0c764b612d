"""Givens of snow on the whole design: what the ground at the site asks, and what the design carries, on plan."""

from __future__ import annotations

import math

import numpy as np

from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.library.given import Given

GROUND_ASK = "What is the ground snow load of the site, and of which edition? (site.snow_ground_kn_per_m2, site.snow_ground_edition)"
WIDTH_ASK = "How far apart do the components stand? (spacing_mm, or load_width_mm beside an opening)"
PITCHED = ("rafter", "top-chord")


def snow_givens(frame: Frame) -> dict[str, Given]:
    """Of the whole design; snow carried is the vertical load of the heaviest snow case over width and plan length."""
    design = frame.settled.design
    ground, width = design.site.snow_ground_kn_per_m2, design.load_width_mm or design.spacing_mm
    slopes = [math.degrees(line.slope) for member, line in zip(design.members, frame.geometry.lines, strict=True) if member.role in PITCHED]
    snow = [index for index, each in enumerate(frame.settled.actions) if each.action.nature == "snow" and each.action.loads]
    total = np.abs(frame.response.reactions[snow, :, 1].sum(axis=1)).max(initial=0.0)
    carried = 1000.0 * total / (width or math.nan) / (float(np.ptp(frame.geometry.xy[:, 0])) or math.nan)
    return named(
        Given("snow_ground", "p_g", "kN/m²", "ground snow load", math.nan if ground is None else ground, GROUND_ASK),
        Given("snow_carried", "p", "kN/m²", "snow of the heaviest case, on plan", carried, WIDTH_ASK),
        Given("pitch_deg", "θ", "°", "steepest slope of the roof", max(slopes, default=0.0)),
        Given("carries_snow", "snow", "", "snow is among the actions", np.array(bool(snow))),
    )
