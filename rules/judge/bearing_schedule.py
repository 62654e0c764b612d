"""The bearings, one by one: what presses and lifts there, the length given, found and needed, what holds it down. It decides nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis
from rules.judge.bearings import bearing_lengths
from rules.judge.framed import Frame
from rules.judge.held_down import hanger_at
from rules.judge.judgement import Judgement
from rules.library.offered import NEEDED_BEARING, NEEDED_ON_SEAT
from rules.library.rule import Kind
from rules.subject.frame import Support
from rules.subject.holding import Hanger

Row = dict[str, Any]
Axes = Mapping[tuple[str, str], Axis]
Floats = NDArray[np.float64]
NEEDED = (NEEDED_BEARING, NEEDED_ON_SEAT)
"""The axis and the quantity by which a code pack says how long a bearing has to be."""


def bearing_rows(frame: Frame, axes: Axes, unsound: Sequence[Judgement]) -> list[Row]:
    """A row for every support, in order. unsound: what fails or is open."""
    design = frame.settled.design
    found = {each.support: each for each in design.as_built.at_supports} if design.as_built else {}
    lengths, hangers = bearing_lengths(design), hanger_at(design)
    unknown = np.full((1, len(design.supports)), np.nan)
    down, up = _most(axes, ("ultimate",), 1.0, unknown), _most(axes, ("equilibrium", "ultimate"), -1.0, unknown)
    return [
        {
            "support": support.id,
            "on": support.seat.on if support.seat else None,
            "member": _member(frame, place),
            "down_kn": _known(down[place]),
            "up_kn": _known(up[place]),
            "bearing_mm": None if np.isnan(lengths[place]) else float(lengths[place]),
            "found_mm": found[support.id].bearing_mm if support.id in found else None,
            "needed_mm": _needed(axes, place),
            "held_by": _holds(support, hangers[place]),
            "status": _status(unsound, support.id),
        }
        for place, support in enumerate(design.supports)
    ]


def _member(frame: Frame, place: int) -> str | None:
    index = frame.settled.seat_members[place]
    return None if index is None else frame.settled.design.members[index].id


def _most(axes: Axes, names: Sequence[str], sign: float, unknown: Floats) -> Floats:
    """Greatest force on every bearing in kN, down or up, never below nought; not a number where it cannot be known."""
    forces = [axes[name, "support"].evidence["down"] for name in names if (name, "support") in axes]
    most: Floats = (sign * np.concatenate(forces or [unknown])).max(axis=0)
    return np.maximum(most, 0.0) / 1000.0


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _needed(axes: Axes, place: int) -> float | None:
    """The longer of what the piece and what the timber underneath want; None where neither can be told."""
    wanted = [_length(axes[("ultimate", each.over)], each.name, place) for each in NEEDED if ("ultimate", each.over) in axes]
    known = [each for each in wanted if each is not None]
    return max(known, default=None)


def _length(axis: Axis, name: str, place: int) -> float | None:
    if name not in axis.evidence.book:
        return None
    return _known(axis.most(name)[place])


def _holds(support: Support, hanger: Hanger | None) -> str | None:
    parts = []
    if support.held_down_by:
        bearings = support.held_down_by.bearings
        shared = f", one for {bearings} bearings" if bearings and bearings > 1 else ""
        parts.append((support.held_down_by.what or "a strap") + shared)
    if hanger:
        parts.append(f"hanger {hanger.id}")
    return "; ".join(parts) or None


def _status(unsound: Sequence[Judgement], name: str) -> str:
    own = {each.kind for each in unsound if each.element_kind == "support" and each.element_id == name}
    return "fails" if Kind.FAIL in own else "open" if Kind.OPEN in own else "given"
