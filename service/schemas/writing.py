"""From a design back to a document: frame and load cases written out, every other part as it came.

What is at its default is left out; a number is written so that reading it gives the same number.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any

from rules.subject.actions import Action, LineLoad, Load
from rules.subject.design import Design
from rules.subject.frame import Cut, End, Member, Prism, Rectangle, Seat, Springs, Support, Treatment
from service.schemas.design import DesignSchema

Values = dict[str, Any]


def written_out(document: Mapping[str, Any], design: Design) -> Values:
    """The document with its shape replaced by nodes, members and supports, and with every load case under actions.

    document: as accepted; design: what became of it, shape drawn and actions derived.
    """
    parts: Values = {
        "nodes": [_stated(node) for node in design.nodes],
        "members": list(map(_member, design.members)),
        "supports": list(map(_support, design.supports)),
        "actions": list(map(_action, design.actions)),
    }
    kept = {name: value for name, value in document.items() if name != "shape"}
    return {**kept, **{name: value for name, value in parts.items() if value}}


def as_written(document: Mapping[str, Any]) -> bytes:
    """The document as compact UTF-8 JSON, in the order of the reference; days as YYYY-MM-DD."""
    order = {name: place for place, name in enumerate(DesignSchema().fields)}
    laid_out = dict(sorted(document.items(), key=lambda part: order[part[0]]))
    text = json.dumps(laid_out, separators=(",", ":"), ensure_ascii=False, allow_nan=False, default=datetime.date.isoformat)
    return text.encode("utf-8")


def _stated(item: Any, *without: str) -> Values:
    """The plain fields of a dataclass that are not at their default; tuples as lists."""
    plain = {}
    for each in fields(item):
        value = getattr(item, each.name)
        if each.name not in without and value is not None and value != each.default and value != ():
            plain[each.name] = list(value) if isinstance(value, tuple) else value
    return plain


def _some(**parts: Any) -> Values:
    """Those parts that say something."""
    return {name: value for name, value in parts.items() if value not in (None, {}, [], "")}


def _member(member: Member) -> Values:
    ends = _some(start=_end(member.start), end=_end(member.end))
    offsets = _some(start=_pair(member.start_offset_mm), end=_pair(member.end_offset_mm))
    return {
        "id": member.id, "role": member.role, "nodes": list(member.nodes), "section": _section(member.section), "grade": member.grade,
        **({"plies": member.plies} if member.plies != 1 else {}),
        **_some(
            ends=ends, offset_mm=offsets, restraint_spacing=_stated(member.restraints), treatment=_treatment(member.treatment),
            holes=_cuts(member.holes), notches=_cuts(member.notches),
        ),
    }  # fmt: skip


def _section(section: Rectangle | Prism) -> Values:
    if isinstance(section, Rectangle):
        return _stated(section)
    return {**_stated(section, "capacity"), **_some(declared=_stated(section.capacity) if section.capacity else None)}


def _end(end: End) -> str | Values | None:
    if end == "pinned":
        return None
    return end if isinstance(end, str) else {"knm_per_rad": end}


def _treatment(treatment: Treatment | str | None) -> str | Values | None:
    if not isinstance(treatment, Treatment):
        return treatment
    return {**_stated(treatment, "use_class"), **_some(**{"class": treatment.use_class})}


def _cuts(cuts: Iterable[Cut]) -> list[Values]:
    return [_stated(cut) for cut in cuts]


def _pair(pair: tuple[float, float]) -> list[float] | None:
    return list(pair) if pair != (0.0, 0.0) else None


def _support(support: Support) -> Values:
    settled = support.settlement
    return {
        **_stated(support, "springs", "settlement", "seat"), "holds": list(support.holds),
        **_some(
            springs=_stated(support.springs) if support.springs != Springs() else None,
            settlement_mm=_pair((settled.x_mm, settled.y_mm)), seat=_seat(support.seat),
        ),
    }  # fmt: skip


def _seat(seat: Seat | None) -> Values | None:
    if seat is None:
        return None
    section = _stated(seat.section) if seat.section else None
    return {**_stated(seat, "section", "offset_mm"), **_some(offset_mm=_pair(seat.offset_mm), section=section)}


def _action(action: Action) -> Values:
    return {**_stated(action, "loads"), **_some(loads=list(map(_load, action.loads)))}


def _load(load: Load) -> Values:
    """A load of nothing is written too: what it is the load of has been looked at."""
    stated = _stated(load)
    return {**stated, "line_kn_per_m": load.line_kn_per_m} if isinstance(load, LineLoad) else stated
