"""Nothing uncertain passes: forgotten loads, unjudged elements, joints, missing facts."""

from __future__ import annotations

import copy

import pytest

from rules.subject.faults import DesignRefused

DOWN = {"along": "member", "direction": "down"}


def rules_of(report, kind="open"):
    return {finding["rule"] for finding in report["findings"] if finding["kind"] == kind}


def test_a_complete_joist_passes(joist, checked):
    report = checked(joist)
    assert report["verdict"] == "pass", [finding["message"] for finding in report["findings"] if finding["kind"] in ("fail", "open")]
    assert report["summary"]["open"] == 0
    assert report["response"]["balanced"]


@pytest.mark.parametrize("forgotten", ["permanent", "imposed-area", "imposed-point"])
def test_a_forgotten_load_is_open(joist, checked, found, forgotten):
    short = joist | {"actions": [action for action in joist["actions"] if action["id"] != forgotten]}
    report = checked(short)
    guard = found(report, "engine/expected-actions", part=forgotten)
    assert (guard["kind"], report["verdict"]) == ("open", "open")
    assert f'"declines": "{forgotten}"' in guard["message"], "the reader is told what to write"


def test_a_declined_load_is_said_and_does_not_stop(joist, checked, found):
    declined = found(checked(joist), "engine/expected-actions", part="partitions")
    assert declined["kind"] == "informational"
    assert "no partitions on this floor" in declined["message"]


def test_joints_are_open_until_somebody_answers_for_them(couple, checked, found):
    frame = couple(4000, 1500, actions=[{"id": "g", "nature": "permanent", "loads": [{"member": "T", "line_kn_per_m": 0.1, **DOWN}]}])
    assert found(checked(frame), "engine/unjudged-joints")["kind"] == "open"
    answered = found(checked(frame | {"joints": {"none_because": "drawing 12 of the plate engineer"}}), "engine/unjudged-joints")
    assert answered["kind"] == "informational"


def test_an_element_nobody_judged_is_open(bar, checked, found):
    """A steel part without a declared capacity: open for want of it, and open because nobody judged it."""
    steel = {"id": "S", "kind": "steel", "tradition": "en", "e_0_mean_mpa": 210000, "rho_mean_kg_per_m3": 7850}
    section = {"area_mm2": 120, "second_moment_mm4": 2100, "modulus_mm3": 150}
    pull = [{"id": "g", "nature": "permanent", "loads": [{"node": "B", "x_kn": 1}]}]
    frame = bar(1000, section, "S", actions=pull, materials={"marking": "piece", "grades": [steel]})
    report = checked(frame)
    assert found(report, "engine/unjudged-element", "M")["kind"] == "open"
    asked = found(report, "eurocode-timber/declared-capacity", "M")
    assert asked["kind"] == "open"
    assert "declare" in asked["message"]
    given = copy.deepcopy(frame)
    given["members"][0]["section"]["declared"] = {"tension_kn": 4, "compression_kn": 3, "basis": "design", "document": "declaration 7"}
    report = checked(given)
    judged = found(report, "eurocode-timber/declared-capacity", "M")
    assert (judged["kind"], judged["utilisation"]) == ("pass", pytest.approx(1.35 / 4))
    assert "engine/unjudged-element" not in {f["rule"] for f in report["findings"] if f["where"]["member"] == "M"}
    given["members"][0]["section"]["declared"]["invented"] = True
    report = checked(given)
    assert found(report, "eurocode-timber/declared-capacity", "M")["kind"] == "open"
    assert report["cautions"][0].startswith("NOT FOR CONSTRUCTION")


@pytest.mark.parametrize("pack", ["eurocode-basis", "asce-loads", "workshop-practice"])
def test_packs_that_judge_no_strength_leave_it_open(joist, checked, pack):
    """Loads and combinations alone, asked for by name: the report is there, and says that nobody judged the pieces."""
    report = checked(joist | {"codes": {"packs": [pack]}})
    assert report["verdict"] == "open"
    assert "engine/unjudged-element" in rules_of(report)


