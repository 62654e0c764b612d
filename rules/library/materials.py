"""materials.yaml: strength classes and other grades, each with its own citation."""

from __future__ import annotations

from typing import Any

from rules.library.citation import Citation
from rules.library.pack_schemas import EN_PROPERTIES, MaterialsShape
from rules.library.shaping import shaped
from rules.library.values import citation
from rules.library.yaml_source import Source
from rules.subject.material import Material

REFERENCE = {"en": EN_PROPERTIES}
"""Reference values a grade of each tradition must state; a tradition that is not named may state its own."""


def read_materials(source: Source, tradition: str) -> tuple[tuple[Material, Citation], ...]:
    """Every grade with its citation; what is wrong stands in source.faults."""
    said = shaped(source, MaterialsShape()) if source.data is not None else None
    if said is None:
        return ()
    cites = {short: citation(each) for short, each in said["citations"].items()}
    faults = len(source.faults)
    _grades(source, said["grades"], cites, tradition)
    if len(source.faults) > faults:
        return ()
    return tuple((_material(grade, tradition), cites[grade["cite"]]) for grade in said["grades"])


def _grades(source: Source, grades: list[dict[str, Any]], cites: dict[str, Citation], tradition: str) -> None:
    met: set[str] = set()
    for i, grade in enumerate(grades):
        if grade["cite"] not in cites:
            source.fault(("grades", i, "cite"), f"no citation is called {grade['cite']}", "known: " + ", ".join(cites))
        if grade["id"] in met:
            source.fault(("grades", i, "id"), f"the grade {grade['id']} stands twice")
        met.add(grade["id"])
        _properties(source, ("grades", i, "properties"), grade["properties"], tradition)


def _properties(source: Source, path: tuple[str | int, ...], stated: dict[str, float], tradition: str) -> None:
    wanted = REFERENCE.get(tradition)
    if wanted is None:
        return
    for name in wanted:
        if name not in stated:
            source.fault(path, f"`{name}` is missing")
    for name in stated:
        if name not in wanted:
            source.fault((*path, name), f"`{name}` is not known here", "known: " + ", ".join(wanted), at_key=True)


def _material(grade: dict[str, Any], tradition: str) -> Material:
    return Material(grade["id"], grade["kind"], tradition, grade["properties"], softwood=grade["softwood"])
