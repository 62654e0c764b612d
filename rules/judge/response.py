"""The analysis as the report shows it: reactions in words, envelopes for people, everything on request."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.gather import Axis, Frame
from rules.judge.options import Options
from rules.subject.settled import CombinationSet

Document = dict[str, Any]
Floats = NDArray[np.float64]
TOLERANCE = 1e-9
QUIET_KN = 5e-4
"""A reaction smaller than this is told as none."""


def response_part(frame: Frame, axes: Mapping[tuple[str, str], Axis], options: Options) -> Document | None:
    """Balance, characteristic reactions per action, envelopes per piece; with combinations, their reactions too."""
    if options.response == "none":
        return None
    part: Document = balance(frame) | {"reactions": reactions(frame), "envelopes": envelopes(axes)}
    if options.response == "combinations":
        part["combinations"] = [combination_part(frame, each) for each in frame.settled.sets.values()]
    return part


def balance(frame: Frame) -> Document:
    """Whether loads and reactions balance, by the solver's own residual."""
    return {"balanced": bool(frame.response.balanced), "tolerance": TOLERANCE, "residual": float(frame.response.residual)}


def reactions(frame: Frame) -> list[Document]:
    """Characteristic reactions on the structure per action and support, kN and kNm, and what they mean for the wall."""
    design, found = frame.settled.design, frame.response.reactions / 1000.0
    return [
        {
            "action": action.id,
            "support": support.id,
            "x_kn": float(found[i, j, 0]),
            "y_kn": float(found[i, j, 1]),
            "rotation_knm": float(found[i, j, 2]) / 1000.0,
            "words": _words(float(found[i, j, 0]), float(found[i, j, 1])),
        }
        for i, action in enumerate(frame.settled.actions)
        for j, support in enumerate(design.supports)
    ]


def _words(x: float, y: float) -> str:
    parts = []
    if abs(y) >= QUIET_KN:
        parts.append(f"{abs(y):.2f} kN down on the bearing" if y > 0 else f"{abs(y):.2f} kN of uplift on the bearing")
    if abs(x) >= QUIET_KN:
        parts.append(f"{abs(x):.2f} kN pushing the bearing to the {'left' if x > 0 else 'right'}")
    return ", ".join(parts) or "nothing"


def envelopes(axes: Mapping[tuple[str, str], Axis]) -> list[Document]:
    """Least and greatest N, V and M of every piece over the ultimate combinations, each with its combination. For people only."""
    axis = axes.get(("ultimate", "member"))
    if axis is None:
        return []
    return [_envelope(axis, index, name) for index, name in enumerate(axis.ids)]


def _envelope(axis: Axis, index: int, name: str) -> Document:
    places = axis.slices[index]
    assert axis.at is not None
    at = axis.at[places]

    def extremes(quantity: str, field: str, scale: float) -> Document:
        values: Floats = axis.evidence[quantity][:, places] / scale
        known = np.nan_to_num(values)
        return {end: _extreme(known, at, axis.combinations, find, field) for end, find in (("min", np.argmin), ("max", np.argmax))}

    return {"member": name, "n": extremes("n", "n_kn", 1e3), "v": extremes("v", "v_kn", 1e3), "m": extremes("sagging", "m_knm", 1e6)}


def _extreme(values: Floats, at: Floats, combinations: CombinationSet, find: Any, field: str) -> Document:
    row, column = divmod(int(find(values)), values.shape[1])
    return {field: float(values[row, column]), "at_mm": float(at[column]), "combination": combinations.words(row)}


def combination_part(frame: Frame, combinations: CombinationSet) -> Document:
    """Every combination of a set whose factors are known: its words, factors, duration, and the reactions under it."""
    known = [row for row in range(len(combinations)) if not np.isnan(combinations.factors[row]).any()]
    combined = frame.response.combine(combinations.factors[known])
    actions, supports = frame.settled.actions, frame.settled.design.supports
    return {
        "set": combinations.name,
        "left_out": len(combinations) - len(known),
        "combinations": [
            {
                "name": combinations.words(k),
                "duration": combinations.durations[k],
                "factors": {action.id: float(factor) for action, factor in zip(actions, combinations.factors[k], strict=True) if factor},
                "reactions": [
                    {
                        "support": support.id,
                        "x_kn": float(combined.reactions[place, j, 0]) / 1e3,
                        "y_kn": float(combined.reactions[place, j, 1]) / 1e3,
                        "rotation_knm": float(combined.reactions[place, j, 2]) / 1e6,
                    }
                    for j, support in enumerate(supports)
                ],
            }
            for place, k in enumerate(known)
        ],
    }


def displacements(frame: Frame) -> list[Document]:
    """Characteristic displacements per action and node."""
    found = frame.response.displacements
    return [
        {
            "action": action.id,
            "node": node.id,
            "x_mm": float(found[i, j, 0]),
            "y_mm": float(found[i, j, 1]),
            "rotation_rad": float(found[i, j, 2]),
        }
        for i, action in enumerate(frame.settled.actions)
        for j, node in enumerate(frame.settled.design.nodes)
    ]


def members(frame: Frame) -> list[Document]:
    """Characteristic forces along every piece per action: kN, kN, kNm (sagging positive) and mm square to the piece."""
    response, lines = frame.response, frame.geometry.lines
    return [
        _member(frame, i, action.id, index, member.id, 1.0 if lines[index].cos >= -1e-9 else -1.0, response.layout.slices[index])
        for i, action in enumerate(frame.settled.actions)
        for index, member in enumerate(frame.settled.design.members)
    ]


def _member(frame: Frame, case: int, action: str, index: int, member: str, sign: float, places: slice) -> Document:
    response, line = frame.response, frame.geometry.lines[index]
    across = (response.uy[case, places] * line.cos - response.ux[case, places] * line.sin) * sign
    at, m = response.layout.at[places], sign * response.m[case, places] / 1e6
    most = int(np.argmax(np.abs(m)))
    rows = zip(at, response.n[case, places] / 1e3, response.v[case, places] / 1e3, m, across, strict=True)
    return {
        "action": action,
        "member": member,
        "max_moment": {"m_knm": float(m[most]), "at_mm": float(at[most])},
        "stations": [
            {"at_mm": float(x), "n_kn": float(n), "v_kn": float(v), "m_knm": float(moment), "deflection_mm": float(w)}
            for x, n, v, moment, w in rows
        ],
    }
