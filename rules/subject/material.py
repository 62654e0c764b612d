"""A structural material as a code tradition describes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

KINDS = ("solid-timber", "glulam", "lvl", "steel")
UNITS = {"_mpa": "N/mm²", "_kg_per_m3": "kg/m³"}
"""How the name of a reference value ends, and the unit that says."""
MODULUS, SHEAR_MODULUS, MEAN_DENSITY = "e_0_mean_mpa", "g_mean_mpa", "rho_mean_kg_per_m3"
"""What the analysis takes of a material, by the same names in every code tradition: the first always, the others where they are stated."""


@dataclass(frozen=True)
class ReferenceValue:
    """One of the values by which a code tradition describes its grades. field: its name, ending in its unit; symbol: as printed."""

    field: str
    symbol: str
    what: str

    @cached_property
    def name(self) -> str:
        """How formulas ask for it: that name without its unit."""
        return self.field.removesuffix(self._ending)

    @cached_property
    def unit(self) -> str:
        """As printed."""
        return UNITS[self._ending]

    @property
    def _ending(self) -> str:
        return next(ending for ending in UNITS if self.field.endswith(ending))


@dataclass(frozen=True, slots=True)
class Material:
    """Reference values of one grade. properties maps the unit-suffixed names of the tradition to numbers
    ("f_m_k_mpa": 24.0, "e_0_mean_mpa": 11000.0, "rho_k_kg_per_m3": 350.0).

    family: the word by which tables of the tradition know grades alike; None: it has none. softwood: True, False or None (not
    known). source: the citation's words, "the design document" for inline ones. pack: id of the grade pack, None when inline.
    """

    id: str
    kind: str
    tradition: str
    properties: Mapping[str, float]
    softwood: bool | None = None
    family: str | None = None
    pack: str | None = None
    source: str = "the design document"
    seen: str = "stated"
    invented: bool = False
