"""A joist between walls that are out of true: fits, is trimmed, or is remade and to which length; packing out is never the answer."""

from __future__ import annotations

import datetime
import json

import pytest

from rules.judge import Options, check
from service.schemas import load

WIDTH = 4200.0


@pytest.fixture
def told(shipped):
    """What the workshop says of a joist of this length between the walls, by rule: kind and message."""

    def run(length, horn=25.0, **built):
        ends = [{"id": f"S{n}", "node": node, "holds": holds, "seat": {"on": "hanger", "length_mm": 75, "horn_mm": horn, "gap_specified_mm": 3}}
                for n, node, holds in ((1, "A", ["x", "y"]), (2, "B", ["y"]))]  # fmt: skip
        document = {
            "format": "birdsmouth-design-1", "reference": "J7", "component_type": "open-web-joist", "overall_length_mm": length,
            "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 4100, "y_mm": 0}],
            "members": [{"id": "M", "role": "bottom-chord", "nodes": ["A", "B"], "section": {"b_mm": 97, "h_mm": 47}, "grade": "C24"}],
            "supports": ends, "as_built": {"clear_width_mm": WIDTH, **built},
        }  # fmt: skip
        report = check(load(json.dumps(document).encode()), shipped, as_of=datetime.date(2026, 11, 25), options=Options())
        spoken = [
            f
            for f in report["findings"]
            if f["rule"].startswith("workshop-practice/") and f["kind"] not in ("pass", "notApplicable", "open")
        ]
        return {
            f["rule"].partition("/")[2]: f["message"] for f in spoken if "joist" in f["rule"] or "horn" in f["rule"] or "gap" in f["rule"]
        }

    return run


@pytest.mark.parametrize("length", [4188.0, 4190.0, 4192.0, 4196.0])
def test_a_close_fit_is_left_alone(told, length):
    assert told(length) == {}


def test_too_short_is_remade_and_never_packed_out(told):
    said = told(4170.0)
    assert set(said) == {"joist-reaches-its-hangers", "joist-to-be-made-longer"}
    assert "leaves 30 mm in all" in said["joist-reaches-its-hangers"]
    assert "Packing out behind a hanger is not allowed" in said["joist-reaches-its-hangers"]
    assert "have it remade 4192 mm long" in said["joist-to-be-made-longer"]


@pytest.mark.parametrize(("length", "cut"), [(4200.0, "4 mm"), (4212.0, "10 mm"), (4242.0, "25 mm")])
def test_too_long_is_trimmed_where_the_horns_allow(told, length, cut):
    said = told(length)
    assert set(said) == {"joist-goes-between-its-hangers", "horns-to-be-trimmed"}
    assert f"cut {cut} off the horn at each end" in said["horns-to-be-trimmed"]
    assert "metal must still sit on the bearing" in said["horns-to-be-trimmed"]
    trimmed = length - 2 * float(cut.split()[0])
    assert told(trimmed) == {}


def test_longer_than_the_horns_can_give_is_remade(told):
    said = told(4250.0)
    assert set(said) == {"joist-goes-between-its-hangers", "joist-to-be-made-shorter"}
    assert "have it remade 4192 mm long" in said["joist-to-be-made-shorter"]
    assert told(4192.0) == {}


def test_a_joist_without_horns_is_never_cut(told):
    assert set(told(4200.0, horn=0.0)) == {"joist-goes-between-its-hangers", "joist-to-be-made-shorter"}


def test_each_gap_is_judged_where_it_was_measured(told):
    said = told(4190.0, at_supports=[{"support": "S1", "gap_mm": 8}, {"support": "S2", "gap_mm": 2}])
    assert set(said) == {"hanger-gap-found"}
    assert "8 mm was found at the hanger S1" in said["hanger-gap-found"]
