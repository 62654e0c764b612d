"""Givens of the material at every place: strengths, stiffnesses, kind; and how givens are named."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.frame import Member, Rectangle
from rules.subject.material import Material, ReferenceValue


def named(*givens: Given) -> dict[str, Given]:
    """By name."""
    return {given.name: given for given in givens}


def material_givens(
    reference: Iterable[ReferenceValue],
    materials: tuple[Material | None, ...],
    members: tuple[Member | None, ...],
    index: NDArray[np.intp],
) -> dict[str, Given]:
    """Kind of the material at every place, and the reference values its tradition knows; None: no material there."""

    distinct = list({id(each): each for each in materials}.values())
    of_each = {id(each): place for place, each in enumerate(distinct)}
    which = np.array([of_each[id(each)] for each in materials], dtype=np.intp)[index]

    def spread(values: Iterable[Any]) -> Any:
        return np.array(list(values))[which]

    timber = [_is_timber(material, member) for material, member in zip(materials, members, strict=True)]
    given = named(
        Given("kind", "material", "", "kind of material", Labels.of([kind_of(each) for each in distinct]).spread(which)),
        Given("is_timber", "timber", "", "a timber section", np.array(timber)[index]),
        Given("is_solid", "solid timber", "", "solid timber", spread(kind_of(each) == "solid-timber" for each in distinct)),
        Given("is_lvl", "LVL", "", "laminated veneer lumber", spread(kind_of(each) == "lvl" for each in distinct)),
        Given("is_softwood", "softwood", "", "softwood", spread(each is not None and each.softwood is True for each in distinct)),
        Given("is_solid_softwood", "solid softwood", "", "solid softwood", spread(_is_softwood(each) for each in distinct)),
    )
    family = Labels.of([each.family if each else None for each in distinct]).spread(which)
    given["family"] = Given("family", "family", "", "which table of values the grade belongs to", family, FAMILY_ASK)
    of_grade = Labels.of([f"of the grade {each.id}" if each else "of the grade" for each in distinct]).spread(which)
    for each in reference:
        ask = f"What is {each.symbol} of this grade? A figure marked as invented does not count. (materials.grades, {each.field})"
        found = spread(_property(material, each.field) for material in distinct)
        given[each.name] = Given(each.name, each.symbol, each.unit, of_grade, found, ask)
    return given


FAMILY_ASK = "To which family of grades does this one belong? (materials.grades, family)"


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
