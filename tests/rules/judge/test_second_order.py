"""Second order (EN 1995-1-1 5.4.4) as a caller's choice: against closed forms, with design stiffness, never with factors of buckling in the plane.

Closed forms (S. Timoshenko and J. Gere, Theory of Elastic Stability, from memory), k² = P/EI, of pieces that do not slide in shear:
pinned column with end force P and even load q: M = q/k² (1/cos(kL/2) − 1); one that bows by e as half a sine: M = P e/(1 − P/P_E), P_E = π² EI/L²;
cantilever that leans by φ under P: M at its foot = P φ tan(kL)/k.
"""

from __future__ import annotations

import json
import math

import pytest

import solver
from rules.judge import displaced
from rules.judge.analysis import in_words
from rules.subject.faults import DesignRefused
from service.demo import read_design
from service.schemas import to_design

PACK = "eurocode-timber/"
TINY = 1e-9
"""Stands for nothing where a parameter has to be positive."""
E, GAMMA_M, G = 11000.0, 1.3, 1.35
B, H, L = 47.0, 97.0, 3000.0
EI = E / GAMMA_M * B * H**3 / 12.0
GRADE = {
    "id": "STIFF", "kind": "solid-timber", "tradition": "en", "f_m_k_mpa": 24, "f_t_0_k_mpa": 14.5, "f_c_0_k_mpa": 21, "f_c_90_k_mpa": 2.5, "f_v_k_mpa": 4,
    "e_0_mean_mpa": E, "e_0_05_mpa": 7400, "g_mean_mpa": 1e6, "rho_k_kg_per_m3": 350, "rho_mean_kg_per_m3": 420,
}  # fmt: skip


def column(document, push, *, q=0.0, foot=("x", "y"), head=("x",)):
    loads = [{"node": "B", "y_kn": -push}]
    loads += [{"member": "M", "line_kn_per_m": q, "along": "member", "direction": "right"}] if q else []
    piece = {"id": "M", "role": "post", "nodes": ["A", "B"], "section": {"b_mm": B, "h_mm": H}, "grade": "STIFF"}
    piece["ends"] = {"start": "rigid" if "rotation" in foot else "pinned", "end": "pinned"}
    supports = [{"id": "SA", "node": "A", "holds": list(foot)}]
    supports += [{"id": "SB", "node": "B", "holds": list(head)}] if head else []
    return document | {
        "nodes": [{"id": "A", "x_mm": 0, "y_mm": 0}, {"id": "B", "x_mm": 0, "y_mm": L}],
        "members": [piece],
        "supports": supports,
        "materials": document["materials"] | {"grades": [GRADE]},
        "actions": [{"id": "g", "nature": "permanent", "loads": loads}],
    }


def greatest_moment(report):
    (member,) = report["response"]["envelopes"]
    return max(abs(member["m"][end]["m_knm"]) for end in ("min", "max"))


def kind_of(report, rule):
    return {each["where"]["member"]: each["kind"] for each in report["findings"] if each["rule"] == PACK + rule}


def test_even_load_on_a_pressed_column(document, checked, chosen):
    push, q = 3.0, 0.2
    k = math.sqrt(G * push * 1e3 / EI)
    expected = G * q / k**2 * (1.0 / math.cos(k * L / 2.0) - 1.0) / 1e6
    report = checked(chosen(column(document, push, q=q), "second-order", sway_angle=TINY, bow_share=TINY))
    assert greatest_moment(report) == pytest.approx(expected, rel=2e-3)
    assert greatest_moment(checked(column(document, push, q=q))) == pytest.approx(G * q * L**2 / 8e6, rel=1e-6), "first order knows no push"


def test_a_column_that_bows(document, checked, chosen):
    push, share = 3.0, 0.0025
    critical = math.pi**2 * EI / L**2
    report = checked(chosen(column(document, push), "second-order"))
    expected = G * push * share * L / (1.0 - G * push * 1e3 / critical) / 1e3
    assert greatest_moment(report) == pytest.approx(expected, rel=2e-3)


