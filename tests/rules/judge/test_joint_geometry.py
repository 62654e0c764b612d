"""Outlines, effective areas, joint lines and polar moduli against closed forms and against integration by brute force."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import plating
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.judge.checking import prepare
from rules.judge.plated import Plated, plated_joints
from rules.judge.polar import polar_modulus
from service.schemas import load


@pytest.fixture
def joined(library, today):
    def run(document: dict[str, Any]) -> dict[str, Plated]:
        return {each.id: each for each in plated_joints(prepare(load(json.dumps(document).encode()), library, today))}

    return run


@pytest.fixture
def today():
    import datetime

    return datetime.date(2026, 11, 25)


SIDES = st.floats(5.0, 500.0)


@given(a=SIDES, b=SIDES)
def test_the_polar_modulus_of_a_rectangle(a, b):
    """∫ r dA = (a³ asinh(b/a) + b³ asinh(a/b))/12 + a b √(a² + b²)/6: the mean distance to the middle of a rectangle, a b times."""
    corners = np.array([(0, 0), (a, 0), (a, b), (0, b)])
    closed = (a**3 * math.asinh(b / a) + b**3 * math.asinh(a / b)) / 12 + a * b * math.hypot(a, b) / 6
    assert polar_modulus(corners, (a / 2, b / 2)) == pytest.approx(closed, rel=1e-9)


def test_the_polar_modulus_of_a_circle():
    """2 π R³/3, by a polygon of 2000 sides."""
    turn = np.linspace(0, 2 * math.pi, 2000, endpoint=False)
    assert polar_modulus(50 * np.stack([np.cos(turn), np.sin(turn)], axis=1), (0, 0)) == pytest.approx(2 * math.pi * 50**3 / 3, rel=1e-5)


POINTS = st.lists(st.tuples(st.floats(-100, 100), st.floats(-100, 100)), min_size=4, max_size=9)


@settings(max_examples=25, deadline=None)
@given(points=POINTS)
def test_the_polar_modulus_of_any_convex_shape_against_small_squares(points):
    shape = shapely.MultiPoint(points).convex_hull
    if shape.geom_type != "Polygon" or shape.area < 1000.0:
        return
    middle = (shape.centroid.x, shape.centroid.y)
    x0, y0, x1, y1 = shape.bounds
    x, y = (each.ravel() for each in np.meshgrid(*(a + (np.arange(400) + 0.5) * (b - a) / 400 for a, b in ((x0, x1), (y0, y1)))))
    inside = shapely.contains_xy(shape, x, y)
    summed = np.hypot(x - middle[0], y - middle[1])[inside].sum() * (x1 - x0) * (y1 - y0) / 400**2
    assert polar_modulus(shapely.get_coordinates(shape)[:-1], middle) == pytest.approx(summed, rel=0.02)


def test_the_polar_modulus_does_not_mind_which_way_round():
    corners = np.array([(0, 0), (40, 5), (60, 50), (-10, 30)])
    assert polar_modulus(corners[::-1], (20, 20)) == pytest.approx(polar_modulus(corners, (20, 20)), rel=1e-12)


def test_a_splice_in_the_middle_of_its_plate(joined):
    """97 deep, 240 × 97, t 1: margins of 5 mm at both edges and 6 mm at the cut: 87 × 114, its middle 63 mm from the cut."""
    (contact,) = joined(plating.pulled_tie())["SP"].contacts[1]
    assert contact.area == pytest.approx(87 * 114)
    assert contact.middle == pytest.approx((63.0, 0.0))
    assert (contact.left, contact.right, contact.along, contact.across) == pytest.approx((43.5, 43.5, 114.0, 97.0))
    assert contact.bite == pytest.approx(120.0)


def test_a_narrow_plate_covers_its_own_width(joined):
    (contact,) = joined(plating.pulled_tie(width_mm=60))["SP"].contacts[0]
    assert (contact.across, contact.left) == pytest.approx((60.0, 30.0))


def test_a_thick_plate_has_a_wide_end_margin(joined):
    (contact,) = joined(plating.pulled_tie() | {"plate_types": [plating.TYPE | {"thickness_mm": 2.0}]})["SP"].contacts[0]
    assert contact.area == pytest.approx(87 * 108)


def test_a_web_is_cut_to_the_edge_of_the_chord(joined):
    """Strut W1 at 35° under the rafter's axis, post P square to the tie: P begins at the tie's upper edge, 48.5 mm above the axis."""
    bodies = {body.member: body for body in joined(plating.truss())["JF"].bodies}
    post = bodies[3].outline()
    assert post.bounds[1] == pytest.approx(48.5)
    assert (post.bounds[0], post.bounds[2]) == pytest.approx((-36.0, 36.0))
    tie = bodies[2].outline()
    assert (tie.bounds[1], tie.bounds[3]) == pytest.approx((-48.5, 48.5))
    assert all(bodies[i].outline().intersection(tie).area < 1e-6 for i in (3, 4, 5))


def test_no_two_outlines_overlap_at_any_joint(joined):
    for plated in joined(plating.truss()).values():
        shapes = [body.outline() for body in plated.bodies]
        assert all(a.intersection(b).area < 1e-6 for i, a in enumerate(shapes) for b in shapes[:i])


def test_rafters_meet_on_a_plumb_line(joined):
    (link,) = (link for link in joined(plating.truss())["JC"].links if {link.bodies[0], link.other} == {0, 1})
    assert abs(link.cut.inward[1]) < 1e-12
    assert link.cut.point[0] == pytest.approx(0.0, abs=1e-9)


def test_a_heel_is_cut_along_the_rafters_lower_edge(joined):
    """The tie ends on a line at 35° (tan 0.7), 61 mm square from the rafter's axis; the margin there is the greater of 5 mm and 6 mm · sin 35°."""
    plated = joined(plating.truss())["JA"]
    tie = next(body for body in plated.bodies if not body.through)
    (cut,) = (cut for cut in tie.cuts if cut.against is not None)
    slope = math.atan(0.7)
    assert cut.inward == pytest.approx((math.sin(slope), -math.cos(slope)))
    assert cut.inward[0] * cut.point[0] + cut.inward[1] * cut.point[1] == pytest.approx(61.0)
    line = cut.inward
    nearest = min(line[0] * x + line[1] * y for x, y in shapely.get_coordinates(tie.outline(5.0, 6.0)))
    assert nearest == pytest.approx(61.0 + max(5.0, 6.0 * math.sin(slope)))


