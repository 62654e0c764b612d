"""Givens of the material at every place: strengths, stiffnesses, kind; and how givens are named."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.library.evidence import Given
from rules.library.labels import Labels
from rules.subject.frame import Member, Rectangle
from rules.subject.material import Material

PROPERTIES = {
    "f_m_k": ("f_m_k_mpa", "f_m,k"),
    "f_t_0_k": ("f_t_0_k_mpa", "f_t,0,k"),
    "f_c_0_k": ("f_c_0_k_mpa", "f_c,0,k"),
    "f_c_90_k": ("f_c_90_k_mpa", "f_c,90,k"),
    "f_v_k": ("f_v_k_mpa", "f_v,k"),
    "e_0_05": ("e_0_05_mpa", "E_0,05"),
    "g_mean": ("g_mean_mpa", "G_mean"),
    "rho_k": ("rho_k_kg_per_m3", "ρ_k"),
    "e_0_mean": ("e_0_mean_mpa", "E_0,mean"),
}


def named(*givens: Given) -> dict[str, Given]:
    """By name."""
    return {given.name: given for given in givens}


def material_givens(
    materials: tuple[Material | None, ...], members: tuple[Member | None, ...], index: NDArray[np.intp]
) -> dict[str, Given]:
    """Strengths, stiffnesses and kind of the material at every place; None: no material there."""

    def spread(values: Iterable[Any]) -> Any:
        return np.array(list(values))[index]

    timber = [_is_timber(material, member) for material, member in zip(materials, members, strict=True)]
    given = named(
        Given("kind", "material", "", "kind of material", Labels.of([kind_of(each) for each in materials]).spread(index)),
        Given("is_timber", "timber", "", "a timber section", spread(timber)),
        Given("is_solid", "solid timber", "", "solid timber", spread(kind_of(each) == "solid-timber" for each in materials)),
        Given("is_lvl", "LVL", "", "laminated veneer lumber", spread(kind_of(each) == "lvl" for each in materials)),
        Given("is_solid_softwood", "solid softwood", "", "solid softwood", spread(_is_softwood(each) for each in materials)),
    )
    for name, (field, symbol) in PROPERTIES.items():
        ask = f"What is {symbol} of this grade? A figure marked as invented does not count. (materials.grades, {field})"
        unit = "kg/m³" if name == "rho_k" else "N/mm²"
        given[name] = Given(name, symbol, unit, "of the grade", spread(_property(material, field) for material in materials), ask)
    return given


def _is_timber(material: Material | None, member: Member | None) -> bool:
    return material is not None and material.kind != "steel" and (member is None or isinstance(member.section, Rectangle))


def _is_softwood(material: Material | None) -> bool:
    return material is not None and material.kind == "solid-timber" and material.softwood is True


def _property(material: Material | None, name: str) -> float:
    """NaN where there is no material, where it does not say, and where what it says is invented: that decides nothing."""
    return math.nan if material is None or material.invented else float(material.properties.get(name, math.nan))


def kind_of(material: Material | None) -> str | None:
    """Its kind, as tables name it."""
    return material.kind if material else None
