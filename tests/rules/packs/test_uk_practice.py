"""Standard bracing and what else is usual in the United Kingdom, on whole designs: the demo truss keeps to it, and each thing left out is told."""

from __future__ import annotations

import copy
import datetime
import json
from pathlib import Path

import pytest

import service.demo.designs
from rules.judge import Options, check
from service.schemas import load

FINK = Path(service.demo.designs.__file__).with_name("fink.json")


@pytest.fixture(scope="module")
def truss():
    document = json.loads(FINK.read_bytes())
    document["actions"] = [action for action in document["actions"] if "anywhere" not in json.dumps(action)]
    return document


@pytest.fixture
def told(shipped):
    """What this pack says that is no pass, by rule."""

    def run(document):
        report = check(load(json.dumps(document).encode()), shipped, as_of=datetime.date(2026, 11, 25), options=Options())
        of_pack = [f for f in report["findings"] if f["rule"].startswith("uk-practice/") and f["kind"] not in ("pass", "notApplicable")]
        return {f["rule"].partition("/")[2]: f["kind"] for f in of_pack}

    return run


def test_the_demo_truss_keeps_to_the_standard_pattern(truss, told):
    assert told(truss) == {"wall-plate-fixing": "informational"}


def without(item):
    return lambda d: d.update(bracing=[each for each in d["bracing"] if each["id"] != item])


def of_item(item, **said):
    return lambda d: next(each for each in d["bracing"] if each["id"] == item).update(said)


LEFT_OUT = {
    "no diagonals on the rafters": (without("rafter-diagonals"), "rafter-diagonals", "fail"),
    "too few of them": (of_item("rafter-diagonals", rows=2), "rafter-diagonals", "fail"),
    "too flat": (of_item("rafter-diagonals", angle_deg=25), "diagonal-angle", "fail"),
    "no binders on the ties": (without("tie-binders"), "binders-at-joints", "fail"),
    "no chevrons": (without("web-chevrons"), "web-chevrons", "fail"),
    "a thin brace": (of_item("tie-binders", section={"b_mm": 75, "h_mm": 19}), "brace-section", "fail"),
    "one nail": (of_item("tie-binders", nails={"count": 1, "diameter_mm": 3.35, "length_mm": 65}), "brace-nails", "fail"),
    "straps far apart": (of_item("gable-straps", spacing_mm=2400), "restraint-straps", "fail"),
    "no straps": (without("gable-straps"), "restraint-straps-named", "informational"),
    "no plasterboard, no ceiling diagonals": (
        lambda d: (d["roof"].update(ceiling="none"), without("tie-diagonals")(d), of_item("tie-binders", anchored_to="gables")(d),
                   of_item("ceiling-battens", anchored_to="gables")(d)),
        "ceiling-diagonals", "fail",
    ),
    "on the coast": (lambda d: d["roof"].update(exposed=True), "standard-bracing", "review"),
    "nobody says by whom it is braced": (lambda d: d["roof"].update(bracing_by=None), "standard-bracing", "open"),
    "trusses far apart": (lambda d: d.update(spacing_mm=750), "standard-bracing", "review"),
    "beside a wide opening": (lambda d: d.update(load_width_mm=950), "opening-between-trusses", "fail"),
    "a heavy tank": (lambda d: d["roof"].update(tank_litres=300, tank_trusses=3), "tank-in-the-loft", "fail"),
    "bowed": (lambda d: d.update(as_built={"bow_mm": 14}), "bow-as-erected", "fail"),
    "leaning": (lambda d: d.update(as_built={"out_of_plumb_mm": 30}), "plumb-as-erected", "fail"),
    "a hole for a pipe": (lambda d: d["members"][2].update(holes=[{"at_mm": 1400, "depth_mm": 30}]), "no-cuts-in-components", "fail"),
    "flats": (lambda d: d.update(building={"use": "flats", "storeys": 3}), "collapse-class", "informational"),
}  # fmt: skip


@pytest.mark.parametrize(("change", "rule", "kind"), LEFT_OUT.values(), ids=LEFT_OUT)
def test_what_is_left_out_is_told(truss, told, change, rule, kind):
    document = copy.deepcopy(truss)
    change(document)
    assert told(document).get(rule) == kind


def test_an_engineers_bracing_is_not_held_against_the_pattern(truss, told):
    document = copy.deepcopy(truss)
    document["roof"]["bracing_by"] = "engineer"
    document["bracing"] = {"none_because": "drawing B2"}
    assert not {"standard-bracing", "rafter-diagonals", "web-chevrons"} & set(told(document))


@pytest.mark.parametrize(("chosen", "kind"), [("regulation", None), ("specification", "fail"), ("warranty", "fail")])
def test_the_published_sets_of_notch_rules_disagree_and_one_is_chosen(shipped, chosen, kind):
    """A notch from below: the oldest guidance allows it, the two younger do not."""
    joist = json.loads(FINK.with_name("solid-joist.json").read_bytes())
    joist["members"][0]["notches"] = [{"at_mm": 500, "depth_mm": 20, "length_mm": 60, "face": "lower"}]
    joist["codes"] = {"parameters": {"cut_set": {"value": chosen, "reason": "the insurer asks for it"}}}
    report = check(load(json.dumps(joist).encode()), shipped, as_of=datetime.date(2026, 11, 25), options=Options())
    hits = [
        f["kind"] for f in report["findings"] if f["rule"] == "uk-practice/notches-in-joists" and f["kind"] not in ("pass", "notApplicable")
    ]
    assert hits == ([kind] if kind else [])