def test_the_covered_length_of_a_joint_line(joined):
    """The post's end is 72 mm wide and lies wholly under the plate of 280 × 150."""
    plated = joined(plating.truss(joints=[plating.joint("JF", "F", 280, 150, 0, (0, 60))], members=_post_only()))["JF"]
    (link,) = plated.links
    assert link.spans[0][0] == pytest.approx(72.0, abs=1e-4)
    assert link.spans[0][1] == pytest.approx((0.0, 48.5), abs=1e-4)


def _post_only() -> list[dict[str, Any]]:
    return [each for each in plating.truss()["members"] if each["id"] not in ("W1", "W2")]


def test_the_named_order_says_who_keeps_its_end(joined):
    """Two rafters that meet: by role each is cut half-way; with R1 first, R2 is cut to R1's edge."""
    first = plating.truss()
    first["joints"][4]["cut_order"] = ["R1", "R2"]
    bodies = joined(first)["JC"].bodies
    assert [cut.against for cut in bodies[0].cuts if cut.against is not None] == []
    assert 0 in [cut.against for cut in bodies[1].cuts]


@settings(max_examples=30, deadline=None)
@given(length=st.floats(60, 400), width=st.floats(40, 200), angle=st.floats(-180, 180), x=st.floats(-60, 60), y=st.floats(-60, 60))
def test_more_margin_and_less_plate_never_hold_more(library, length, width, angle, x, y):
    """Effective areas grow with the plate and are never more than the timber under it, whatever its place."""
    import datetime

    day = datetime.date(2026, 11, 25)

    def areas(more: float) -> list[float]:
        plates = [plating.joint("JF", "F", length + more, width + more, angle, (x, y))]
        (plated,) = plated_joints(prepare(load(json.dumps(plating.truss(joints=plates)).encode()), library, day))
        return [0.0 if math.isnan(contacts[0].area) else contacts[0].area for contacts in plated.contacts]

    small, large = areas(0.0), areas(20.0)
    assert all(a <= b + 1e-6 for a, b in zip(small, large, strict=True))
    assert sum(large) <= (length + 20) * (width + 20) + 1e-6
