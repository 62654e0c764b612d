"""Accepted values of joints and splices to their dataclasses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rules.subject.design import Declined
from rules.subject.joints import Gaps, Joint, Plates, Splice
from service.schemas.picking import Values, optional, pair, take

PLATES = ("plate_type", "length_mm", "width_mm", "angle_deg", "placing_tolerance_mm", "turning_tolerance_deg")


def build_joints(value: Any) -> tuple[Joint, ...] | Declined | None:
    """The joints, or who answers for them; none where nothing is said."""
    if isinstance(value, Mapping):
        return Declined(**value)
    return None if value is None else tuple(map(_joint, value))


def build_splice(values: Values) -> Splice:
    """Plates within a piece."""
    return Splice(**take(values, "id", "member", "at_mm", "slip_kn_per_mm"), plates=_plates(values))


def _joint(values: Values) -> Joint:
    missing = tuple(name for name in PLATES[:4] if name not in values)
    return Joint(
        **take(values, "id", "node", "none_because", "slip_kn_per_mm"),
        pieces=tuple(values.get("pieces", ())),
        cut_order=tuple(values.get("cut_order", ())),
        plates=None if missing else _plates(values),
        missing=missing if len(missing) < 4 else (),
    )


def _plates(values: Values) -> Plates:
    return Plates(
        **take(values, *PLATES), offset_mm=pair(values, "offset_mm"), gaps=optional(values.get("gaps"), lambda gaps: Gaps(**gaps))
    )