@pytest.mark.parametrize("held", [{"holds": ["x", "y", "rotation"]}, {"springs": {"rotation_knm_per_rad": 500.0}}])
def test_a_bearing_that_clamps_its_piece_is_asked_about(joist, checked, found, held):
    """A joist that two walls hold against turning is bent half as much as one that rests on them, on paper."""
    clamped = copy.deepcopy(joist)
    clamped["supports"][0] |= held
    report = checked(clamped)
    assert found(report, "engine/clamped-bearing", "S1")["kind"] == "open"
    assert report["verdict"] == "open"


def test_no_country_means_no_code(joist, checked, found):
    report = checked(joist | {"site": {"service_class": 1}})
    assert found(report, "engine/code-of-practice")["kind"] == "open"
    assert report["verdict"] == "open"
    assert not rules_of(report, "pass") & {"eurocode-timber/bending"}


def test_a_country_without_its_choices_is_open(joist, checked, found):
    report = checked(joist | {"site": {"country": "AT", "altitude_m": 300, "service_class": 1}})
    assert found(report, "engine/national-choices")["kind"] == "open"
    assert found(report, "eurocode-timber/bending", "M")["kind"] == "pass"


MISSING = [
    ({"materials": {}}, "eurocode-timber/bending", "materials.marking"),
    ({"floor": {}}, "eurocode-timber/deflection", "floor.ceiling"),
]


@pytest.mark.parametrize(("change", "rule", "asks"), MISSING, ids=[case[2] for case in MISSING])
def test_what_is_not_stated_is_asked_for(joist, checked, change, rule, asks):
    report = checked(joist | change)
    opened = [finding for finding in report["findings"] if finding["rule"] == rule and finding["kind"] == "open"]
    assert opened
    assert all(asks in finding["message"] for finding in opened)
    assert report["verdict"] == "open"


def test_a_limit_that_is_not_known_leaves_no_gap_in_the_sentence(joist, checked, found):
    said = found(checked(joist | {"floor": {}}), "eurocode-timber/deflection", "M", "span-final")["message"]
    assert " mm is found, and what is allowed is not known. What hangs below" in said


def test_a_category_nobody_gave_is_asked_for(joist, checked):
    actions = [action | ({"category": None} if action["id"] == "imposed-area" else {}) for action in joist["actions"]]
    report = checked(joist | {"actions": actions})
    assert report["verdict"] == "open"
    (bending,) = (f for f in report["findings"] if f["rule"] == "eurocode-timber/bending")
    assert bending["kind"] == "open"
    assert "'imposed-area'" in bending["message"]


def test_a_known_fail_is_not_hidden_by_an_unknown(joist, checked, found):
    """Permanent load alone breaks the joist: that stays a fail whatever the category of the imposed load may be."""
    actions = [action | ({"category": None} if action["id"] == "imposed-area" else {}) for action in joist["actions"]]
    actions[0] = actions[0] | {"loads": [{"member": "M", "line_kn_per_m": 20, **DOWN}]}
    report = checked(joist | {"actions": actions})
    assert found(report, "eurocode-timber/bending", "M")["kind"] == "fail"
    assert report["verdict"] == "fail"


def test_a_hanger_nobody_answers_for_is_open(joist, checked, found):
    hung = [support | {"seat": {"on": "hanger", "length_mm": 75}} for support in joist["supports"]]
    report = checked(joist | {"supports": hung})
    joints = found(report, "engine/unjudged-joints")
    assert joints["kind"] == "open"
    assert "2 hangers (S1, S2)" in joints["message"]


