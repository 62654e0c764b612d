"""What a comparison asks for: one design document a side, each with its own grades, site and codes, or every fault there is.

A side never guesses. A grade it does not know is refused, and so is a mapping of a grade the design does not use.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from marshmallow import ValidationError

from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, pointer
from service.places import located
from service.problems import KINDS, Problem, Refusal, said
from service.reading import Json
from service.schemas import to_design
from service.schemas.comparison import ComparisonSchema
from service.schemas.complaints import faults_of

Document = dict[str, Any]
OVERLAID = ("site", "codes")
"""Parts of the design a side may put its own over, member by member."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side. index: its place in the request; grades: how it names the grades of the design; base: where its design stands."""

    index: int
    name: str
    design: Design
    grades: Mapping[str, str]
    base: str
    own: Mapping[str, Any]

    def told(self, fault: Fault) -> Fault:
        """A fault of its design, where the request says what is at fault."""
        return replace(fault, pointer=self._place(fault), detail=f"Side {self.name!r}: {fault.detail}")

    def _place(self, fault: Fault) -> str:
        given = next((grade for grade, named in self.grades.items() if named == fault.found), None)
        if fault.code == "unknown-grade" and given is not None:
            return pointer("sides", self.index, "grades", given)
        return _own_place(fault.pointer, self.index, self.own) or self.base + fault.pointer


def sides_of(document: Json) -> list[Side]:
    """Every side of an accepted request. Raises Refusal (comparison-refused) with every fault of the request and of each side's design."""
    asked = _checked(document)
    faults = [*_alike(asked["sides"]), *_lacking(asked)]
    refuse_comparison(faults)
    sides: list[Side] = []
    for index in range(len(asked["sides"])):
        made = _side(asked, index)
        if isinstance(made, Side):
            sides.append(made)
        else:
            faults += made
    refuse_comparison(faults)
    return sides


def refuse_comparison(faults: Iterable[Fault]) -> None:
    """Raise Refusal when there is any fault. A grade named once for a side is told once, however many pieces are of it."""
    found = tuple({(fault.pointer, fault.code, fault.detail): fault for fault in faults}.values())
    if found:
        raise Refusal(Problem(KINDS["comparison-refused"], said(found), faults=found))


def _checked(document: Any) -> Mapping[str, Any]:
    """The request as it was sent, once its shape is known to be sound: each side's design is read from what was written."""
    try:
        ComparisonSchema().load(document)
    except ValidationError as error:
        refuse_comparison(faults_of(error.messages_dict, document))
    asked: Mapping[str, Any] = document
    return asked


def _alike(sides: Iterable[Mapping[str, Any]]) -> Iterator[Fault]:
    met: set[str] = set()
    for index, side in enumerate(sides):
        if side["name"] in met:
            yield Fault(
                pointer("sides", index, "name"), "duplicate-id", "Two sides have one name.", side["name"], hint="Name each side once."
            )
        met.add(side["name"])


def _lacking(asked: Mapping[str, Any]) -> Iterator[Fault]:
    for index, side in enumerate(asked["sides"]):
        if side.get("design") is None and asked.get("design") is None:
            hint = "Give one design for all sides, or each side its own."
            yield Fault(pointer("sides", index, "design"), "required", "There is no design for this side.", hint=hint)


def _side(asked: Mapping[str, Any], index: int) -> Side | list[Fault]:
    side = asked["sides"][index]
    base = pointer("sides", index, "design") if side.get("design") is not None else "/design"
    document = side["design"] if side.get("design") is not None else asked["design"]
    grades = side.get("grades") or {}
    own = {part: side[part] for part in OVERLAID if side.get(part) is not None}
    renamed, used = _renamed(document, grades)
    strange = [
        Fault(pointer("sides", index, "grades", grade), "dangling-id", f"The design of side {side['name']!r} uses no grade of that name.",
              grade, sorted(used), "Name a grade of the design, or leave it out.")
        for grade in grades
        if grade not in used
    ]  # fmt: skip
    try:
        design = located(to_design(_overlaid(renamed, own)))
    except DesignRefused as refused:
        return [*strange, *(_misplaced(fault, index, side["name"], base, own) for fault in refused.faults)]
    return strange or Side(index, side["name"], design, grades, base, own)


def _misplaced(fault: Fault, index: int, name: str, base: str, own: Mapping[str, Any]) -> Fault:
    return replace(fault, pointer=_own_place(fault.pointer, index, own) or base + fault.pointer, detail=f"Side {name!r}: {fault.detail}")


def _own_place(at: str, index: int, own: Mapping[str, Any]) -> str | None:
    """The place in the side itself where it put something of its own over the design; None where it did not."""
    _, part, *rest = [*at.split("/"), ""]
    stated = own.get(part)
    if stated is None or (rest[0] and isinstance(stated, Mapping) and rest[0] not in stated):
        return None
    return pointer("sides", index) + at


def _overlaid(document: Mapping[str, Any], own: Mapping[str, Any]) -> Document:
    laid = {part: {**_object(document.get(part)), **stated} if isinstance(stated, dict) else stated for part, stated in own.items()}
    return {**document, **laid}


def _object(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, dict) else {}


def _renamed(document: Mapping[str, Any], grades: Mapping[str, str]) -> tuple[Document, set[str]]:
    """The document with the grades of pieces, seats, bracing and what it is anchored to renamed, and every grade it used."""
    used: set[str] = set()

    def rename(part: Any) -> Any:
        if not isinstance(part, dict) or not isinstance(part.get("grade"), str):
            return part
        used.add(part["grade"])
        return {**part, "grade": grades.get(part["grade"], part["grade"])}

    def within(part: Any, name: str) -> Any:
        return {**part, name: rename(part[name])} if isinstance(part, dict) and name in part else part

    changed = dict(document)
    kinds = (("members", rename), ("bracing", lambda item: within(rename(item), "anchor")), ("supports", lambda each: within(each, "seat")))
    for name, change in kinds:
        if isinstance(document.get(name), list):
            changed[name] = [change(each) for each in document[name]]
    return changed, used
