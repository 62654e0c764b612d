"""Small frames written as documents, and the ways to have them checked: what every test of the rules starts from."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from typing import Any

import pytest

from rules.judge import Options, analyse, check
from rules.library import Library, load_library
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
EVERYTHING = Options(include="all", working="all", response="combinations")
Document = dict[str, Any]


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="session")
def checked(library: Library) -> Callable[..., Document]:
    """Check a document given as Python values; everything is included unless options say otherwise."""

    def run(document: Document, options: Options = EVERYTHING, as_of: datetime.date = TODAY) -> Document:
        return check(load(json.dumps(document).encode()), library, as_of=as_of, options=options)

    return run


@pytest.fixture(scope="session")
def analysed(library: Library) -> Callable[..., Document]:
    """Analyse a document given as Python values."""

    def run(document: Document) -> Document:
        return analyse(load(json.dumps(document).encode()), library, as_of=TODAY)

    return run


@pytest.fixture(scope="session")
def found() -> Callable[..., Document]:
    """The one finding of a rule on an element."""

    def pick(report: Document, rule: str, element: str | None = None, part: str = "") -> Document:
        hits = [
            finding
            for finding in report["findings"]
            if finding["rule"] == rule
            and finding["part"] == part
            and element in (None, finding["where"]["member"], finding["where"]["support"])
        ]
        assert len(hits) == 1, [finding["rule"] for finding in report["findings"]]
        return hits[0]

    return pick


def _node(name: str, x: float, y: float) -> Document:
    return {"id": name, "x_mm": x, "y_mm": y}


@pytest.fixture
def document() -> Document:
    """The least of a document, to be filled in: Great Britain, low, service class 2, each piece marked."""
    return {
        "format": "birdsmouth-design-1",
        "reference": "CASE",
        "component_type": "other",
        "site": {"country": "GB", "subdivision": "GB-ENG", "district": "E07000082", "altitude_m": 50, "service_class": 2},
        "materials": {"marking": "piece"},
        "self_weight": False,
        "nodes": [],
        "members": [],
        "supports": [],
        "actions": [],
    }


@pytest.fixture
def bar(document: Document) -> Callable[..., Document]:
    """A single straight piece from (0, 0), pinned at its first node and rolling along itself at its last."""

    def make(
        length: float, section: Document, grade: str = "C24", *, upright: bool = False, restraint: Document | None = None, **more: Any
    ) -> Document:
        end = _node("B", 0, length) if upright else _node("B", length, 0)
        member: Document = {"id": "M", "role": "member", "nodes": ["A", "B"], "section": section, "grade": grade}
        if restraint is not None:
            member["restraint_spacing"] = restraint
        member |= more.pop("member", {})
        first = {"id": "S1", "node": "A", "holds": ["x", "y"], "seat": {"on": "masonry", "length_mm": 100}}
        last = {"id": "S2", "node": "B", "holds": ["x"] if upright else ["y"], "seat": {"on": "masonry", "length_mm": 100}}
        return document | {"nodes": [_node("A", 0, 0), end], "members": [member], "supports": [first, last]} | more

    return make


@pytest.fixture
def couple(document: Document) -> Callable[..., Document]:
    """Two rafters and a tie, pinned together: span and pitch; the right bearing rolls unless `held`."""

    def make(span: float, rise: float, *, held: bool = False, section: Document | None = None, **more: Any) -> Document:
        rectangle = section or {"b_mm": 47, "h_mm": 147}
        pieces = (("R1", "rafter", ["A", "C"]), ("R2", "rafter", ["B", "C"]), ("T", "ceiling-tie", ["A", "B"]))
        seat = {"on": "masonry", "length_mm": 100, "member": "T"}
        return (
            document
            | {
                "component_type": "cut-roof",
                "nodes": [_node("A", 0, 0), _node("B", span, 0), _node("C", span / 2, rise)],
                "members": [
                    {"id": name, "role": role, "nodes": nodes, "section": rectangle, "grade": "C24"} for name, role, nodes in pieces
                ],
                "supports": [
                    {"id": "S1", "node": "A", "holds": ["x", "y"], "seat": seat},
                    {"id": "S2", "node": "B", "holds": ["x", "y"] if held else ["y"], "seat": seat},
                ],
            }
            | more
        )

    return make
