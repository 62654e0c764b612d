"""Accepted values of bracing, hangers, straps and what was measured on site to their dataclasses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rules.subject.design import Declined
from rules.subject.fastening import Fasteners
from rules.subject.holding import Anchor, AsBuilt, Bracing, Hanger, HangerGap, Nails, Strap, Strength
from service.schemas.picking import Values, optional, take, without


def build_bracing(value: Any) -> tuple[Bracing, ...] | Literal["none"] | Declined | None:
    """The items of bracing, or how the design speaks of it instead."""
    if isinstance(value, Mapping):
        return Declined(**value)
    return tuple(map(_brace, value)) if isinstance(value, list) else value


def build_hanger(values: Values) -> Hanger:
    """One hanger with what it is declared, or worked out, to carry."""
    return Hanger(
        **without(values, "down", "up", "fasteners", "rest_down", "rest_up"),
        down=_strength(values.get("down")),
        up=_strength(values.get("up")),
        fasteners=_fasteners(values.get("fasteners")),
        rest_down=_strength(values.get("rest_down")),
        rest_up=_strength(values.get("rest_up")),
    )


def build_strap(values: Values) -> Strap:
    """What holds a bearing down."""
    return Strap(
        **without(values, "capacity", "fasteners", "rest_capacity"),
        capacity=_strength(values.get("capacity")),
        fasteners=_fasteners(values.get("fasteners")),
        rest_capacity=_strength(values.get("rest_capacity")),
    )


def build_as_built(values: Values) -> AsBuilt:
    """What was measured on site."""
    return AsBuilt(**without(values, "at_supports"), at_supports=tuple(HangerGap(**found) for found in values.get("at_supports", ())))


def _brace(values: Values) -> Bracing:
    return Bracing(
        **without(values, "members", "section", "nails", "fixing_capacity", "fasteners", "anchor_capacity", "anchor"),
        members=tuple(values.get("members", ())),
        section=optional(values.get("section"), lambda given: (given["b_mm"], given["h_mm"])),
        nails=optional(values.get("nails"), lambda given: Nails(**given)),
        fixing_capacity=_strength(values.get("fixing_capacity")),
        fasteners=_fasteners(values.get("fasteners")),
        anchor_capacity=_strength(values.get("anchor_capacity")),
        anchor=optional(values.get("anchor"), _anchor),
    )


def _anchor(values: Values) -> Anchor:
    return Anchor(
        Fasteners(**values["fasteners"]),
        section=optional(values.get("section"), lambda given: (given["b_mm"], given["h_mm"])),
        **take(values, "grade", "grain"),
        rest_capacity=_strength(values.get("rest_capacity")),
    )


def _strength(values: Any) -> Strength | None:
    return optional(values, lambda given: Strength(**given))


def _fasteners(values: Any) -> Fasteners | None:
    return optional(values, lambda given: Fasteners(**given))
