"""materials.yaml: strength classes and other grades, each with its own citation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rules.library.citation import Citation
from rules.library.pack_schemas import MaterialsShape
from rules.library.shaping import shaped
from rules.library.values import citation
from rules.library.yaml_source import Source
from rules.subject.material import Material, ReferenceValue


@dataclass(frozen=True, slots=True)
class Grades:
    """What materials.yaml holds. reference: the values every grade of the tradition states, () where another pack says which;
    cited: every grade with its citation."""

    reference: tuple[ReferenceValue, ...] = ()
    cited: tuple[tuple[Material, Citation], ...] = ()


def read_materials(source: Source, tradition: str) -> Grades:
    """Every grade with its citation; what is wrong stands in source.faults."""
    said = shaped(source, MaterialsShape()) if source.data is not None else None
    if said is None:
        return Grades()
    cites = {short: citation(each) for short, each in said["citations"].items()}
    reference = tuple(ReferenceValue(**each) for each in said["reference"])
    faults = len(source.faults)
    _grades(source, said["grades"], cites)
    for i, grade in enumerate(said["grades"]):
        for field, message, hint in misfits(grade["properties"], reference):
            source.fault(("grades", i, "properties", *field), message, hint, at_key=bool(field))
    if len(source.faults) > faults:
        return Grades()
    return Grades(reference, tuple((_material(grade, tradition), cites[grade["cite"]]) for grade in said["grades"]))


def misfits(stated: Mapping[str, float], reference: Sequence[ReferenceValue]) -> Iterator[tuple[tuple[str, ...], str, str]]:
    """What of a grade does not fit the reference values of its tradition: the field (none where one is missing), message, hint."""
    wanted = [each.field for each in reference]
    if not wanted:
        return
    yield from (((), f"`{field}` is missing", "") for field in wanted if field not in stated)
    yield from (((field,), f"`{field}` is not known here", "known: " + ", ".join(wanted)) for field in stated if field not in wanted)


def _grades(source: Source, grades: list[dict[str, Any]], cites: dict[str, Citation]) -> None:
    met: set[str] = set()
    for i, grade in enumerate(grades):
        if grade["cite"] not in cites:
            source.fault(("grades", i, "cite"), f"no citation is called {grade['cite']}", "known: " + ", ".join(cites))
        if grade["id"] in met:
            source.fault(("grades", i, "id"), f"the grade {grade['id']} stands twice")
        met.add(grade["id"])


def _material(grade: dict[str, Any], tradition: str) -> Material:
    return Material(grade["id"], grade["kind"], tradition, grade["properties"], softwood=grade["softwood"], family=grade["family"])
