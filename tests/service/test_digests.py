"""Two documents that say the same have one digest; two that do not have two."""

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.openapi.examples import SMALL_ROOF
from service.schemas import load, to_design
from service.schemas.canonical import canonical, stated

Document = dict[str, Any]
Change = Callable[[Document], object]

SAME: dict[str, Change] = {
    "a point in a whole number": lambda d: d.update(spacing_mm=600.0),
    "null for absent": lambda d: d.update(count=None, roof=None, waivers=None),
    "an object of nulls for absent": lambda d: d.update(roof={"pitch_deg": None, "ceiling": None}),
    "an empty object for absent": lambda d: d["members"][2].update(restraint_spacing={}, ends={}),
    "another order of names": lambda d: d.update(nodes=[dict(reversed(node.items())) for node in d["nodes"]]),
    "minus nothing": lambda d: d["nodes"][0].update(x_mm=-0.0),
    "plies with a point": lambda d: [member.update(plies=1.0 if "plies" in member else None) for member in d["members"]],
}
OTHER: dict[str, Change] = {
    "another place": lambda d: d["nodes"][1].update(y_mm=1400.0000001),
    "another order of nodes": lambda d: d["nodes"].reverse(),
    "a stated default": lambda d: d.update(self_weight=True),
    "another grade": lambda d: d["members"][0].update(grade="C16"),
    "another district": lambda d: d["site"].update(district="Exampleton"),
    "restraint of the whole piece": lambda d: d["members"][2].update(restraint_spacing={"out_of_plane_mm": "none"}),
}
NOT_THE_SUBJECT: dict[str, Change] = {
    "reference": lambda d: d.update(reference="OTHER"),
    "title": lambda d: d.update(title="Other"),
    "codes": lambda d: d.update(codes={"packs": ["eurocode-timber"]}),
    "waivers": lambda d: d.update(
        waivers=[{"rule": "a/b", "element": {"kind": "member", "id": "T"}, "reason": "r", "approved_by": "a", "expires": "2027-01-01"}]
    ),
    "baseline": lambda d: d.update(baseline=["0123456789abcdef"]),
}


def digests(document: Document) -> tuple[str, str]:
    design = to_design(document)
    return design.digest, design.subject_digest


@pytest.mark.parametrize("change", SAME.values(), ids=SAME)
def test_saying_the_same_otherwise_changes_no_digest(roof: Document, change: Change) -> None:
    before = digests(roof)
    change(roof)
    assert digests(roof) == before


@pytest.mark.parametrize("change", OTHER.values(), ids=OTHER)
def test_saying_something_else_changes_both_digests(roof: Document, change: Change) -> None:
    design, subject = digests(roof)
    change(roof)
    assert digests(roof)[0] != design
    assert digests(roof)[1] != subject


@pytest.mark.parametrize("change", NOT_THE_SUBJECT.values(), ids=NOT_THE_SUBJECT)
def test_names_and_rules_are_no_part_of_the_subject(roof: Document, change: Change) -> None:
    design, subject = digests(roof)
    change(roof)
    assert digests(roof)[0] != design
    assert digests(roof)[1] == subject


def test_a_digest_is_of_the_canonical_form_as_it_is_written_here() -> None:
    """Kept as bytes: a digest that changed with a release would void every waiver bound to it."""
    assert canonical({"b": [1.0, "é"], "a": {"c": True}}) == '{"a":{"c":true},"b":[1.0,"é"]}'.encode()


def test_spaces_and_escapes_of_the_body_are_no_part_of_it(roof: Document) -> None:
    roof["title"] = "Über dem Wehr"
    bodies = [json.dumps(roof).encode(), json.dumps(roof, indent=3, ensure_ascii=False, sort_keys=True).encode()]
    assert load(bodies[0]).digest == load(bodies[1]).digest


OPTIONAL = {
    "component_type": ("count", "roof", "materials", "bracing", "waivers"),
    "role": ("plies", "ends", "treatment", "holes"),
    "nature": ("category", "duration", "one_of", "needs", "free"),
    "holds": ("springs", "uplift", "inclined_deg"),
    "along": ("face", "from_mm", "to_mm", "line_end_kn_per_m"),
}
"""Names that the example does not state, by a name that tells whose they are."""


def nulls(document: Any, draw: Callable[[], bool]) -> Any:
    """The document with names that are not stated put in as null here and there."""
    if isinstance(document, dict):
        unstated = {name: None for telling, names in OPTIONAL.items() if telling in document for name in names if draw()}
        return {name: nulls(value, draw) for name, value in {**unstated, **document}.items()}
    return [nulls(item, draw) for item in document] if isinstance(document, list) else document


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=50, deadline=None)
@given(st.data())
def test_nulls_and_points_anywhere_change_no_digest(data: st.DataObject) -> None:
    told = nulls(copy.deepcopy(SMALL_ROOF), lambda: data.draw(st.booleans()))
    text = json.dumps(told, sort_keys=data.draw(st.booleans()))
    if data.draw(st.booleans()):
        text = text.replace("2000", "2000.0").replace("4000", "4e3")
    assert load(text.encode()).digest == to_design(SMALL_ROOF).digest


@settings(deadline=None)
@given(
    st.recursive(st.none() | st.integers() | st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=12)
)
def test_stating_is_settled_after_once(value: object) -> None:
    assert stated(stated(value)) == stated(value)
