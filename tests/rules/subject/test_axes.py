"""Where a piece runs: its length, its projections, its faces, and when it is straight. Against drawn cases."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.subject.axes import Axis, axis_of
from rules.subject.frame import Member, Node, Rectangle


def member(*nodes: str) -> Member:
    return Member("M", "member", nodes, Rectangle(47, 97), "C24")


@pytest.mark.parametrize(
    ("degrees", "vertical"), [(90, True), (85.1, True), (84.9, False), (95, True), (-90, True), (35, False), (0, False), (180, False)]
)
def test_a_piece_within_5_degrees_of_vertical_has_left_and_right_faces(degrees: float, vertical: bool) -> None:
    angle = math.radians(degrees)
    nodes = {"A": Node("A", 10, 20), "B": Node("B", 10 + 1000 * math.cos(angle), 20 + 1000 * math.sin(angle))}
    axis = axis_of(member("A", "B"), nodes)
    assert axis is not None
    assert axis.length_mm == pytest.approx(1000)
    assert axis.faces == (("left", "right") if vertical else ("upper", "lower"))


def test_an_axis_knows_its_projections() -> None:
    assert axis_of(member("A", "B"), {"A": Node("A", 1, 1), "B": Node("B", 4, 5)}) == Axis(5.0, 3.0, 4.0)


@settings(deadline=None)
@given(st.floats(-180, 180), st.lists(st.floats(0.01, 0.99), min_size=1, max_size=5, unique_by=lambda x: round(x, 2)), st.floats(-5, 5))
def test_a_piece_is_straight_when_no_node_is_off_its_line_by_more_than_a_millimetre(
    degrees: float, shares: list[float], off: float
) -> None:
    """A point at share s of a 4 m line, moved square to it by `off`: the distance from the line is |off| whatever the angle."""
    angle, length = math.radians(degrees), 4000.0
    dx, dy = math.cos(angle), math.sin(angle)
    nodes = {"A": Node("A", 0, 0), "B": Node("B", length * dx, length * dy)}
    for i, share in enumerate(sorted(shares)):
        beside = off if i == 0 else 0.0
        nodes[f"N{i}"] = Node(f"N{i}", share * length * dx - beside * dy, share * length * dy + beside * dx)
    found = axis_of(member("A", *(f"N{i}" for i in range(len(shares))), "B"), nodes)
    assert (found is not None) == (abs(off) <= 1.0) or abs(abs(off) - 1.0) < 1e-9
