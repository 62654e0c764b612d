"""Documents with plates: a pulled splice, and a small truss with every kind of joint; and what a report says of them.

Plate values are made up for these tests.
"""

from __future__ import annotations

import math
from typing import Any

Document = dict[str, Any]
TEETH, STEEL = "eurocode-timber/plate-anchorage", "eurocode-timber/plate-steel"

TYPE: Document = {
    "id": "P", "thickness_mm": 1.0, "declared_per": "plate", "f_a_0_0_k_mpa": 2.0, "f_a_90_90_k_mpa": 1.5, "k_1": -0.005, "k_2": -0.01,
    "alpha_0_deg": 45, "f_t_0_k_n_per_mm": 300, "f_c_0_k_n_per_mm": 200, "f_v_0_k_n_per_mm": 100, "f_t_90_k_n_per_mm": 150,
    "f_c_90_k_n_per_mm": 100, "f_v_90_k_n_per_mm": 80, "gamma_0_deg": 5, "k_v": 0.3,
}  # fmt: skip


def node(name: str, x: float, y: float) -> Document:
    return {"id": name, "x_mm": x, "y_mm": y}


def piece(name: str, role: str, nodes: list[str], h: float, **more: Any) -> Document:
    return {"id": name, "role": role, "nodes": nodes, "section": {"b_mm": 47, "h_mm": h}, "grade": "C24"} | more


def design(nodes: list[Document], members: list[Document], supports: list[Document], loads: list[Document], **more: Any) -> Document:
    """A document in Great Britain under one medium-term action, without self-weight."""
    action = {"id": "load", "nature": "imposed", "category": "A", "duration": "medium", "loads": loads}
    return {
        "format": "birdsmouth-design-1", "reference": "PLATES", "component_type": "other", "materials": {"marking": "piece"}, "self_weight": False,
        "site": {"country": "GB", "altitude_m": 50, "service_class": 2}, "nodes": nodes, "members": members, "supports": supports,
        "actions": [action], "plate_types": [TYPE],
    } | more  # fmt: skip


def pulled_tie(kn: float = 16.0, knm: float = 0.0, *, turn: float = 0.0, depth: float = 97.0, **splice: Any) -> Document:
    """A tie 3 m long, spliced in the middle, under a pull and a moment that is the same all along (both before the factor 1.5)."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    plates = {"plate_type": "P", "length_mm": 240, "width_mm": 97, "placing_tolerance_mm": 0}
    bent = [{"member": "T", "moment_knm": -knm, "at_mm": 100}, {"member": "T", "moment_knm": knm, "at_mm": 2900}] if knm else []
    return design(
        [node("A", 0, 0), node("B", 3000 * c, 3000 * s)],
        [piece("T", "ceiling-tie", ["A", "B"], depth)],
        [{"id": "S1", "node": "A", "holds": ["x", "y"]}, {"id": "S2", "node": "B", "holds": ["y"], "inclined_deg": turn}],
        [{"node": "B", "x_kn": kn * c, "y_kn": kn * s}, *bent],
        splices=[{"id": "SP", "member": "T", "at_mm": 1500} | plates | splice],
    )  # fmt: skip


def joint(name: str, at: str, length: float, width: float, angle: float, offset: tuple[float, float], **more: Any) -> Document:
    return {
        "id": name, "node": at, "plate_type": "P", "length_mm": length, "width_mm": width, "angle_deg": angle, "offset_mm": list(offset),
        "placing_tolerance_mm": 0,
    } | more  # fmt: skip


def truss(*, mirrored: bool = False, loads: list[Document] | None = None, tolerance: float = 0.0, **more: Any) -> Document:
    """Two rafters through their supports, a tie, a king post and two struts: heels, an apex, a node with two struts and a post."""
    sign = -1.0 if mirrored else 1.0
    xy = {
        "L": (-400, -280),
        "A": (0, 0),
        "B": (1500, 1050),
        "C": (3000, 2100),
        "D": (4500, 1050),
        "E": (6000, 0),
        "R": (6400, -280),
        "F": (3000, 0),
    }
    nodes = [node(name, sign * x, y) for name, (x, y) in xy.items()]
    members = [
        piece("R1", "rafter", ["L", "A", "B", "C"], 122), piece("R2", "rafter", ["R", "E", "D", "C"], 122), piece("T", "ceiling-tie", ["A", "F", "E"], 97),
        piece("P", "web", ["F", "C"], 72), piece("W1", "web", ["B", "F"], 72), piece("W2", "web", ["F", "D"], 72),
    ]  # fmt: skip
    stands = [
        {"id": "S1", "node": "A", "holds": ["x", "y"], "seat": {"member": "T"}},
        {"id": "S2", "node": "E", "holds": ["y"], "seat": {"member": "T"}},
    ]
    plain = [{"member": name, "line_kn_per_m": 1.0, "along": "plan", "direction": "down"} for name in ("R1", "R2")]
    at = {
        "A": (300, 120, 0, (110, 30)), "E": (300, 120, 0, (-110, 30)), "B": (180, 120, -35, (20, -40)), "D": (180, 120, 35, (-20, -40)),
        "C": (220, 220, 0, (0, -80)), "F": (280, 150, 0, (0, 60)),
    }  # fmt: skip
    joints = [
        joint(f"J{name}", name, long, wide, sign * turn, (sign * x, y), placing_tolerance_mm=tolerance)
        for name, (long, wide, turn, (x, y)) in at.items()
    ]
    return design(nodes, members, stands, loads or plain, joints=joints) | more


def of(report: Document, rule: str, joint: str, part: str = "") -> Document:
    """The finding of one rule on one joint."""
    (hit,) = (each for each in report["findings"] if (each["rule"], each["where"]["joint"], each["part"]) == (rule, joint, part))
    return hit


def shown(finding: Document) -> dict[str, float]:
    """The last value of every symbol in the working."""
    return {step["symbol"]: step["value"] for step in finding["working"]}


def used(report: Document, rule: str) -> dict[str, float]:
    """How far each joint is used, where that is known."""
    return {
        each["where"]["joint"]: each["utilisation"]
        for each in report["findings"]
        if each["rule"] == rule and each["utilisation"] is not None
    }
