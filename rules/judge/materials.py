"""Grades looked up: in the packs in force first, then in the document; an unknown one is a fault, never a guess."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass

from rules.library.choosing import Selection
from rules.subject.design import Design
from rules.subject.faults import Fault, pointer
from rules.subject.frame import Prism
from rules.subject.material import MODULUS, Material

NEEDED = (MODULUS,)
"""Without these a frame cannot be analysed."""


@dataclass(frozen=True, slots=True)
class Found:
    """Materials by what is made of them, in the order of the document; None where no grade is named. faults: grades that cannot be found."""

    members: tuple[Material, ...]
    seats: tuple[Material | None, ...]
    braces: tuple[Material | None, ...]
    anchors: tuple[Material | None, ...]
    faults: tuple[Fault, ...]


def find_materials(design: Design, selection: Selection) -> Found:
    """Material of every member, and of every seat, item of bracing and timber it is anchored to that names a grade."""
    known = {material.id: material for material in design.materials}
    known |= {material.id: material for material in selection.materials}
    known |= {f"{material.pack}:{material.id}": material for material in selection.materials}
    faults: list[Fault] = []
    members = [_find(member.grade, known, pointer("members", i, "grade"), faults) for i, member in enumerate(design.members)]
    for i, (member, material) in enumerate(zip(design.members, members, strict=True)):
        if material is not None:
            faults += _usable(material, isinstance(member.section, Prism), pointer("members", i, "grade"))
    seats = [
        _find(support.seat.grade, known, pointer("supports", i, "seat", "grade"), faults) if support.seat and support.seat.grade else None
        for i, support in enumerate(design.supports)
    ]
    bracing = design.bracing if isinstance(design.bracing, tuple) else ()
    braces = [_find(item.grade, known, pointer("bracing", i, "grade"), faults) if item.grade else None for i, item in enumerate(bracing)]
    anchors = [
        _find(item.anchor.grade, known, pointer("bracing", i, "anchor", "grade"), faults) if item.anchor and item.anchor.grade else None
        for i, item in enumerate(bracing)
    ]
    return Found(tuple(each for each in members if each is not None), tuple(seats), tuple(braces), tuple(anchors), tuple(faults))


def _find(grade: str, known: dict[str, Material], where: str, faults: list[Fault]) -> Material | None:
    if grade in known:
        return known[grade]
    faults.append(
        Fault(
            where,
            "unknown-grade",
            f"No pack in force and no material of this document is called {grade!r}.",
            found=grade,
            allowed=_near(grade, list(known)),
            hint="Name one of these, or describe the grade under materials.grades with its own properties.",
        )
    )
    return None


def _near(grade: str, known: Sequence[str]) -> list[str]:
    short = [name for name in known if ":" not in name]
    return difflib.get_close_matches(grade, short, n=12, cutoff=0.3) or short[:40]


def _usable(material: Material, by_properties: bool, where: str) -> list[Fault]:
    faults = [
        Fault(
            where,
            "missing-property",
            f"Grade {material.id!r} does not say {name}, and no frame can be analysed without it.",
            hint=f"State {name} of the material.",
        )
        for name in NEEDED
        if name not in material.properties
    ]
    if material.kind == "steel" and not by_properties:
        faults.append(
            Fault(
                where,
                "unsuitable-section",
                f"{material.id!r} is steel; a piece of steel is described by its section's properties.",
                hint='Give the section as {"area_mm2", "second_moment_mm4", "modulus_mm3"} with what its maker declares.',
            )
        )
    return faults
