"""The published schema of a design takes what the service takes, and refuses what it refuses."""

import copy
from typing import Any

import jsonschema_rs
import pytest
from changing import change
from contract import BODIES, CONTRACT
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.subject.faults import DesignRefused
from service.openapi.examples import SMALL_ROOF
from service.schemas.loading import validate

DESIGN = jsonschema_rs.validator_for({"$ref": "#/components/schemas/Design", "components": CONTRACT["components"]}, validate_formats=True)
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-2, 8), st.floats(-1e7, 1e7), st.just(1.5), st.text(st.characters(exclude_categories=("Cs",)), max_size=6),
    st.sampled_from(["A ", " A", "A\n", "\u202e", "none", "pinned", "2026-11-25", "2026-02-30", "free", "x" * 65, "GB", "a/b", "down", ""]),
    st.lists(st.integers(0, 2) | st.sampled_from(["x", "A"]), max_size=4),
    st.sampled_from([{}, {"knm_per_rad": 1}, {"none_because": "r"}, {"b_mm": 1, "h_mm": 1}, {"a/b": "note"}, {"": "note"}, {"k": {"value": 1, "reason": "r"}}]),
)  # fmt: skip


def taken(design: Any) -> bool:
    try:
        validate(design)
    except DesignRefused:
        return False
    return True


@settings(max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_a_changed_design_is_taken_by_both_or_by_neither(data: st.DataObject) -> None:
    """The fields, one by one; what has to hold between fields is for the service alone."""
    design: Any = copy.deepcopy(SMALL_ROOF)
    change(design, data.draw, VALUES)
    assert taken(design) == DESIGN.is_valid(design)


@pytest.mark.parametrize("design", BODIES.values(), ids=BODIES)
def test_good_designs_are_taken_by_both(design: Any) -> None:
    assert taken(design)
    assert DESIGN.is_valid(design)
