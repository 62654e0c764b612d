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