def test_a_cantilever_that_leans(document, checked, chosen):
    push, lean = 0.8, 0.005
    k = math.sqrt(G * push * 1e3 / EI)
    leaning = checked(chosen(column(document, push, foot=("x", "y", "rotation"), head=()), "second-order", bow_share=TINY))
    assert greatest_moment(leaning) == pytest.approx(G * push * lean * math.tan(k * L) / k / 1e3, rel=2e-3)


def test_both_ways_of_leaning_are_judged_and_told(document, checked, chosen, found):
    report = checked(chosen(column(document, 0.8, q=0.05, foot=("x", "y", "rotation"), head=()), "second-order"))
    assert "leaning to the right" in found(report, PACK + "bending", "M")["combination"], "the way the load pushes is the worse one"


@pytest.mark.parametrize("push", [0.5, 2.0, 4.0, 5.0])
def test_it_grows_faster_than_the_push_and_is_never_less_than_first_order(document, checked, chosen, push):
    one, twice = (greatest_moment(checked(chosen(column(document, each, q=0.1), "second-order"))) for each in (push / 2.0, push))
    assert greatest_moment(checked(column(document, push, q=0.1))) < one < twice


def test_no_factor_of_buckling_in_the_plane_is_mixed_in_and_sideways_it_stays(document, checked, chosen, found):
    report = checked(chosen(column(document, 3.0), "second-order"))
    for rule in ("compression", "bending-with-compression"):
        symbols = [step["symbol"] for step in found(report, PACK + rule, "M")["working"]]
        assert "λ_y" not in symbols
        assert "l_y" not in symbols
        assert "k_c,z" in symbols
    assert not [each for each in report["assumptions"] if each["pointer"].endswith("in_plane_mm")]
    assert "λ_y" in [step["symbol"] for step in found(checked(column(document, 3.0)), PACK + "compression", "M")["working"]]


def test_a_frame_that_is_not_all_triangles_needs_no_length_in_its_plane(document, checked, chosen):
    report = checked(chosen(column(document, 0.5), "second-order"))
    assert kind_of(report, "bending-with-compression") == {"M": "pass"}
    assert kind_of(report, "second-order") == {None: "pass"}


def test_beyond_the_force_that_buckles_it_there_is_a_finding_and_no_number(document, checked, chosen, found):
    """P_E = π² EI/L² with EI = 11000/1.3 · 47 · 97³/12 is 33.2 kN: a twentieth less comes to rest, a twentieth more does not."""
    critical = math.pi**2 * EI / L**2 / 1e3
    for share, kind in ((0.95, "pass"), (1.05, "fail")):
        report = checked(chosen(column(document, share * critical / G), "second-order"))
        assert found(report, PACK + "second-order")["kind"] == kind
    assert "1.35 G" in found(report, PACK + "second-order")["message"]
    assert report["response"]["envelopes"] == []
    assert report["verdict"] == "fail"
    for rule in ("compression", "bending", "bending-with-compression", "shear"):
        (finding,) = (each for each in report["findings"] if each["rule"] == PACK + rule)
        assert (finding["kind"], finding["utilisation"]) == ("open", None)


def roving(document, **load):
    action = {"id": "q", "nature": "imposed", "category": "A", "duration": "short",
              "loads": [{"member": "M", "point_kn": 0.3, "direction": "right"} | load]}  # fmt: skip
    plain = column(document, 3.0)
    return plain | {"actions": [*plain["actions"], action]}


def test_a_person_anywhere_is_solved_place_by_place(document, checked, chosen, found):
    """As much as the worst of the same load at places of its own, and the place is told."""
    anywhere = found(checked(chosen(roving(document, anywhere=True), "second-order")), PACK + "bending", "M")
    told = float(anywhere["combination"].partition("q at ")[2].partition(" mm")[0])
    fixed = [
        found(checked(chosen(roving(document, at_mm=at), "second-order")), PACK + "bending", "M")["utilisation"]
        for at in (told, told - 150.0, told + 150.0)
    ]
    assert anywhere["utilisation"] == pytest.approx(fixed[0], rel=1e-6)
    assert fixed[0] >= max(fixed[1:]) * (1.0 - 1e-3)
    assert "leaning to the" in anywhere["combination"]


