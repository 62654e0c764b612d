"""Reports laid side by side: what each said of the same thing, by the rule's own name, the element and the part.

Packs of different traditions give one name to rules that ask the same (tension, bending-with-compression, bearing). Where their parts
differ, the gravest answer of each side stands for all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from rules.subject.design import WAIVED_KINDS as KINDS

Document = dict[str, Any]
Finding = Mapping[str, Any]
Key = tuple[str, str, str]
"""Kind of element, its id, the rule's own name."""

GRAVEST_FIRST = ("fail", "open", "review", "informational", "pass", "notApplicable")
GRAVE = ("fail", "open", "review")
OF_CELL = ("rule", "part", "kind", "level", "utilisation", "demand", "limit", "combination", "message", "citations")


def rows(reports: Sequence[Mapping[str, Any]]) -> list[Document]:
    """One row for each rule, element and part that any report speaks of, in the order of the elements."""
    held = [_by_key(report["findings"]) for report in reports]
    order = _elements(reports)
    keys = sorted({key for each in held for key in each}, key=lambda key: (*order[key[:2]], key[2]))
    return [row for key in keys for row in _rows(key, [each.get(key, []) for each in held])]


def governing(reports: Sequence[Mapping[str, Any]], measured: Collection[str]) -> list[Document]:
    """Of each element, what uses most of it on each side. measured: the rules whose utilisation is a share of what it can carry."""
    found = []
    for kind, name in sorted(_elements(reports), key=_elements(reports).__getitem__):
        cells = [_most(report["findings"], kind, name, measured) for report in reports]
        if any(cells):
            found.append({"element": {"kind": kind, "id": name}, "cells": cells})
    return found


def telling(row: Mapping[str, Any], most: Collection[str]) -> bool:
    """Whether a row says something: a side that does not pass, sides that disagree, or the most used of an element (most: ids)."""
    cells = [cell for cell in row["cells"] if cell]
    decided = {cell["kind"] for cell in cells if cell["kind"] not in ("notApplicable", "informational")}
    return bool(decided & set(GRAVE)) or len(decided) > 1 or any(cell["finding"] in most for cell in cells)


def _by_key(findings: Iterable[Finding]) -> dict[Key, list[Finding]]:
    held: dict[Key, list[Finding]] = {}
    for finding in findings:
        held.setdefault((*_element(finding), finding["rule"].partition("/")[2]), []).append(finding)
    return held


def _element(finding: Finding) -> tuple[str, str]:
    where = finding["where"]
    return next(((kind, where[kind]) for kind in KINDS if where.get(kind) is not None), ("design", ""))


def _elements(reports: Sequence[Mapping[str, Any]]) -> dict[tuple[str, str], tuple[int, int]]:
    """Every element with its place: the design, then pieces, then supports, each as the documents list them."""
    places: dict[tuple[str, str], tuple[int, int]] = {}
    for report in reports:
        for finding in report["findings"]:
            kind, name = _element(finding)
            index = finding["where"]["pointer"].split("/")[2:3] if kind != "design" else []
            places.setdefault((kind, name), (KINDS.index(kind), int(index[0]) if index and index[0].isdigit() else 0))
    return places


def _rows(key: Key, sides: Sequence[Sequence[Finding]]) -> list[Document]:
    parts = [sorted(finding["part"] for finding in side) for side in sides if side]
    if all(each == parts[0] for each in parts) and len(set(parts[0])) == len(parts[0]):
        return [_row(key, part, [[each for each in side if each["part"] == part] for side in sides]) for part in parts[0]]
    return [_row(key, "", sides)]


def _row(key: Key, part: str, sides: Sequence[Sequence[Finding]]) -> Document:
    kind, name, rule = key
    chosen = [min(side, key=_gravity) if side else None for side in sides]
    title = next(each["title"] for each in chosen if each)
    return {"rule": rule, "element": {"kind": kind, "id": name}, "part": part, "title": title, "cells": [_cell(each) for each in chosen]}


def _gravity(finding: Finding) -> tuple[int, float]:
    return GRAVEST_FIRST.index(finding["kind"]), -(finding["utilisation"] or 0.0)


def _cell(finding: Finding | None) -> Document | None:
    if finding is None:
        return None
    told = {name: finding[name] for name in OF_CELL}
    return {"finding": finding["id"], **told, "at_mm": finding["where"]["at_mm"], "waived": finding["waiver"] is not None}


def _most(findings: Iterable[Finding], kind: str, name: str, measured: Collection[str]) -> Document | None:
    here = [
        each
        for each in findings
        if _element(each) == (kind, name)
        and each["rule"] in measured
        and each["kind"] in ("pass", "fail")
        and each["utilisation"] is not None
    ]
    most = max(here, key=lambda each: each["utilisation"], default=None)
    if most is None:
        return None
    return {"finding": most["id"], "rule": most["rule"], "part": most["part"], "kind": most["kind"], "utilisation": most["utilisation"]}
