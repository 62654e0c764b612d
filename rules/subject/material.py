"""A structural material as a code tradition describes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

KINDS = ("solid-timber", "glulam", "lvl", "steel")


@dataclass(frozen=True, slots=True)
class Material:
    """Reference values of one grade. properties maps the unit-suffixed names of the tradition to numbers
    ("f_m_k_mpa": 24.0, "e_0_mean_mpa": 11000.0, "rho_k_kg_per_m3": 350.0).

    softwood: True, False or None (not known). source: the citation's words, "the design document" for inline ones.
    pack: id of the grade pack, None when inline.
    """

    id: str
    kind: str
    tradition: str
    properties: Mapping[str, float]
    softwood: bool | None = None
    pack: str | None = None
    source: str = "the design document"
    seen: str = "stated"
    invented: bool = False