def test_a_bearing_that_lets_go_is_told(bar, checked, found):
    """A joist with an overhang: loaded at its tip the far bearing lifts; it can only push, so it lets go and the rest stands alone."""
    frame = bar(3000, {"b_mm": 47, "h_mm": 195})
    frame["nodes"].append({"id": "C", "x_mm": 4500, "y_mm": 0})
    frame["members"][0] |= {"nodes": ["A", "B", "C"], "ends": {"start": "rigid", "end": "pinned"}}
    frame["supports"][0] |= {"holds": ["x", "y", "rotation"], "uplift": "held"}
    frame["supports"][1] |= {"uplift": "free"}
    frame["actions"] = [{"id": "gale", "nature": "wind", "loads": [{"node": "C", "y_kn": 1.0}]}]
    lifted = found(checked(frame), "engine/bearing-lifts", "S2")
    assert lifted["kind"] == "informational"
    assert "1.5 gale" in lifted["message"]
    assert found(checked(frame), "eurocode-timber/holding-down", "S2")["kind"] == "notApplicable"


def test_an_invented_grade_decides_nothing(joist, checked, found):
    """Stiff and strong enough for anything, and made up: strength is open, the piece is open, and nobody may build it."""
    properties = {f"{name}_mpa": 50.0 for name in ("f_m_k", "f_t_0_k", "f_c_0_k", "f_c_90_k", "f_v_k")}
    grade = {"id": "SUPER", "kind": "solid-timber", "tradition": "en", "softwood": True, "invented": True, **properties}
    grade |= {"e_0_mean_mpa": 20000, "e_0_05_mpa": 15000, "g_mean_mpa": 1000, "rho_k_kg_per_m3": 400, "rho_mean_kg_per_m3": 450}
    made_up = joist | {"materials": {"marking": "piece", "grades": [grade]}}
    made_up["members"] = [member | {"grade": "SUPER"} for member in joist["members"]]
    report = checked(made_up)
    assert report["verdict"] == "open"
    assert found(report, "engine/invented-values", "M")["kind"] == "open"
    bending = found(report, "eurocode-timber/bending", "M")
    assert bending["kind"] == "open"
    assert "invented" in bending["message"]
    assert report["cautions"][0].startswith("NOT FOR CONSTRUCTION")


def _snow(name, *pieces):
    return {"id": name, "nature": "snow", "one_of": "snow", "loads": [{"member": piece, "line_kn_per_m": 0.2, "along": "plan", "direction": "down"} for piece in pieces]}  # fmt: skip


def test_a_roof_of_two_slopes_wants_snow_on_one_of_them_too(couple, checked, found):
    """Snow that lies evenly leaves the webs unpushed: on two slopes one case of snow is a forgotten load."""
    even, drifted = _snow("snow", "R1", "R2"), _snow("snow-left", "R1")
    guard = found(checked(couple(4000, 1500, actions=[even])), "engine/expected-actions", part="snow")
    assert guard["kind"] == "open"
    assert "2 times, but 1" in guard["message"]
    for frame in (couple(4000, 1500, actions=[even, drifted]), couple(4000, 60, actions=[even])):
        assert not [f for f in checked(frame)["findings"] if f["rule"] == "engine/expected-actions" and f["part"] == "snow"]


TANK = {
    "id": "tank",
    "nature": "imposed",
    "category": "tank",
    "loads": [{"member": "T", "point_kn": 0.45, "at_mm": 2000, "direction": "down"}],
}
NO_TANK = {"id": "no-tank", "nature": "imposed", "declines": "tank", "none_because": "it stands on the party wall"}


def test_a_tank_that_is_told_of_weighs_on_something(couple, checked, found):
    roof = {"self_weight": True, "roof": {"tank_litres": 230, "tank_trusses": 3}}
    guard = found(checked(couple(4000, 1500, **roof)), "engine/expected-actions", part="tank")
    assert (guard["kind"], guard["where"]["pointer"]) == ("open", "/roof/tank_litres")
    for answer in (TANK, NO_TANK):
        report = checked(couple(4000, 1500, actions=[answer], **roof))
        assert not [f for f in report["findings"] if f["rule"] == "engine/expected-actions" and f["part"] == "tank"]