def test_a_load_that_acts_in_part_is_open_and_asks_for_places(document, checked, chosen, found):
    design = column(document, 3.0)
    load = {"member": "M", "line_kn_per_m": 0.1, "along": "member", "direction": "right"}
    action = {"id": "q", "nature": "imposed", "category": "A", "duration": "short", "free": True, "loads": [load]}
    report = checked(chosen(design | {"actions": [*design["actions"], action]}, "second-order"))
    finding = found(report, PACK + "second-order")
    assert finding["kind"] == "open"
    assert "one_of" in finding["message"]
    assert kind_of(report, "bending") == {"M": "open"}


def test_too_many_places_are_asked_about_with_their_number(document, checked, chosen, found, monkeypatch):
    monkeypatch.setattr(displaced, "MOST_ROWS", 10)
    finding = found(checked(chosen(roving(document, anywhere=True), "second-order")), PACK + "second-order")
    assert finding["kind"] == "open"
    assert "where 10 are" in finding["message"]


def test_without_the_marking_of_its_timber_the_stiffness_is_not_known(document, checked, chosen, found):
    report = checked(chosen(column(document, 3.0) | {"materials": {"grades": [GRADE]}}, "second-order"))
    assert found(report, PACK + "second-order")["kind"] == "open"
    assert "marking" in found(report, PACK + "second-order")["message"]


def test_movements_are_those_of_first_order(document, checked, chosen):
    of = [
        {each["part"]: each["utilisation"] for each in checked(way)["findings"] if "deflection" in each["rule"]}
        for way in (column(document, 3.0, q=0.1), chosen(column(document, 3.0, q=0.1), "second-order"))
    ]
    assert of[0] == of[1]


def test_a_joist_that_nothing_pushes_comes_to_rest_as_in_first_order(checked, chosen, found):
    """Axial forces that are rounding alone neither settle nor matter."""
    joist = json.loads(read_design("solid-joist"))
    first, second = checked(joist), checked(chosen(joist, "second-order"))
    assert found(second, PACK + "second-order")["kind"] == "pass"
    for rule in ("bending", "shear"):
        assert found(second, PACK + rule)["utilisation"] == pytest.approx(found(first, PACK + rule)["utilisation"], rel=2e-3)


def test_loads_that_no_combination_holds_do_not_matter(document, checked, chosen, found):
    """An earthquake is left out of every combination; its loads leave stations of their own all the same."""
    plain = chosen(column(document, 3.0, q=0.1), "second-order")
    quake = {"id": "e", "nature": "seismic", "loads": [{"member": "M", "point_kn": 1.0, "at_mm": 1234.5, "direction": "right"}]}
    shaken = plain | {"actions": [*plain["actions"], quake]}
    assert greatest_moment(checked(shaken)) == pytest.approx(greatest_moment(checked(plain)), rel=1e-9)
    assert found(checked(shaken), PACK + "second-order")["kind"] == "pass"


def test_a_narrow_pass_is_looked_at_closely(document, checked, chosen, found):
    """Just below its strength a piece is judged again between the stations; the word stands beside the same force."""
    push = 3.0
    used = [found(checked(chosen(column(document, push, q=q), "second-order")), PACK + "bending", "M")["utilisation"] for q in (0.1, 0.2)]
    near = 0.1 + 0.1 * (0.985 - used[0]) / (used[1] - used[0])
    finding = found(checked(chosen(column(document, push, q=near), "second-order")), PACK + "bending", "M")
    assert finding["kind"] == "pass"
    assert finding["utilisation"] == pytest.approx(0.985, rel=2e-3)


def test_too_many_combinations_are_refused_in_words():
    with pytest.raises(DesignRefused) as refused:
        displaced._bounded(displaced.MOST_ROWS + 2)
    (fault,) = refused.value.faults
    assert (fault.code, fault.pointer) == ("too-much-to-judge", "/codes/parameters/analysis")


def test_a_mechanism_within_a_divided_bay_is_told_without_a_node(bar):
    """Second order divides bays, so that what is loose may be no node of the document."""
    design = to_design(bar(3000, {"b_mm": 47, "h_mm": 147}))

    def loose() -> None:
        raise solver.Mechanism(((7, "x"), (1, "rotation")))

    with pytest.raises(DesignRefused) as refused:
        in_words(design, loose)
    assert [fault.pointer for fault in refused.value.faults] == ["/nodes/1"]
