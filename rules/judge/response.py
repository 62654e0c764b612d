"""The analysis as the report shows it: reactions in words, envelopes for people, everything on request."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis
from rules.judge.framed import Frame
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
    return {
        "balanced": bool(frame.response.balanced),
        "tolerance": TOLERANCE,
        "residual": float(frame.response.residual),
        "digits": frame.response.digits,
    }


def reactions(frame: Frame) -> list[Document]:
    """Characteristic reactions on the structure per action and support, kN and kNm, and what they mean for the wall.

    A load that may stand anywhere or act in part has two rows a support: where it presses most on it, and least.
    """
    found = _clean(frame.response.reactions)
    plain = found.tolist()
    moving = {each.action: each for each in frame.alternatives}
    rows = []
    for i, action in enumerate(frame.settled.actions):
        for j, support in enumerate(frame.settled.design.supports):
            if i not in moving:
                rows.append(_reaction(action.id, support.id, plain[i][j], None))
                continue
            parts = found[moving[i].rows, j]
            for sign, when in ((1.0, MOST), (-1.0, LEAST)):
                acting = _arranged(parts, sign * parts[:, 1], exclusive=moving[i].exclusive)
                rows.append(_reaction(action.id, support.id, (found[i, j] + acting).tolist(), when))
    return rows


def _clean(reactions: Floats) -> Floats:
    """Without round-off: what is nothing beside the greatest force of its case is nought."""
    greatest = np.abs(reactions).max(axis=(1, 2), keepdims=True, initial=0.0)
    return np.where(np.abs(reactions) < DUST * greatest, 0.0, reactions)


DUST = 1e-11
MOST, LEAST = "standing where it presses most on this support", "standing where it presses least on this support"


def _arranged(parts: Floats, drive: Floats, *, exclusive: bool) -> Floats:
    """(3,) of the alternative that goes furthest, or of all that go the right way."""
    return np.asarray(parts[int(drive.argmax())] if exclusive else parts[drive > 0.0].sum(axis=0), dtype=np.float64)


def _reaction(action: str, support: str, newton: Sequence[float], when: str | None) -> Document:
    x, y, turn = newton[0] / 1e3, newton[1] / 1e3, newton[2] / 1e6
    return {"action": action, "support": support, "when": when, "x_kn": x, "y_kn": y, "rotation_knm": turn, "words": _words(x, y)}


def _words(x: float, y: float) -> str:
    parts = []
    if abs(y) >= QUIET_KN:
        parts.append(f"{abs(y):.2f} kN down on the bearing" if y > 0 else f"{abs(y):.2f} kN of uplift on the bearing")
    if abs(x) >= QUIET_KN:
        parts.append(f"{abs(x):.2f} kN pushing the bearing to the {'left' if x > 0 else 'right'}")
    return ", ".join(parts) or "nothing"


def envelopes(axes: Mapping[tuple[str, str], Axis]) -> list[Document]:
    """Least and greatest N, V and M of every piece over the ultimate combinations, each with its combination. For people only.

    None where no forces are known at all: in second order of a load without a place, or of a frame that finds no balance.
    """
    axis = axes.get(("ultimate", "member"))
    if axis is None or np.isnan(axis.evidence["n"]).all():
        return []
    return list(_envelopes(axis))


ENVELOPED = (("n", "n", "n_kn", 1e3), ("v", "v", "v_kn", 1e3), ("m", "sagging", "m_knm", 1e6))
"""Name in the report, quantity, field and scale."""


def _envelopes(axis: Axis) -> Iterator[Document]:
    extremes = {short: _extremes(axis, quantity, field, scale) for short, quantity, field, scale in ENVELOPED}
    for index, name in enumerate(axis.ids):
        yield {"member": name} | {short: found[index] for short, found in extremes.items()}


def _extremes(axis: Axis, quantity: str, field: str, scale: float) -> list[Document]:
    """Of every piece least and greatest of what is known; a combination with an unknown factor counts for neither."""
    ends = {
        end: [_extreme(axis, field, value / scale, row, place) for value, row, place in _extreme_places(axis, quantity, further)]
        for end, further in (("min", np.fmin), ("max", np.fmax))
    }
    return [{"min": least, "max": greatest} for least, greatest in zip(ends["min"], ends["max"], strict=True)]


def _extreme_places(axis: Axis, quantity: str, further: np.ufunc) -> Iterator[tuple[float, int, int]]:
    """Of every piece its extreme, and the first combination, then the first place, that reaches it; only places that reach it anywhere
    are looked at, all of them where nothing is known."""
    values: Floats = axis.evidence[quantity]
    own = axis.owners
    ends = further.reduce(values, axis=0)
    most = further.reduceat(ends, axis.starts)
    columns = np.flatnonzero((ends == most[own]) | np.isnan(most)[own])
    rows = (values[:, columns] == most[own[columns]]).argmax(axis=0)
    first = np.minimum.reduceat(rows * axis.shape[1] + columns, np.searchsorted(own[columns], np.arange(len(axis.ids))))
    for value, place in zip(most.tolist(), first.tolist(), strict=True):
        yield value, *divmod(place, axis.shape[1])


def _extreme(axis: Axis, field: str, value: float, row: int, place: int) -> Document:
    assert axis.stands is not None
    return {field: value, "at_mm": axis.stands[place], "combination": axis.words(row, place)}


def combination_part(frame: Frame, combinations: CombinationSet) -> Document:
    """Every combination of a set whose factors are known: its words, factors, duration, and the reactions under it."""
    known = [row for row in range(len(combinations)) if not np.isnan(combinations.factors[row]).any()]
    roving = len(frame.response) - len(frame.settled.actions)
    combined = frame.response.combine(np.pad(combinations.factors[known], ((0, 0), (0, roving))))
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
    """Characteristic displacements per action and node; of a moving load one row for each place it may stand."""
    found = frame.response.displacements
    return [
        {
            "action": action,
            "stands": stands,
            "node": node.id,
            "x_mm": float(found[i, j, 0]),
            "y_mm": float(found[i, j, 1]),
            "rotation_rad": float(found[i, j, 2]),
        }
        for i, action, stands in _cases(frame)
        for j, node in enumerate(frame.settled.design.nodes)
    ]


def members(frame: Frame) -> list[Document]:
    """Characteristic forces along every piece per action: kN, kN, kNm (sagging positive) and mm square to the piece."""
    signs = [1.0 if line.cos >= -1e-9 else -1.0 for line in frame.geometry.lines]
    return [
        {"action": action, "stands": stands, "member": member.id, **_along(frame, i, index, signs[index])}
        for i, action, stands in _cases(frame)
        for index, member in enumerate(frame.settled.design.members)
    ]


def _cases(frame: Frame) -> Iterator[tuple[int, str, str | None]]:
    """Row of the response, action, and where the load stands when it may stand anywhere or act in part."""
    for i, action in enumerate(frame.settled.actions):
        yield i, action.id, None
    for each in frame.alternatives:
        for row, place in zip(range(each.rows.start, each.rows.stop), each.places, strict=True):
            yield row, frame.settled.actions[each.action].id, place.words()


def _along(frame: Frame, case: int, index: int, sign: float) -> Document:
    response, line = frame.response, frame.geometry.lines[index]
    places = response.layout.slices[index]
    across = (response.uy[case, places] * line.cos - response.ux[case, places] * line.sin) * sign
    at, m = response.layout.at[places], sign * response.m[case, places] / 1e6
    most = int(np.argmax(np.abs(m)))
    rows = zip(at, response.n[case, places] / 1e3, response.v[case, places] / 1e3, m, across, strict=True)
    return {
        "max_moment": {"m_knm": float(m[most]), "at_mm": float(at[most])},
        "stations": [
            {"at_mm": float(x), "n_kn": float(n), "v_kn": float(v), "m_knm": float(moment), "deflection_mm": float(w)}
            for x, n, v, moment, w in rows
        ],
    }