def test_a_frame_that_carries_nothing_is_refused(couple, checked):
    """No action and no weight of its own: nothing to combine, nothing to pass, and no reason to break."""
    with pytest.raises(DesignRefused) as refused:
        checked(couple(4000, 1500))
    assert [(fault.pointer, fault.code) for fault in refused.value.faults] == [("/actions", "required")]


def test_a_component_of_no_named_type_is_looked_at_by_a_person(bar, checked, found):
    """Nothing is expected of it, so nothing can be missing: that is no pass."""
    action = {"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.2, **DOWN}]}
    report = checked(bar(2000, {"b_mm": 47, "h_mm": 195}, actions=[action]))
    guard = found(report, "engine/expected-actions", part="component-type")
    assert (guard["kind"], guard["where"]["pointer"]) == ("review", "/component_type")


def test_permanent_load_that_does_not_last_is_looked_at(bar, checked, found):
    """Under "short" it would have k_mod 0.9 in place of 0.6."""
    load = {"member": "M", "line_kn_per_m": 0.5, **DOWN}
    frame = bar(2000, {"b_mm": 47, "h_mm": 195}, actions=[{"id": "tiles", "nature": "permanent", "duration": "short", "loads": [load]}])
    guard = found(checked(frame), "engine/expected-actions", part="duration")
    assert (guard["kind"], "tiles" in guard["message"]) == ("review", True)


@pytest.mark.parametrize(("duration", "told"), [("instantaneous", True), ("short", False), ("medium", False)])
def test_a_load_that_lasts_less_long_than_the_code_says_is_told(duration, told, bar, checked):
    """Snow is short-term in the United Kingdom, from memory."""
    snow = {"id": "s", "nature": "snow", "duration": duration, "loads": [{"member": "M", "line_kn_per_m": 0.5, **DOWN}]}
    report = checked(bar(2000, {"b_mm": 47, "h_mm": 195}, actions=[snow]))
    assert ({"s": duration} in [each["value"] for each in report["assumptions"]]) == told
    looked_at = [f for f in report["findings"] if f["rule"] == "engine/expected-actions" and f["part"] == "duration-instant"]
    assert [f["kind"] for f in looked_at] == (["review"] if told else [])


@pytest.mark.parametrize(
    ("category", "duration", "kinds"),
    [
        ("loft", "short", ["review"]),
        ("loft", "medium", ["review"]),
        ("A", "short", ["review"]),
        ("A", "medium", []),
        ("loft", "long", []),
        ("A", "long", []),
    ],
)
def test_use_that_is_said_to_be_gone_sooner_than_the_code_says_is_looked_at(category, duration, kinds, bar, checked):
    """What is stored in a loft is long-term, what a floor of a dwelling carries medium-term (EN 1995-1-1, Table 2.2, from memory)."""
    use = {
        "id": "q",
        "nature": "imposed",
        "category": category,
        "duration": duration,
        "loads": [{"member": "M", "line_kn_per_m": 0.5, **DOWN}],
    }
    report = checked(bar(2000, {"b_mm": 47, "h_mm": 195}, actions=[use]))
    looked_at = [f for f in report["findings"] if f["rule"] == "engine/expected-actions" and f["part"] == "duration-use"]
    assert [f["kind"] for f in looked_at] == kinds


def test_a_person_may_be_gone_sooner(bar, checked):
    person = {
        "id": "p",
        "nature": "imposed",
        "category": "A",
        "duration": "short",
        "loads": [{"member": "M", "point_kn": 0.9, "at_mm": 900, "direction": "down"}],
    }
    report = checked(bar(2000, {"b_mm": 47, "h_mm": 195}, actions=[person]))
    assert "duration-use" not in {f["part"] for f in report["findings"]}


@pytest.mark.parametrize(("added", "confirm"), [(True, "designer"), (False, "engineer")])
def test_whether_the_timbers_own_weight_is_added_is_told(added, confirm, joist, checked):
    told = [each for each in checked(joist | {"self_weight": added})["assumptions"] if each["pointer"] == "/self_weight"]
    assert [(each["value"], each["confirm"]) for each in told] == [(added, confirm)]
