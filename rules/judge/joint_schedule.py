"""The joint schedule: the plates of every joint, and of each of its pieces the force that governs and how much of the hold it uses."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np

from rules.judge.along import Axis
from rules.judge.framed import Frame
from rules.judge.joint_guards import with_plates
from rules.judge.sweeping import NEVER, Reach, reach
from rules.library.evidence import Evidence
from rules.library.rule import Purpose, Rule, Scope
from rules.subject.joints import Plates

Document = dict[str, Any]
SEEN = ("ultimate", "joint")


@dataclass(slots=True)
class _Most:
    """The furthest any rule goes on one piece: how far, which, and in which combination and place."""

    places: slice
    share: float = NEVER
    rule: str | None = None
    row: int = 0
    place: int = 0


def joint_schedule(frame: Frame, axes: Mapping[tuple[str, str], Axis]) -> Document:
    """Under "joints", one row a joint with plates; nothing where no joint has any."""
    axis = axes.get(SEEN)
    if axis is None:
        return {}
    rules = [rule for rule in frame.selection.rules if rule.scope is Scope.JOINT and rule.keys == (SEEN,) and _is_strength(rule)]
    pieces = _swept(rules, axis, [_Most(places, place=places.start) for each in axis.slices for places in _pieces(axis, each)])
    listed = {joint.id: plates for _, _, joint, plates in with_plates(frame.settled.design)}
    return {"joints": [_row(axis, index, listed[name], pieces) for index, name in enumerate(axis.ids)]}


def _is_strength(rule: Rule) -> bool:
    """Whether its ratio is a share of what plates or timber carry under load."""
    return rule.purpose is Purpose.STRENGTH and rule.when is not None


def _pieces(axis: Axis, joint: slice) -> Iterator[slice]:
    """The places of every piece of a joint: those whose name differs only in where the plates sit."""
    for _, places in groupby(range(joint.start, joint.stop), key=lambda place: axis.spots[place].words.partition(",")[0]):
        listed = list(places)
        yield slice(listed[0], listed[-1] + 1)


def _swept(rules: Sequence[Rule], axis: Axis, pieces: list[_Most]) -> list[_Most]:
    starts = np.array([most.places.start for most in pieces], dtype=np.intp)
    for rows, evidence in axis.parts():
        for rule in rules:
            found = _reached(rule, axis, evidence)
            if found is not None:
                ratio = np.broadcast_to(found.known_ratio, (len(rows), axis.shape[1]))
                for most, row, share in zip(pieces, *_furthest(ratio, starts), strict=True):
                    if share > most.share:
                        column = most.places.start + int(ratio[row, most.places].argmax())
                        most.share, most.rule, most.row, most.place = share, rule.id, int(rows[row]), column
    return pieces


def _furthest(ratio: Any, starts: Any) -> tuple[list[int], list[float]]:
    """Of every piece the row in which it goes furthest, and how far."""
    by_piece = np.maximum.reduceat(ratio, starts, axis=1)
    return by_piece.argmax(axis=0).tolist(), by_piece.max(axis=0).tolist()


def _reached(rule: Rule, axis: Axis, evidence: Evidence) -> Reach | None:
    try:
        return reach(rule, axis, evidence)
    except Exception:  # a rule that breaks is open already
        return None


def _row(axis: Axis, index: int, plates: Plates, pieces: Sequence[_Most]) -> Document:
    first, joint = axis.slices[index].start, axis.slices[index]
    return {
        "joint": axis.ids[index],
        "node": axis.spots[first].node,
        "plate_type": plates.plate_type,
        "plates": int(np.ravel(axis.evidence["plates"])[first]),
        "length_mm": plates.length_mm,
        "width_mm": plates.width_mm,
        "angle_deg": plates.angle_deg,
        "offset_mm": list(plates.offset_mm),
        "pieces": [_piece(axis, most) for most in pieces if joint.start <= most.places.start < joint.stop],
    }


def _piece(axis: Axis, most: _Most) -> Document:
    evidence, row = axis.of(most.row)
    spot = axis.spots[most.place]
    fx, fy, moment = (float(evidence[name][row, most.place]) for name in ("p_x", "p_y", "p_m"))
    return {
        "member": spot.member,
        "where": spot.words,
        "area_mm2": _known(float(np.ravel(evidence["contact_area"])[most.place])),
        "force_kn": _known(math.hypot(fx, fy) / 1e3),
        "moment_knm": _known(abs(moment) / 1e6),
        "combination": axis.words(most.row, most.place),
        "rule": most.rule,
        "utilisation": _known(most.share),
    }


def _known(value: float) -> float | None:
    return value if math.isfinite(value) else None
