"""Nothing that is left out of a design makes it pass: of one that fails, every field, item and piece of data in turn."""

from __future__ import annotations

import copy
import json
import os

import pytest
from changing import places

from rules.judge import Options
from rules.subject.faults import DesignRefused
from service.demo import read_design

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
BRIEF = Options(working="none", response="none")
FEW = 60


def too_heavy(name, natures, by):
    """A demo design under more load than it carries."""
    design = json.loads(read_design(name))
    for load in (load for action in design["actions"] if action["nature"] in natures for load in action.get("loads", ())):
        for size in ("line_kn_per_m", "point_kn"):
            if size in load:
                load[size] *= by
    return design


def without(design, steps):
    other = copy.deepcopy(design)
    holder = other
    for step in steps[:-1]:
        holder = holder[step]
    del holder[steps[-1]]
    return other


def verdict(checked, design):
    try:
        return checked(design, BRIEF)["verdict"]
    except DesignRefused:
        return "refused"


def passing(checked, design, every):
    """Places without which the design passes, of every so many."""
    assert verdict(checked, design) == "fail"
    return ["/".join(map(str, steps)) for steps in list(places(design))[::every] if verdict(checked, without(design, steps)) == "pass"]


OVERLOADED = {"joist": ("solid-joist", ("imposed",), 2.5), "truss": ("fink", ("snow",), 6.0)}


@pytest.mark.parametrize("said", OVERLOADED.values(), ids=OVERLOADED)
def test_an_overloaded_design_does_not_pass_for_want_of_something(checked, said):
    design = too_heavy(*said)
    assert passing(checked, design, sum(1 for _ in places(design)) // FEW) == []


@pytest.mark.prove
@pytest.mark.parametrize("said", OVERLOADED.values(), ids=OVERLOADED)
def test_that_holds_for_all_that_can_be_left_out(checked, said):
    assert passing(checked, too_heavy(*said), max(1, round(1 / SHARE))) == []
