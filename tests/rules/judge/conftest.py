"""A joist that passes, trusses of a few pieces whose forces can be worked out on paper, and the ways to have them analysed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Document = dict[str, Any]
DOWN = {"along": "member", "direction": "down"}
REASON = "to lay the two beside each other"


@pytest.fixture(scope="session")
def chosen() -> Callable[..., Document]:
    """The document with its analysis chosen, and with numbers of the code replaced."""

    def choose(document: Document, word: str, **parameters: float) -> Document:
        asked: dict[str, float | str] = {"analysis": word, **parameters}
        return document | {"codes": {"parameters": {name: {"value": value, "reason": REASON} for name, value in asked.items()}}}

    return choose


@pytest.fixture
def king_post(document: Document) -> Callable[..., Document]:
    """Rafters A-C and B-C, a tie A-D-B in one piece, a post C-D; q kN/m of permanent load along the tie, or 2 kN at C without it."""

    def make(*, rise: float = 1000.0, half: float = 2000.0, depth: float = 97.0, q: float | None = 1.0) -> Document:
        section = {"b_mm": 47, "h_mm": depth}
        places = {"A": (0.0, 0.0), "D": (half, 0.0), "B": (2.0 * half, 0.0), "C": (half, rise)}
        pieces = {"R1": ("rafter", "AC"), "R2": ("rafter", "BC"), "T": ("ceiling-tie", "ADB"), "P": ("post", "CD")}
        along = {"member": "T", "line_kn_per_m": q, "along": "member", "direction": "down"}
        seat = {"on": "masonry", "length_mm": 100, "member": "T"}
        return document | {
            "component_type": "trussed-rafter",
            "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in places.items()],
            "members": [
                {"id": name, "role": role, "nodes": list(nodes), "section": section, "grade": "C24"}
                for name, (role, nodes) in pieces.items()
            ],
            "supports": [
                {"id": "SA", "node": "A", "holds": ["x", "y"], "seat": seat},
                {"id": "SB", "node": "B", "holds": ["y"], "seat": seat},
            ],
            "actions": [{"id": "g", "nature": "permanent", "loads": [along if q is not None else {"node": "C", "y_kn": -2.0}]}],
        }

    return make


@pytest.fixture
def joist(bar: Callable[..., Document]) -> Document:
    """A joist that passes, alone and complete."""
    loads: dict[str, tuple[str, str | None, Document]] = {
        "permanent": ("permanent", None, {"line_kn_per_m": 0.2, **DOWN}),
        "imposed-area": ("imposed", "A", {"line_kn_per_m": 0.6, **DOWN}),
        "imposed-point": ("imposed", "A", {"point_kn": 2.0, "at_mm": 1500, "direction": "down"}),
    }
    actions = [
        {
            "id": name,
            "nature": nature,
            "category": category,
            "one_of": "floor" if nature == "imposed" else None,
            "loads": [{"member": "M", **load}],
        }
        for name, (nature, category, load) in loads.items()
    ]
    actions.append({"id": "no-walls", "nature": "imposed", "declines": "partitions", "none_because": "no partitions on this floor"})
    restraint = {"in_plane_mm": None, "out_of_plane_mm": 400, "top_edge_mm": 400, "bottom_edge_mm": "none"}
    return bar(
        3000,
        {"b_mm": 47, "h_mm": 195},
        restraint=restraint,
        actions=actions,
        component_type="solid-joist",
        floor={"ceiling": "brittle", "width_mm": 4000, "deck": {"thickness_mm": 22, "e_mpa": 2700}},
        member={"role": "joist"},
        spacing_mm=400,
    )


@pytest.fixture
def parts(checked: Callable[..., Document]) -> Callable[..., dict[str, Document]]:
    """The findings of a Eurocode rule on a document, by part: all of them, or those at one support."""

    def run(document: Document, rule: str, support: str | None = None) -> dict[str, Document]:
        findings = [f for f in checked(document)["findings"] if f["rule"] == f"eurocode-timber/{rule}"]
        return {f["part"]: f for f in findings if support in (None, f["where"]["support"])}

    return run
