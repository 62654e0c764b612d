"""What the design states stands in place of what is derived: by id, or a whole nature at once."""

from __future__ import annotations

import pytest

SNOW = {"nature": "snow", "loads": [{"member": "TC1", "line_kn_per_m": 0.9, "along": "plan", "direction": "down"}]}


def replaced(derived) -> set[str]:
    return {each.action.id for each in derived.derivations if each.replaced}


def test_a_load_case_of_the_same_id_replaces_that_one(roof, worked_out):
    design, derived = worked_out(roof(actions=[{"id": "snow-even", **SNOW}]))
    assert replaced(derived) == {"snow-even"}
    assert [action.id for action in design.actions].count("snow-even") == 1
    assert next(action for action in design.actions if action.id == "snow-even").loads[0].line_kn_per_m == 0.9
    assert {"snow-drifted-left", "snow-drifted-right"} <= {action.id for action in design.actions}


@pytest.mark.parametrize(("nature", "family"), [("snow", "snow"), ("wind", "wind"), ("roof-imposed", "maintenance")])
def test_one_of_its_own_replaces_the_whole_nature(nature, family, roof, worked_out):
    design, derived = worked_out(roof(actions=[{"id": "mine", **SNOW, "nature": nature, "category": "H"}]))
    assert replaced(derived) == {each.action.id for each in derived.derivations if each.action.id.startswith(family)}
    assert [action.id for action in design.actions if action.nature == nature] == ["mine"]
    assert any(note.pointer == "/actions" and "left out" in note.because for note in derived.assumptions)


def test_with_it_go_the_questions_about_that_nature(roof, worked_out):
    open_site = {"snow_zone": None, "wind_speed_m_per_s": None}
    _, derived = worked_out(roof(site=open_site))
    assert {doubt.part for doubt in derived.doubts} == {"snow", "wind"}
    _, derived = worked_out(roof(site=open_site, actions=[{"id": "mine", **SNOW}]))
    assert {doubt.part for doubt in derived.doubts} == {"wind"}


@pytest.mark.parametrize(("nature", "family", "lost"), [("snow", "snow", "snow-drifted-left"), ("wind", "wind", "wind-right-lifted-lifted-blown"), ("roof-imposed", "maintenance", "maintenance-person")])  # fmt: skip
def test_what_is_lost_with_it_is_for_a_person_to_look_at(nature, family, lost, roof, worked_out):
    _, derived = worked_out(roof(actions=[{"id": "mine", **SNOW, "nature": nature, "category": "H"}]))
    doubt = next(doubt for doubt in derived.doubts if doubt.part == f"own-{family}")
    assert doubt.kind == "review"
    assert "mine" in doubt.message
    assert lost in doubt.message


def test_a_case_of_a_derived_id_loses_nothing(roof, worked_out):
    _, derived = worked_out(roof(actions=[{"id": "snow-even", **SNOW}]))
    assert "own-snow" not in {doubt.part for doubt in derived.doubts}


OBSTACLES = {
    "neighbours": [{"side": "left", "what": "taller-building", "rise_m": 2.0, "width_m": 10.0, "pitch_deg": 0}, {"side": "right", "what": "roof", "pitch_deg": 30}],
    "parapets": [{"side": "right", "height_m": 0.5}],
}  # fmt: skip
DRIFTS = {"snow-wall-left", "snow-valley-right", "snow-parapet-right"}


@pytest.mark.parametrize("zone", [3, None])
def test_own_snow_does_not_lose_a_drift_in_silence(zone, roof, worked_out):
    """Whether or not the drift could have been worked out: a wall that the roof is said to adjoin gathers snow."""
    document = roof(roof=OBSTACLES, site={"snow_zone": zone}, actions=[{"id": "mine", **SNOW}])
    asked = {doubt.part: doubt for doubt in worked_out(document)[1].doubts if doubt.part in DRIFTS}
    assert set(asked) == DRIFTS
    assert {doubt.kind for doubt in asked.values()} == {"open"}


def test_a_drift_is_answered_for_by_its_id_or_declined(roof, worked_out):
    answers = [
        {"id": "mine", **SNOW}, {"id": "snow-wall-left", **SNOW, "nature": "accidental"},
        {"id": "no-valley", "nature": "snow", "declines": "snow-valley-right", "none_because": "a glazed street between them is heated"},
    ]  # fmt: skip
    asked = {doubt.part for doubt in worked_out(roof(roof=OBSTACLES, actions=answers))[1].doubts}
    assert asked & DRIFTS == {"snow-parapet-right"}


def test_declining_one_case_declines_no_other(roof, worked_out):
    """A drift that is not there may be declined; the snow on the roof stays."""
    none = {"id": "none", "nature": "snow", "declines": "snow-wall-left", "none_because": "nothing stands there"}
    design, _ = worked_out(roof(actions=[none]))
    assert {"snow-even", "snow-drifted-left", "snow-drifted-right"} <= {action.id for action in design.actions}


def test_declining_with_a_reason_replaces_too(roof, worked_out):
    none = {"id": "no-wind", "nature": "wind", "declines": "wind-both-ways", "none_because": "the roof stands inside a hall"}
    design, derived = worked_out(roof(actions=[none]))
    assert not [action for action in design.actions if action.nature == "wind" and action.loads]
    assert not [doubt for doubt in derived.doubts if doubt.part.startswith("wind")]


def test_permanent_and_imposed_are_replaced_one_by_one(roof, worked_out):
    own = {
        "id": "roof-permanent",
        "nature": "permanent",
        "loads": [{"member": "TC1", "line_kn_per_m": 0.4, "along": "member", "direction": "down"}],
    }
    design, derived = worked_out(roof(actions=[own, {**own, "id": "dormer"}]))
    assert replaced(derived) == {"roof-permanent"}
    assert {"roof-permanent", "dormer"} <= {action.id for action in design.actions}


def test_company_that_is_replaced_is_not_kept_away_from(roof, worked_out):
    design, _ = worked_out(roof(loading={"loft": "storage"}, actions=[{"id": "gale", **SNOW, "nature": "wind"}]))
    person = next(action for action in design.actions if action.id == "ceiling-imposed-person")
    assert set(person.never_with) == {"gale", "maintenance-person"}


def test_without_loading_nothing_is_derived(roof, worked_out):
    design, derived = worked_out(roof(loading=None))
    assert design.actions == ()
    assert (derived.derivations, derived.doubts, derived.assumptions) == ((), (), ())


def test_without_a_code_of_practice_nothing_can_be(roof, worked_out):
    design, derived = worked_out(roof(site={"country": None, "subdivision": None}))
    assert design.actions == ()
    assert [doubt.part for doubt in derived.doubts] == ["loading"]
