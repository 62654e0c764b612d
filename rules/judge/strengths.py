"""Declared strengths of fixings, straps and hangers as givens: usable only where it is said how the number is meant."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from rules.library.given import Given
from rules.subject.design import Design
from rules.subject.fastening import Fasteners
from rules.subject.holding import Strength

MEANT = (
    "Give kn, and whether it is a design value or a characteristic one (basis), the latter with gamma_m and k_mod; a figure marked as "
    "invented does not count."
)


def strength_givens(name: str, symbol: str, what: str, ask: str, stated: Sequence[Strength | None]) -> tuple[Given, ...]:
    """name_declared in N, name_gamma and name_with_k_mod of each place; NaN where the figure cannot be used."""
    sound = [each if each is not None and usable(each) else None for each in stated]
    return (
        Given(f"{name}_declared", f"{symbol},k", "N", f"declared: {what}", np.array([_newtons(each) for each in sound]), f"{ask} {MEANT}"),
        Given(f"{name}_gamma", "γ_M", "1", "partial factor that goes with it", np.array([_gamma(each) for each in sound])),
        Given(
            f"{name}_with_k_mod",
            "k_mod applies",
            "",
            "it falls with the load's duration",
            np.array([each is not None and _with_k_mod(each) for each in sound], dtype=np.bool_),
        ),
    )


def strengths_of(design: Design) -> Iterator[Strength | Fasteners | None]:
    """Every declared strength of a design's bracing, straps and hangers, and of what fastens them."""
    for item in design.bracing if isinstance(design.bracing, tuple) else ():
        yield from (item.fixing_capacity, item.fasteners, item.anchor_capacity)
        yield from (item.anchor.fasteners, item.anchor.rest_capacity) if item.anchor else ()
    for strap in (support.held_down_by for support in design.supports):
        yield from (strap.capacity, strap.fasteners, strap.rest_capacity) if strap else ()
    for hanger in design.hangers:
        yield from (hanger.down, hanger.up, hanger.fasteners, hanger.rest_down, hanger.rest_up)


def usable(strength: Strength) -> bool:
    """Whether the number is there, not invented, and it is said how it is meant."""
    if strength.kn is None or strength.invented or strength.basis is None:
        return False
    return strength.basis == "design" or (strength.gamma_m is not None and strength.k_mod is not None)


def stiffness(strength: Strength | None) -> float:
    """Slip modulus in N/mm; NaN where it is not stated or invented."""
    if strength is None or strength.invented or strength.stiffness_kn_per_mm is None:
        return math.nan
    return 1000.0 * strength.stiffness_kn_per_mm


def _newtons(strength: Strength | None) -> float:
    return math.nan if strength is None or strength.kn is None else 1000.0 * strength.kn


def _gamma(strength: Strength | None) -> float:
    return 1.0 if strength is None or strength.basis == "design" else strength.gamma_m or 1.0


def _with_k_mod(strength: Strength) -> bool:
    return strength.basis == "characteristic" and strength.k_mod == "applies"
