"""Levels, waivers, baselines and the verdict: one order of precedence, and nothing that went wrong looks like a pass."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace

import pytest

from rules.judge import check
from rules.judge.deciding import Decided, verdict
from rules.judge.guards import UNJUDGED
from rules.judge.judgement import Judgement
from rules.library import Kind, Library
from service.schemas import load

DOWN = {"along": "member", "direction": "down"}
BENDING = "eurocode-timber/bending"


@pytest.fixture
def overloaded(bar):
    """A joist that bends too far: bending, deflection and tipping fail."""
    actions = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 3.0, **DOWN}]}]
    restraint = {"out_of_plane_mm": 400, "top_edge_mm": 400, "bottom_edge_mm": 400}
    return bar(3000, {"b_mm": 47, "h_mm": 145}, restraint=restraint, actions=actions, roof={"ceiling": "none"})


def waive(**more):
    return {
        "rule": BENDING,
        "element": {"kind": "member", "id": "M"},
        "part": "",
        "reason": "props under it until the wall is up",
        "approved_by": "A. Engineer",
        "expires": "2026-11-25",
    } | more


def test_a_fail_is_a_fail(overloaded, checked, found):
    report = checked(overloaded)
    bending = found(report, BENDING, "M")
    assert (report["verdict"], bending["kind"], bending["level"], bending["decided_by"]) == ("fail", "fail", "error", "rule")
    assert bending["utilisation"] > 1.0
    assert bending["remedies"]


def test_a_waiver_holds_through_its_last_day(overloaded, checked, found):
    report = checked(overloaded | {"waivers": [waive()]})
    bending = found(report, BENDING, "M")
    assert bending["waiver"]["approved_by"] == "A. Engineer"
    assert (bending["kind"], bending["decided_by"], report["summary"]["waived"]) == ("fail", "waiver", 1)
    later = checked(overloaded | {"waivers": [waive()]}, as_of=datetime.date(2026, 11, 26))
    assert found(later, BENDING, "M")["waiver"] is None
    assert "expired on 2026-11-25" in found(later, BENDING, "M")["message"]


VOID = [
    ({"up_to_utilisation": 1.01}, "accepted up to 1.01 only"),
    ({"subject": "sha256:" + "0" * 64}, "given for another state of the design"),
]


@pytest.mark.parametrize(("more", "because"), VOID, ids=["exceeded", "another design"])
def test_a_waiver_is_void(overloaded, checked, found, more, because):
    bending = found(checked(overloaded | {"waivers": [waive(**more)]}), BENDING, "M")
    assert bending["waiver"] is None
    assert because in bending["message"]


def test_a_waiver_bound_to_this_design_holds(overloaded, checked, found):
    subject = checked(overloaded)["receipt"]["subject"]
    kept = overloaded | {"waivers": [waive(subject=subject, up_to_utilisation=10)], "title": "renamed"}
    assert found(checked(kept), BENDING, "M")["waiver"] is not None


def test_a_waiver_of_one_part_leaves_the_others(overloaded, checked):
    report = checked(overloaded | {"waivers": [waive(rule="eurocode-timber/deflection", part="span-final")]})
    assert report["summary"]["waived"] == 1
    assert report["verdict"] == "fail"


def test_the_caller_may_set_a_level_and_is_named_for_it(overloaded, checked, found):
    report = checked(overloaded | {"codes": {"levels": {"eurocode-timber/deflection": "warning"}}})
    sag = found(report, "eurocode-timber/deflection", "M", "span-final")
    assert (sag["kind"], sag["level"], sag["decided_by"]) == ("fail", "warning", "caller")
    assert report["summary"]["warnings"] == len([f for f in report["findings"] if f["level"] == "warning"])


def test_no_level_makes_a_remark_of_what_breaks(overloaded, checked, found):
    """A level has no reason, no name and no last day: who accepts that timber is overstressed says so in a waiver."""
    levels = dict.fromkeys({f["rule"] for f in checked(overloaded)["findings"] if f["kind"] == "fail"}, "note")
    report = checked(overloaded | {"codes": {"levels": levels}})
    bending = found(report, BENDING, "M")
    assert (report["verdict"], bending["level"], bending["decided_by"]) == ("fail", "error", "rule")
    assert "The level asked for does not hold: note was asked for, and strength is not lowered" in bending["message"]
    assert found(report, "eurocode-timber/deflection", "M", "span-final")["level"] == "note"


def test_a_baseline_marks_what_is_known_and_never_changes_the_verdict(overloaded, checked, found):
    first = checked(overloaded)
    known = found(first, BENDING, "M")["id"]
    second = checked(overloaded | {"baseline": [known, "0123456789abcdef"]})
    assert second["verdict"] == first["verdict"] == "fail"
    assert found(second, BENDING, "M")["baseline_state"] == "unchanged"
    assert found(second, "eurocode-timber/deflection", "M", "span-final")["baseline_state"] == "new"
    assert second["baseline"] == {"absent": ["0123456789abcdef"]}


def test_where_nothing_was_known_all_is_new(overloaded, checked, found):
    assert found(checked(overloaded), BENDING, "M")["baseline_state"] is None
    after = checked(overloaded | {"baseline": []})
    assert found(after, BENDING, "M")["baseline_state"] == "new"
    assert after["baseline"] == {"absent": []}


def test_a_parameter_carries_its_reason(overloaded, checked, found):
    codes = {"parameters": {"gamma_g_sup": {"value": 1.15, "reason": "national choice of the example"}}}
    plain, eased = (found(checked(each), BENDING, "M")["utilisation"] for each in (overloaded, overloaded | {"codes": codes}))
    assert eased / plain == pytest.approx(1.15 / 1.35)


@pytest.mark.parametrize(
    ("name", "value", "looked_at"),
    [
        ("gamma_q", 1.4, True),
        ("gamma_q", 1.6, False),
        ("gamma_g_inf", 1.1, True),
        ("gamma_g_inf", 0.9, False),
        ("gamma_m", 1.3, True),
        ("gamma_m", 9.0, False),
    ],
)
def test_a_bolder_partial_factor_is_for_an_engineer_to_accept(overloaded, checked, name, value, looked_at):
    codes = {"parameters": {name: {"value": value, "reason": "the customer wants it"}}}
    said = [each for each in checked(overloaded | {"codes": codes})["findings"] if each["rule"] == "engine/partial-factors"]
    assert [(each["kind"], each["part"]) for each in said] == [("review", name)] * looked_at


@pytest.mark.parametrize(
    ("name", "value", "looked_at"),
    [("k_c_90", 2.5, True), ("k_c_90", 1.0, False), ("k_mod", 1.0, True), ("limit_w_inst", 100.0, True), ("limit_w_inst", 450.0, False)],
)
def test_a_number_in_place_of_the_codes_is_for_an_engineer_to_accept(overloaded, checked, name, value, looked_at):
    codes = {"parameters": {name: {"value": value, "reason": "it is fine"}}}
    said = [each for each in checked(overloaded | {"codes": codes})["findings"] if each["rule"] == "engine/numbers-of-the-code"]
    assert [(each["kind"], each["part"]) for each in said] == [("review", name)] * looked_at


def decided(*pairs) -> list[Decided]:
    return [Decided(Judgement(UNJUDGED, "member", f"M{i}", i, kind), level, "rule") for i, (kind, level) in enumerate(pairs)]


VERDICTS = [
    ("fail", [(Kind.FAIL, "error"), (Kind.OPEN, "none")], True),
    ("open", [(Kind.FAIL, "warning"), (Kind.OPEN, "none"), (Kind.REVIEW, "none")], True),
    ("open", [(Kind.PASS, "none")], False),
    ("review", [(Kind.FAIL, "note"), (Kind.REVIEW, "none"), (Kind.PASS, "none")], True),
    ("pass", [(Kind.FAIL, "warning"), (Kind.PASS, "none"), (Kind.INFORMATIONAL, "none"), (Kind.NOT_APPLICABLE, "none")], True),
]


@pytest.mark.parametrize(("expected", "pairs", "code"), VERDICTS)
def test_the_first_that_holds(expected, pairs, code):
    assert verdict(decided(*pairs), code_in_force=code) == expected


class TestMandatory:
    """What a pack marks mandatory: a caller may make it graver, and neither lighter nor waived."""

    @pytest.fixture
    def strict(self, library):
        """The library with the bending rule marked mandatory, at the level of a warning."""

        def marked(pack):
            rules = tuple(replace(rule, mandatory=True, severity="warning") if rule.id == BENDING else rule for rule in pack.rules)
            return replace(pack, rules=rules)

        return Library(tuple(marked(pack) for pack in library.packs))

    @pytest.fixture
    def bending(self, overloaded, strict, found):
        def decided(**more):
            report = check(load(json.dumps(overloaded | more).encode()), strict, as_of=datetime.date(2026, 11, 25))
            return found(report, BENDING, "M")

        return decided

    def test_its_level_is_not_lowered_and_the_report_says_so(self, bending):
        finding = bending(codes={"levels": {BENDING: "note"}})
        assert (finding["level"], finding["decided_by"]) == ("warning", "mandatory")
        assert "The level asked for does not hold: note was asked for, and eurocode-timber makes this rule mandatory." in finding["message"]

    def test_its_level_can_be_raised(self, bending):
        finding = bending(codes={"levels": {BENDING: "error"}})
        assert (finding["level"], finding["decided_by"]) == ("error", "caller")
        assert "does not hold" not in finding["message"]

    def test_it_cannot_be_waived_and_the_report_says_so(self, bending):
        finding = bending(waivers=[waive()])
        assert (finding["waiver"], finding["decided_by"]) == (None, "rule")
        assert "The waiver for it does not hold: eurocode-timber makes this rule mandatory." in finding["message"]
